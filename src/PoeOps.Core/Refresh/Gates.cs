using System.Globalization;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Everything that must hold before a unit starts, in order. The first that does not hold ends them.</summary>
internal sealed class Gates
{
    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly UnitRecord _record;

    /// <summary>Prepares the gates of a unit.</summary>
    public Gates(RunOptions options, PlannedUnit unit, UnitRecord record)
    {
        _options = options;
        _unit = unit;
        _record = record;
    }

    /// <summary>What was read of the unit, once it was.</summary>
    public Controller? Fresh { get; private set; }

    /// <summary>The gates before a device is asked.</summary>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? BeforeLink()
    {
        if (_options.Stop.Reason is { } stop)
        {
            return Refuse("Stop", StageOutcome.Skipped, ProblemId.NotConfirmed, $"It was not begun because {stop}.");
        }

        return Window() ?? Image();
    }

    /// <summary>The gates that ask the device.</summary>
    /// <param name="link">A way to its switch.</param>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? OnLink(IUnitLink link)
    {
        SwitchReading reading = _options.Describe(_unit, link.Read());
        return Matches(reading) ?? Healthy() ?? Busy(link) ?? LifeSafety() ?? Window();
    }

    // Read again before the unit is begun: what came before may have taken its time.
    private GateRefusal? Window()
    {
        DateTime now = _options.Clock.UtcNow;
        if (now < _unit.WindowOpensUtc)
        {
            return Refuse("Window", StageOutcome.Skipped, ProblemId.WindowClosed, $"Its window opens {Time(_unit.WindowOpensUtc)}, and it is {Time(now)}.");
        }

        double need = _unit.WorstSeconds + _unit.RecoverSeconds + _unit.ReserveSeconds;
        if (now.AddSeconds(need) > _unit.WindowClosesUtc)
        {
            double left = Math.Max(0, (_unit.WindowClosesUtc - now).TotalMinutes);
            return Refuse(
                "Window", StageOutcome.Refused, ProblemId.WindowClosed,
                $"Its window closes {Time(_unit.WindowClosesUtc)}: {Minutes(left)} min are left, and the worst case with recovery and reserve needs {Minutes(Math.Ceiling(need / 60))}.");
        }

        return Pass("Window");
    }

    private GateRefusal? Image()
    {
        ImageVerdict verdict = ImageCheck.Check(_options.ImageFolder, _unit.Image);
        return verdict.Problem is { } problem ? Refuse("Image", StageOutcome.Refused, problem.Id, problem.Sentence) : Pass("Image", ("sha256", verdict.Sha256));
    }

    private GateRefusal? Matches(SwitchReading reading)
    {
        Fresh = reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase));
        if (Fresh is not { } fresh)
        {
            string found = reading.Controllers.Count == 0 ? "none" : string.Join(", ", reading.Controllers.Select(one => one.Unit));
            return Refuse("Reading", StageOutcome.Refused, ProblemId.UnitChanged, $"The switch lists no unit '{_unit.Unit}' now; it lists {found}.");
        }

        if (fresh.ReadingProblems > 0 && !_unit.ReadingProblemsAccepted)
        {
            return Refuse("Reading", StageOutcome.Refused, ProblemId.ReadingNotClean, $"Its reading has {Count(fresh.ReadingProblems)} problems; the first is: {(reading.Problems.Count == 0 ? "not known." : reading.Problems[0].Sentence)}");
        }

        return Same(fresh) ?? Pass("Reading", ("model", fresh.Model), ("serial", fresh.Serial), ("firmware", fresh.Firmware), ("release", fresh.Release));
    }

    private GateRefusal? Same(Controller fresh)
    {
        if (!string.Equals(fresh.Model, _unit.Model, StringComparison.Ordinal))
        {
            return Changed("model", _unit.Model, fresh.Model);
        }

        if (!string.Equals(fresh.Serial, _unit.Serial, StringComparison.Ordinal))
        {
            return Changed("serial", _unit.Serial, fresh.Serial);
        }

        if (!string.Equals(fresh.Release, _unit.Release, StringComparison.Ordinal))
        {
            return Changed("release", _unit.Release, fresh.Release);
        }

        ControllerVersion? now = _options.ReadVersion(_unit, fresh.Firmware);
        if (now is null || _options.ReadVersion(_unit, _unit.FromFirmware) is not { } from || now == from)
        {
            return now is null ? Changed("firmware", _unit.FromFirmware, fresh.Firmware) : null;
        }

        // Nothing is loaded under WhatIf, so the image that comes before this one has not been either.
        if (_options.WhatIf && _unit.Hop > 1 && now < from)
        {
            return null;
        }

        bool done = now >= _options.ReadVersion(_unit, _unit.ToFirmware) && fresh.Condition == ControllerCondition.Healthy;
        return done
            ? Refuse("Reading", StageOutcome.Skipped, ProblemId.NothingToDo, $"It runs {fresh.Firmware} already; there is nothing to do.")
            : Changed("firmware", _unit.FromFirmware, fresh.Firmware);
    }

    private GateRefusal Changed(string what, string? planned, string? found) =>
        Refuse("Reading", StageOutcome.Refused, ProblemId.UnitChanged, $"Its {what} is '{found ?? "not read"}', and the plan was made for '{planned ?? "none"}'.");

    private GateRefusal? Healthy() => Fresh!.Condition == ControllerCondition.Healthy
        ? Pass("Healthy")
        : Refuse("Healthy", StageOutcome.Refused, ProblemId.ControllerNotHealthy, $"Its controller is {Fresh.Condition}; the device says '{Fresh.ConditionText ?? "nothing"}'.");

    private GateRefusal? Busy(IUnitLink link)
    {
        Deadline deadline = _options.Clock.DeadlineIn(_options.BusyWait);
        while (link.AskBusy() is { } busy)
        {
            if (_options.WhatIf || deadline.HasPassed || !_options.Clock.Wait(TimeSpan.FromSeconds(10), CancellationToken.None))
            {
                return Refuse("Busy", StageOutcome.Refused, ProblemId.UnitBusy, $"A refresh is under way on the switch: it says '{busy}'.");
            }
        }

        return Pass("Busy");
    }

    private GateRefusal? LifeSafety()
    {
        int now = Fresh!.LifeSafetyLoads;
        bool accepted = _unit.LifeSafetyAcceptedBy is not null && now <= _unit.LifeSafetyLoads;
        if (now == 0 || accepted || _options.Attended)
        {
            return Pass("LifeSafety", ("loads", now), ("acceptedBy", _unit.LifeSafetyAcceptedBy));
        }

        string planned = _unit.LifeSafetyAcceptedBy is null ? "nobody accepted them in the plan" : $"the plan accepts {Count(_unit.LifeSafetyLoads)}";
        return Refuse(
            "LifeSafety", StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted,
            $"{Outages.LifeSafety.Caution(now)} This run asks nobody, and {planned}: {string.Join(", ", new GateReport(_unit, Fresh).LifeSafetyLoads)}.");
    }

    private GateRefusal? Pass(string gate, params (string, object?)[] facts)
    {
        _record.Write(RunEntryKind.Gate, [("gate", gate), ("passed", true), .. facts]);
        return null;
    }

    private GateRefusal Refuse(string gate, StageOutcome outcome, ProblemId id, string reason)
    {
        _record.Write(RunEntryKind.Gate, ("gate", gate), ("passed", false), ("problem", id.ToString()), ("reason", reason));
        return new GateRefusal(outcome, id, reason);
    }

    private static string Time(DateTime utc) => utc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) + " UTC";

    private static string Minutes(double minutes) => minutes.ToString("0", CultureInfo.InvariantCulture);

    private static string Count(int count) => count.ToString(CultureInfo.InvariantCulture);
}

/// <summary>Why a unit does not start.</summary>
/// <param name="Outcome">Refused, or Skipped where nothing is wrong.</param>
/// <param name="Id">The kind of problem.</param>
/// <param name="Reason">Why, in a sentence.</param>
internal sealed record GateRefusal(StageOutcome Outcome, ProblemId Id, string Reason);
