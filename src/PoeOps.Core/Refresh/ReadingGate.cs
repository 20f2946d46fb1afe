using System.Globalization;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Holds what was just read of a unit against what its plan was made for.</summary>
internal sealed class ReadingGate
{
    private const string Gate = "Reading";

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly GateBook _book;

    /// <summary>Prepares to compare.</summary>
    public ReadingGate(RunOptions options, PlannedUnit unit, GateBook book)
    {
        _options = options;
        _unit = unit;
        _book = book;
    }

    /// <summary>The unit in a reading of its switch, or null.</summary>
    public Controller? Find(SwitchReading reading) => reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase));

    /// <summary>Compares.</summary>
    /// <returns>What does not hold, or null.</returns>
    public GateRefusal? Check(SwitchReading reading)
    {
        if (Find(reading) is not { } fresh)
        {
            string found = reading.Controllers.Count == 0 ? "none" : string.Join(", ", reading.Controllers.Select(one => one.Unit));
            return _book.Close(Gate, StageOutcome.Refused, ProblemId.UnitChanged, $"The switch lists no unit '{_unit.Unit}' now; it lists {found}.{First(reading)}", last: true);
        }

        if (fresh.ReadingProblems > 0 && !_unit.ReadingProblemsAccepted)
        {
            string problems = fresh.ReadingProblems == 1 ? "a problem" : $"{fresh.ReadingProblems.ToString(CultureInfo.InvariantCulture)} problems";
            return _book.Close(Gate, StageOutcome.Refused, ProblemId.ReadingNotClean, $"Its reading has {problems}.{First(reading)}");
        }

        return Hardware(fresh) ?? Firmware(fresh) ??
            _book.Pass(Gate, ("model", fresh.Model), ("serial", fresh.Serial), ("firmware", fresh.Firmware), ("release", fresh.Release));
    }

    private GateRefusal? Hardware(Controller fresh) =>
        !string.Equals(fresh.Model, _unit.Model, StringComparison.Ordinal) ? Changed("model", _unit.Model, fresh.Model)
        : !string.Equals(fresh.Serial, _unit.Serial, StringComparison.Ordinal) ? Changed("serial", _unit.Serial, fresh.Serial)
        : !string.Equals(fresh.Release, _unit.Release, StringComparison.Ordinal) ? Changed("release", _unit.Release, fresh.Release)
        : fresh.SwitchUnits > 0 && _unit.SwitchUnits > 0 && fresh.SwitchUnits != _unit.SwitchUnits
            ? _book.Close(Gate, StageOutcome.Refused, ProblemId.UnitChanged, $"Its switch lists {Say(fresh.SwitchUnits)} units, and the plan was made for {Say(_unit.SwitchUnits)}.")
        : null;

    private GateRefusal? Firmware(Controller fresh)
    {
        ControllerVersion? now = _options.ReadVersion(_unit, fresh.Firmware);
        ControllerVersion? from = _options.ReadVersion(_unit, _unit.FromFirmware);
        ControllerVersion? to = _options.ReadVersion(_unit, _unit.ToFirmware);
        if (now is not null && now == from)
        {
            return NotNewer(fresh, now, to);
        }

        // Nothing is loaded under WhatIf, so the image that comes before this one has not been either.
        if (_options.WhatIf && _unit.Hop > 1 && now is not null && now < from)
        {
            return null;
        }

        bool done = now is not null && to is not null && now >= to && now <= Last(to);
        if (done && fresh.Condition == ControllerCondition.Healthy)
        {
            return NothingToDo(fresh, now == to);
        }

        // A unit at its target that is not well is for the next gate to name.
        return done ? null : Changed("firmware", _unit.FromFirmware, fresh.Firmware);
    }

    // A plan that was made without the dialect's spelling, or by hand, may lead back: nothing older is loaded over what runs.
    private GateRefusal? NotNewer(Controller fresh, ControllerVersion now, ControllerVersion? to) => to > now ? null : _book.Close(
        Gate, StageOutcome.Refused, ProblemId.ImageNotNewer,
        to is null ? $"The firmware '{_unit.ToFirmware}' that it is to get is no version in any spelling of its dialect."
            : $"It runs {fresh.Firmware}, and the {_unit.ToFirmware} that it is to get is not newer.");

    // What the last image of the unit leads to: where it runs that, those before it have nothing to do either.
    private ControllerVersion Last(ControllerVersion to) => _options.Plan.Units
        .Where(unit => unit.UnitId == _unit.UnitId).Select(unit => _options.ReadVersion(unit, unit.ToFirmware)).Where(version => version is not null).Select(version => version!).Append(to).Max()!;

    // An earlier run may have brought it there and left loads in the dark: a unit with nothing to do is not therefore well.
    private GateRefusal? NothingToDo(Controller fresh, bool atTarget)
    {
        if (_unit.Hop == _unit.Hops && (fresh.PoweredPorts < _unit.Loads || fresh.LifeSafetyLoads < _unit.LifeSafetyLoads))
        {
            string lifeSafety = fresh.LifeSafetyLoads < _unit.LifeSafetyLoads ? $", and {Say(fresh.LifeSafetyLoads)} of its {Say(_unit.LifeSafetyLoads)} life-safety loads" : string.Empty;
            return _book.Close(
                Gate, StageOutcome.Refused, ProblemId.LoadsNotBack,
                $"It runs {fresh.Firmware} already, but only {Say(fresh.PoweredPorts)} of the {Say(_unit.Loads)} loads that the plan counted have power{lifeSafety}. Look at them by hand, or plan again without them.", last: true);
        }

        string reason = atTarget ? $"It runs {fresh.Firmware} already; there is nothing to do." : $"It runs {fresh.Firmware}, which is newer than {_unit.ToFirmware}; there is nothing to do.";
        return _book.Close(Gate, StageOutcome.Skipped, ProblemId.NothingToDo, reason, last: true);
    }

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);

    private GateRefusal? Changed(string what, string? planned, string? found) =>
        _book.Close(Gate, StageOutcome.Refused, ProblemId.UnitChanged, $"Its {what} is '{found ?? "not read"}', and the plan was made for '{planned ?? "none"}'.");

    private string First(SwitchReading reading)
    {
        Problem? problem = reading.Problems.FirstOrDefault(one => one.Target == _unit.UnitId.ToString());
        problem ??= reading.Problems.Count == 0 ? null : reading.Problems[0];
        return problem is null ? string.Empty : $" The first thing that could not be read: {problem.Sentence}";
    }
}
