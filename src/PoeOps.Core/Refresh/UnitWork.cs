using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>What happens to a unit between its Begin and its End: command, watching, Verify, Recover.</summary>
internal sealed class UnitWork
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(10);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly Gates _gates;
    private readonly StageLog _log;
    private readonly UnitRecord _record;
    private bool _unsent;

    /// <summary>Prepares the work.</summary>
    public UnitWork(RunOptions options, PlannedUnit unit, IUnitLink link, Gates gates, StageLog log, UnitRecord record)
    {
        _options = options;
        _unit = unit;
        _link = link;
        _gates = gates;
        _log = log;
        _record = record;
    }

    /// <summary>The unit as it was last seen after its command; null where it was not.</summary>
    public Controller? Seen { get; private set; }

    /// <summary>When its last load had power again, in time gone by; null where one has not, or nobody waited for them.</summary>
    public TimeSpan? PoweredAt { get; private set; }

    /// <summary>When each load that was powered before had power again, in time gone by, by its port, null where it has none; null where nobody waited for them.</summary>
    public IReadOnlyList<(string Port, TimeSpan? At)>? BackAt { get; private set; }

    /// <summary>Loads and settings that are not back, each in a few words.</summary>
    public IReadOnlyList<string> NotBack { get; private set; } = [];

    /// <summary>How many of the loads that were powered before were last seen to be.</summary>
    public int LoadsBack => PowerBack.Count(Before, Seen);

    private Controller Before => _gates.Fresh!;

    /// <summary>Works.</summary>
    /// <param name="offer">The image.</param>
    /// <returns>How it ended.</returns>
    public GateRefusal Run(ImageOffer offer)
    {
        WatchEnd left = Watch(offer, out GateRefusal? refused);
        if (refused is not null)
        {
            Seen = Before;
            return refused;
        }

        Stage at = _log.Current;
        _log.Begin(Stage.Verify, left.Text);
        var verification = new Verification(_options, _unit, _link, left);
        GateRefusal? end = verification.Run(verification.Patience(at));
        Seen = verification.Seen;
        offer.Dispose();
        if (end is null)
        {
            return Recover(left);
        }

        NotBack = Seen is null ? [] : [.. Before.Ports.Where(port => port.Delivering && !PowerBack.Has(Seen, port)).Select(Recovery.NoPower), .. DifferencesOf(Seen)];
        return end;
    }

    // A unit that lists no ports while it is at work has not lost them.
    private IEnumerable<string> DifferencesOf(Controller seen) =>
        seen.Ports.Count == 0 ? [] : PortDifferences.Of(Before, seen).Select(difference => difference.Text);

    // A device that refuses because another refresh is under way has done nothing of ours: it is read again and asked again for a while. Nor has one
    // that had ended the session before the command was sent: it may have restarted meanwhile, so that it is read again as well.
    private WatchEnd Watch(ImageOffer offer, out GateRefusal? refused)
    {
        Deadline patience = _options.Clock.DeadlineIn(_options.BusyWait);
        int ended = 0;
        while (true)
        {
            WatchEnd left = Follow(offer);
            refused = null;
            if (left.Kind != LinkEventKind.Busy && !_unsent)
            {
                return left;
            }

            if (offer.WasAsked)
            {
                return left with { Kind = LinkEventKind.Lost };
            }

            refused = _unsent ? Renewed(left, ref ended) : Idle(left, patience);
            if (refused is not null)
            {
                return left;
            }
        }
    }

    private GateRefusal? Idle(WatchEnd left, Deadline patience) => patience.HasPassed || !_options.Clock.Wait(Pause, CancellationToken.None)
        ? new GateRefusal(StageOutcome.Refused, ProblemId.UnitBusy, $"{left.Text} It was asked again until the time for that was over; nothing was loaded.")
        : ReadAgain("The device was busy, and then could not be asked:");

    private GateRefusal? Renewed(WatchEnd left, ref int ended)
    {
        if (++ended > 1)
        {
            return new GateRefusal(StageOutcome.Refused, ProblemId.SessionEnded, $"{left.Text} It had done so before; nothing was loaded.");
        }

        _record.Note($"{left.Text} Nothing was sent; every gate at the link is run again over a new session.");
        return ReadAgain($"{left.Text} Then the unit could not be asked:");
    }

    private GateRefusal? ReadAgain(string because)
    {
        try
        {
            return _gates.AtLink(_link);
        }
        catch (PoeOpsException exception)
        {
            return new GateRefusal(StageOutcome.Refused, exception.Problem.Id, $"{because} {exception.Problem.Sentence} Nothing was loaded.");
        }
    }

    private WatchEnd Follow(ImageOffer offer)
    {
        _log.Begin(Stage.Transfer, "the unit fetches its image");
        _unsent = false;
        try
        {
            _link.Start(new RefreshOrder(_unit.Unit, "tftp", _options.Serving.Host, offer.Port, _unit.ImageFile));
        }
        catch (PoeOpsException exception) when (exception.Problem.Id is ProblemId.CommandRefused or ProblemId.ValueNotSafe)
        {
            // It was not sent at all.
            return new WatchEnd(LinkEventKind.Failed, exception.Problem.Id, exception.Problem.Sentence);
        }
        catch (PoeOpsException exception)
        {
            _unsent = exception.Problem.Id == ProblemId.SessionEnded;
            return new WatchEnd(LinkEventKind.Lost, exception.Problem.Id, exception.Problem.Sentence);
        }

        try
        {
            return new StageWatch(_options, _unit, _link, _log).Follow();
        }
        catch (PoeOpsException exception)
        {
            return new WatchEnd(LinkEventKind.Lost, exception.Problem.Id, exception.Problem.Sentence);
        }
        finally
        {
            offer.Note();
        }
    }

    private GateRefusal Recover(WatchEnd left)
    {
        _log.Begin(Stage.Recover, "waiting for the loads");
        var recovery = new Recovery(_options, _unit, _link, Before, _record);
        NotBack = recovery.Run(_log);
        Seen = recovery.After ?? Seen;
        PoweredAt = recovery.PoweredAt;
        BackAt = recovery.BackAt;
        string late = left.Id is not null ? $" {left.Text} It was asked afterwards and had come through." : string.Empty;
        if (NotBack.Count == 0)
        {
            return new GateRefusal(StageOutcome.Done, ProblemId.NothingToDo, $"It runs {Seen!.Firmware}, and everything is back.{late}");
        }

        ProblemId id = recovery.LoadsBack < Before.PoweredPorts ? ProblemId.LoadsNotBack : recovery.Trouble?.Id ?? ProblemId.SettingsDiffer;
        return new GateRefusal(StageOutcome.Degraded, id, $"It runs {Seen!.Firmware}, but not everything is back: {string.Join("; ", NotBack)}.{late}");
    }
}
