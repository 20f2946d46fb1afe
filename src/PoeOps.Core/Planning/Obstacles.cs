using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>What can stand in the way of planning a unit.</summary>
internal static class Obstacles
{
    /// <summary>What stands in the way before any window is looked at, or null.</summary>
    public static Obstacle? Before(Outage outage, EstateMap estate, PlanOptions options)
    {
        if (outage.Verdict != Verdict.Behind)
        {
            return Of(outage, ProblemId.NotPlannable, outage.Drift.Reason, Help(outage.Verdict));
        }

        bool isInEstate = estate.FindSwitch(outage.Switch) is { } one && string.Equals(one.Site, outage.Site, StringComparison.OrdinalIgnoreCase);
        if (!isInEstate)
        {
            return Of(outage, ProblemId.NotInEstate, $"The estate '{estate.Name}' has no switch '{outage.Switch}' at a site '{outage.Site}'.", "Read the controllers with the same estate, or add the switch to it.");
        }

        if (outage.Drift.ReadingProblems > 0 && !options.ReadingProblems.Contains(outage.UnitId))
        {
            string count = outage.Drift.ReadingProblems == 1 ? "a problem" : outage.Drift.ReadingProblems.ToString(CultureInfo.InvariantCulture) + " problems";
            return Of(outage, ProblemId.ReadingNotClean, $"Its reading has {count}.", "Correct the dialect with Test-PseDialect, or accept the unit by name with -AcceptReadingProblem.");
        }

        return TimesUnknown(outage) ?? Refused(outage, options);
    }

    // Its gate would keep it from starting in the night.
    private static Obstacle? Refused(Outage outage, PlanOptions options) => outage.RefusedLoads is > 0 && !options.RefusedLoads.Contains(outage.UnitId)
        ? Of(outage, ProblemId.LoadsRefused, RestartCaution.Sentence(outage), $"{RestartCaution.Help(outage)} Or accept the unit by name with -AcceptRefusedLoad once that is decided.")
        : null;

    // A stage or a restart without a time cannot be held against the end of a window.
    private static Obstacle? TimesUnknown(Outage outage)
    {
        if (outage.Drift.Path.Select(HopTimes.Worst).FirstOrDefault(times => times.Problem is not null).Problem is { } stage)
        {
            return Of(outage, stage.Id, stage.Sentence, stage.Advice);
        }

        return outage.Drift.Controller.Ports.FirstOrDefault(port => port.Delivering && port.RestartSeconds is null) is { } load
            ? Of(outage, ProblemId.RoleTimesUnknown, $"Nobody says how long the load on port {load.PortId} needs until it serves again.", "Read the controllers with the estate, whose roles say so.")
            : null;
    }

    /// <summary>The site has no window that the unit may use.</summary>
    public static Obstacle NoWindow(Outage outage, int windows) => windows == 0
        ? Of(outage, ProblemId.NoWindowFits, $"The site '{outage.Site}' has no window.", "Give the site windows, or an extra window, in the estate file.")
        : Of(
            outage, ProblemId.LifeSafetyNotAccepted,
            $"{LifeSafety.Caution(outage.LifeSafetyLoads)} No window of the site '{outage.Site}' is attended.",
            "Accept the unit by name with -AcceptLifeSafety once that is decided, or give the site an attended window.");

    /// <summary>No window is long enough, or free enough.</summary>
    public static Obstacle DoesNotFit(Outage outage, PlannedUnit unit, IReadOnlyList<Window> windows, bool attendedOnly)
    {
        string kind = attendedOnly ? "attended window" : "window";
        string accept = attendedOnly ? ", or accept its life-safety loads by name with -AcceptLifeSafety once that is decided" : string.Empty;
        double need = Math.Ceiling((unit.WorstSeconds + unit.RecoverSeconds + unit.ReserveSeconds) / 60);
        double longest = windows.Max(window => (window.ClosesUtc - window.OpensUtc).TotalMinutes);
        string needed = need.ToString("0", CultureInfo.InvariantCulture);
        return need > longest
            ? Of(
                outage, ProblemId.NoWindowFits,
                $"It needs {needed} minutes with its worst case, recovery and reserve, and the longest {kind} of '{outage.Site}' has {longest.ToString("0", CultureInfo.InvariantCulture)}.",
                $"Lengthen a window, or shorten the reserve{accept}.")
            : Of(
                outage, ProblemId.NoWindowFits,
                $"It needs {needed} minutes, and no {kind} of '{outage.Site}' has so much left for it (looked at: {windows.Count.ToString(CultureInfo.InvariantCulture)}).",
                $"Add windows{accept}.");
    }

    private static string Help(Verdict verdict) => verdict switch
    {
        Verdict.Unlisted => "Add its model and release to the baseline.",
        Verdict.Faulted => "Have the unit looked at by hand.",
        _ => "Read it again, or correct the dialect with Test-PseDialect.",
    };

    private static Obstacle Of(Outage outage, ProblemId id, string reason, string help) =>
        new() { Site = outage.Site, Switch = outage.Switch, Unit = outage.Unit, ProblemId = id, Reason = reason, WouldHelp = help };
}
