using System.Globalization;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// What became of the pilot of a planned unit, as far as this run and those that it goes on with know: its fellows are held back where it is not well, and until its soak
/// is over. A pilot in a lane of another run is not known here; the plan has it in a window before theirs.
/// </summary>
internal sealed class PilotWatch(RunOptions options)
{
    private readonly Dictionary<int, UnitResult> _ended = [];

    /// <summary>Keeps how a planned unit ended.</summary>
    public void Remember(PlannedUnit unit, UnitResult result) => _ended[unit.Order] = result;

    /// <summary>Why a unit is not to be begun; null where nothing is known against it.</summary>
    public string? Trouble(PlannedUnit unit, DateTime utc)
    {
        if (Of(unit) is not { } pilot)
        {
            return null;
        }

        string name = $"Its pilot {pilot.UnitId}";
        if (SoakEnds(unit) is { } until && utc < until && !options.WhatIf)
        {
            return $"{name} ended well, and the soak after it lasts until {until.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)} UTC.";
        }

        return _ended.TryGetValue(pilot.Order, out UnitResult? result) ? (IsWell(result) ? null : $"{name} ended {result.Outcome}: {result.Reason}")
            : Past(pilot) is { } past ? (past.Outcome == StageOutcome.Done ? null : $"{name} ended {past.Outcome?.ToString() ?? "nobody knows how"} in an earlier run.")
            : options.Lane is { } lane && pilot.Lane != lane ? null
            : $"{name} was not refreshed.";
    }

    /// <summary>When the soak after the pilot of a unit is over, UTC; null where there is no pilot, or it was not refreshed by these runs and well.</summary>
    public DateTime? SoakEnds(PlannedUnit unit)
    {
        DateTime? end = Of(unit) is not { } pilot ? null
            : _ended.TryGetValue(pilot.Order, out UnitResult? result) ? (result.Outcome == StageOutcome.Done ? result.EndUtc : null)
            : Past(pilot) is { Outcome: StageOutcome.Done } past ? past.LastUtc : null;
        return end?.AddSeconds(options.Plan.SoakSeconds);
    }

    private PlannedUnit? Of(PlannedUnit unit) => unit.Pilot ? null : options.Plan.Units.FirstOrDefault(other =>
        other.Pilot && other.Order != unit.Order && string.Equals(other.Model, unit.Model, StringComparison.OrdinalIgnoreCase)
        && other.ToFirmware == unit.ToFirmware && string.Equals(other.ImageSha256, unit.ImageSha256, StringComparison.OrdinalIgnoreCase));

    private UnitPast? Past(PlannedUnit unit) => options.Past is { } past && past.Units.TryGetValue(unit.Order, out UnitPast? one) ? one : null;

    // Nothing is loaded under WhatIf: there a pilot that would be begun is as good as one that was.
    private bool IsWell(UnitResult result) => result.Outcome == StageOutcome.Done || result.ProblemId == ProblemId.NothingToDo || (options.WhatIf && result.Outcome == StageOutcome.Skipped);
}
