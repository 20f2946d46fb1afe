using System.Globalization;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Waits until the loads that were powered are powered and serve again, compares the ports with what they were, and puts settings back.</summary>
internal sealed class Recovery
{
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan Slack = TimeSpan.FromSeconds(60);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly Controller _before;
    private readonly UnitRecord _record;
    private readonly List<Port> _powered;
    private readonly Dictionary<string, TimeSpan> _backAt = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<string> _putBack = new(StringComparer.Ordinal);
    private bool _alive = true;
    private bool _triedAfresh;

    /// <summary>Prepares to wait.</summary>
    /// <param name="options">The run's.</param>
    /// <param name="unit">The planned unit.</param>
    /// <param name="link">A way to its switch.</param>
    /// <param name="before">The unit as it was before.</param>
    /// <param name="record">Where it is written down.</param>
    public Recovery(RunOptions options, PlannedUnit unit, IUnitLink link, Controller before, UnitRecord record)
    {
        _options = options;
        _unit = unit;
        _link = link;
        _before = before;
        _record = record;
        _powered = [.. before.Ports.Where(port => port.Delivering)];
    }

    /// <summary>The unit as it was last seen; null where it was not.</summary>
    public Controller? After { get; private set; }

    /// <summary>How many loads that were powered are powered again.</summary>
    public int LoadsBack => _powered.Count(IsBack);

    /// <summary>When the last load was seen to have power again, in time gone by; null where one has not.</summary>
    public TimeSpan? PoweredAt => LoadsBack == _powered.Count && _powered.Count > 0 ? _powered.Max(port => _backAt[port.Name]) : null;

    /// <summary>When each load that was powered had power again, in time gone by, by its port; null where it has none.</summary>
    public IReadOnlyList<(string Port, TimeSpan? At)> BackAt => [.. _powered.Select(port => (port.Name, IsBack(port) && _backAt.TryGetValue(port.Name, out TimeSpan at) ? at : (TimeSpan?)null))];

    /// <summary>Why the unit could not be asked the last time; null where it could.</summary>
    public Problem? Trouble { get; private set; }

    /// <summary>
    /// Waits, compares and puts back. Power is waited for as long as the plan says and a minute more; then each load that has it is given the time
    /// of its role. A setting is put back as soon as it is seen to differ, once: a port that the reset switched off never comes back by itself.
    /// </summary>
    /// <param name="log">Takes how many loads are back, and that they are waited for.</param>
    /// <returns>Loads and settings that are not back, each in a few words.</returns>
    public IReadOnlyList<string> Run(StageLog log)
    {
        Deadline power = _options.Clock.DeadlineIn(TimeSpan.FromSeconds(_unit.RecoverSeconds) + Slack);
        while (true)
        {
            bool last = power.HasPassed;
            LookAndPutBack(log);
            if (last || (_alive && LoadsBack == _powered.Count))
            {
                break;
            }

            _ = _options.Clock.Wait(Asking.PauseAfter(Trouble, Pause), CancellationToken.None);
        }

        // Powered is not yet serving.
        TimeSpan serves = _powered.Where(IsBack).Select(port => _backAt[port.Name] + TimeSpan.FromSeconds(port.RestartSeconds ?? 0)).DefaultIfEmpty(TimeSpan.Zero).Max();
        if (serves > _options.Clock.Elapsed || !_alive)
        {
            WaitUntil(serves, log);
            LookAndPutBack(log);
        }

        TellDraws();
        return NotBack();
    }

    // In pieces, so that whoever looks on sees that it goes on, and for how long.
    private void WaitUntil(TimeSpan serves, StageLog log)
    {
        TimeSpan left = serves - _options.Clock.Elapsed;
        while (left > TimeSpan.Zero)
        {
            log.GoesOn($"{HavePower}, and are given the time to serve again", left);
            TimeSpan piece = left < Pause ? left : Pause;
            _ = _options.Clock.Wait(piece, CancellationToken.None);
            left = TimeSpan.FromTicks(Math.Max(0, Math.Min((left - piece).Ticks, (serves - _options.Clock.Elapsed).Ticks)));
        }

        log.GoesOn(HavePower, TimeSpan.Zero);
    }

    /// <summary>A load that is not back, for people.</summary>
    public static string NoPower(Port port) => $"{port.Load ?? port.Role} on {port.PortId}{(port.LifeSafety ? " (life-safety)" : string.Empty)} has no power";

    private void TellDraws()
    {
        foreach ((Port before, decimal? now) in _alive && After is not null ? PortDifferences.Draws(_before, After) : [])
        {
            _record.Write(RunEntryKind.Note, ("text", $"{before.Load ?? before.Role} on {before.PortId} draws something else than before"), ("drawWatts", now), ("drewWatts", before.DrawWatts));
        }
    }

    private string HavePower => $"{LoadsBack.ToString(CultureInfo.InvariantCulture)} of {_powered.Count.ToString(CultureInfo.InvariantCulture)} loads have power";

    private void LookAndPutBack(StageLog log)
    {
        Look();
        if (PutBack())
        {
            Look();
        }

        int percent = _powered.Count == 0 ? 100 : 100 * LoadsBack / _powered.Count;
        log.Report(percent, HavePower);
    }

    private void Look()
    {
        try
        {
            if (!_alive)
            {
                _link.Reopen();
            }

            SwitchReading reading = _options.Describe(_unit, _link.Read());
            Take(reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase)));
        }
        catch (PoeOpsException exception)
        {
            Lose(exception.Problem);
        }
    }

    private void Take(Controller? now)
    {
        if (now is null)
        {
            Lose(new Problem(ProblemId.OutcomeUncertain, $"The switch does not list unit '{_unit.Unit}'.", "Look at the unit by hand."));
            return;
        }

        _alive = true;
        Trouble = null;
        After = now;
        foreach (Port port in _powered.Where(IsBack).Where(port => !_backAt.ContainsKey(port.Name)))
        {
            _backAt[port.Name] = _options.Clock.Elapsed;
        }
    }

    private void Lose(Problem problem)
    {
        if (Trouble?.Sentence != problem.Sentence)
        {
            _record.Write(RunEntryKind.Note, ("text", $"The unit could not be asked: {problem.Sentence}"));
        }

        _alive = false;
        Trouble = problem;
    }

    private bool IsBack(Port before) => PowerBack.Has(After, before);

    private List<string> NotBack()
    {
        string asked = Trouble is null ? string.Empty : $"the unit could not be asked at the end: {Trouble.Sentence}";
        if (After is null)
        {
            return [asked];
        }

        IEnumerable<string> loads = _powered.Where(port => !IsBack(port)).Select(NoPower);
        return [.. loads, .. PortDifferences.Missing(_before, After), .. PortDifferences.Of(_before, After).Select(difference => difference.Text), .. asked.Length == 0 ? [] : new[] { asked }];
    }

    // Only what has not been tried: a setting that the device does not take is named, not fought over.
    private bool PutBack()
    {
        bool tried = false;
        foreach (PortDifference difference in _alive && After is not null ? PortDifferences.Of(_before, After) : [])
        {
            if (!difference.IsSetting || _putBack.Contains(difference.Key))
            {
                continue;
            }

            if (!_options.ApprovePutBack(difference.Before, difference.Text))
            {
                Note(difference, "it was to be left");
                continue;
            }

            tried = true;
            if (!PutBack(difference))
            {
                break;
            }
        }

        return tried;
    }

    // False where the session died under it: it is tried again over the next one.
    private bool PutBack(PortDifference difference)
    {
        string? trouble = null;
        try
        {
            Send(difference);
        }
        catch (PoeOpsException exception) when (IsRefusal(exception))
        {
            trouble = exception.Problem.Sentence;
        }
        catch (PoeOpsException exception)
        {
            Lose(exception.Problem);
            return false;
        }

        Note(difference, trouble);
        return true;
    }

    private void Note(PortDifference difference, string? trouble)
    {
        _putBack.Add(difference.Key);
        _record.Write(
            RunEntryKind.PutBack, ("port", difference.Before.PortId.ToString()), ("setting", difference.Property), ("found", difference.Text), ("done", trouble is null), ("trouble", trouble));
    }

    // A reset may take the rights away that the session had: what is refused for the first time is tried once more over a session of its own.
    private void Send(PortDifference difference)
    {
        try
        {
            _link.PutBack(difference.Before, difference.Property);
        }
        catch (PoeOpsException exception) when (IsRefusal(exception) && !_triedAfresh)
        {
            _triedAfresh = true;
            _link.Reopen();
            _link.PutBack(difference.Before, difference.Property);
        }
    }

    private static bool IsRefusal(PoeOpsException exception) => exception.Problem.Id is ProblemId.CommandRefused or ProblemId.ValueNotSafe;
}
