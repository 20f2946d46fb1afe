using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>What is left of a plan after its runs, for the plan that comes after it.</summary>
/// <param name="Plan">The plan that was run; null where there are problems.</param>
/// <param name="Estate">The estate that is planned for; null where there are problems.</param>
/// <param name="Left">The units that have images left, as that plan approved them.</param>
/// <param name="Options">What the next plan takes over: acceptances, pilots that are through, windows to keep, lanes and soak.</param>
/// <param name="NotWell">Units that are not planned again by the journal alone, because of how they ended.</param>
/// <param name="Problems">Why nothing can be planned after the journal.</param>
public sealed record ReplanResult(Plan? Plan, EstateMap? Estate, IReadOnlyList<Outage> Left, PlanOptions Options, IReadOnlyList<Obstacle> NotWell, IReadOnlyList<Problem> Problems);

/// <summary>Takes from a journal what is left of its plan.</summary>
public static class JournalReplan
{
    /// <summary>Finds what is left. Nothing is written.</summary>
    /// <param name="path">The journal; its last line may be torn.</param>
    /// <param name="planPath">Where the plan lies now; null where the journal says.</param>
    /// <param name="estate">The estate, for what it says of units; null for that of the plan.</param>
    /// <param name="options">Gives, for the estate, options to start from; <see cref="PlanOptions.FromUtc"/> says which windows can still be kept.</param>
    /// <returns>What is left, or the problems of <see cref="JournalResume.Find"/>, or of the plan's estate.</returns>
    public static ReplanResult Find(string path, string? planPath, EstateMap? estate, Func<EstateMap, PlanOptions> options)
    {
        ResumeResult found = JournalResume.Find(path, planPath);
        if (found.Plan is not { } plan)
        {
            return None(found.Problems);
        }

        if (estate is null)
        {
            EstateResult read = CheckedEstate.Read(plan.EstatePath);
            if (read.Estate is null)
            {
                return None(read.Problems);
            }

            estate = read.Estate;
        }

        return Of(plan, JournalResume.Past(JournalReplay.Read(path), plan.Fingerprint), estate, options(estate));
    }

    /// <summary>What is left of a plan, by what its runs left in their record.</summary>
    public static ReplanResult Of(Plan plan, RunPast past, EstateMap estate, PlanOptions options)
    {
        List<Outage> left = [];
        List<Obstacle> notWell = [];
        List<KeptWindow> keep = [];
        UnitPast? PastOf(PlannedUnit unit) => past.Units.TryGetValue(unit.Order, out UnitPast? one) ? one : null;
        foreach (List<PlannedUnit> unit in plan.Units.OrderBy(unit => unit.Order).GroupBy(unit => unit.UnitId).Select(hops => hops.OrderBy(hop => hop.Hop).ToList()))
        {
            List<PlannedUnit> hops = unit.FindAll(hop => PastOf(hop) is not { IsAtTarget: true });
            keep.AddRange(hops.Select((hop, place) => new KeptWindow(hop.UnitId, place + 1, hop.WindowOpensUtc)).Where((_, place) => hops[place].WindowClosesUtc > options.FromUtc));
            if (unit.Select(PastOf).FirstOrDefault(one => one is { IsAtTarget: false } or { Outcome: StageOutcome.Degraded }) is { } bad && hops.Count > 0)
            {
                notWell.Add(NotWell(unit[0], bad));
            }
            else if (hops.Count > 0)
            {
                left.Add(OutageOf(plan, hops, estate));
            }
        }

        return new ReplanResult(plan, estate, left, Taken(plan, PastOf, options) with { Keep = keep }, notWell, []);
    }

    private static ReplanResult None(IReadOnlyList<Problem> problems) => new(null, null, [], new PlanOptions(), [], problems);

    // What somebody accepted in the plan that was approved holds in the one that takes its place.
    private static PlanOptions Taken(Plan plan, Func<PlannedUnit, UnitPast?> past, PlanOptions options) => options with
    {
        Lanes = plan.Lanes,
        Soak = options.Soak ?? TimeSpan.FromSeconds(plan.SoakSeconds),
        LifeSafety =
        [
            .. options.LifeSafety,
            .. plan.Units.Where(unit => unit.LifeSafetyAcceptedBy is not null).Select(unit => new LifeSafetyAcceptance(unit.UnitId, unit.LifeSafetyAcceptedBy!, unit.LifeSafetyAcceptedUtc!.Value)),
        ],
        RefusedLoads = [.. options.RefusedLoads, .. plan.Units.Where(unit => unit.RefusedLoadsAccepted is not null).Select(unit => unit.UnitId)],
        ReadingProblems = [.. options.ReadingProblems, .. plan.Units.Where(unit => unit.ReadingProblemsAccepted).Select(unit => unit.UnitId)],
        PilotsDone =
        [
            .. options.PilotsDone,
            .. plan.Units.Where(unit => unit.Pilot && past(unit) is { Outcome: StageOutcome.Done }).Select(unit => new PilotDone(unit.UnitId, unit.Model, unit.ToFirmware, unit.ImageSha256, past(unit)!.LastUtc)),
        ],
    };

    private static Outage OutageOf(Plan plan, List<PlannedUnit> hops, EstateMap estate)
    {
        PlannedUnit first = hops[0];
        Outage outage = PlanOutage.Of(plan with { Units = [.. hops.Select((hop, place) => hop with { Hop = place + 1, Hops = hops.Count })] })[0];
        UnitSetting? setting = estate.FindSwitch(first.Switch)?.Units.FirstOrDefault(one => string.Equals(one.Unit, first.Unit, StringComparison.OrdinalIgnoreCase));
        Drift drift = outage.Drift with
        {
            BaselinePath = plan.Baselines.Count == 1 ? plan.Baselines[0].Path : string.Empty,
            Controller = outage.Drift.Controller with
            {
                CoverageGroup = setting?.CoverageGroup ?? first.CoverageGroup,
                HoldsManagement = setting?.HoldsManagement ?? false,
                SwitchUnits = first.SwitchUnits,
                ReadingProblems = first.ReadingProblemsAccepted ? 1 : 0,
            },
        };
        return outage with { Drift = drift };
    }

    private static Obstacle NotWell(PlannedUnit unit, UnitPast past)
    {
        string how = past.Outcome is { } outcome ? $"It ended {outcome} in the run" : $"The run broke off while it was in {past.Stage}";
        return new Obstacle
        {
            Site = unit.Site,
            Switch = unit.Switch,
            Unit = unit.Unit,
            ProblemId = past.IsOpen ? ProblemId.OutcomeUncertain : past.Outcome == StageOutcome.Degraded ? ProblemId.LoadsNotBack : ProblemId.RefreshFailed,
            Reason = $"{how}, so that what the plan knew of it does not hold any more.",
            WouldHelp = past.IsOpen ? "Ask it by Invoke-PseRefresh -Resume, or read it again and give it to New-PsePlan." : "Have it looked at, read it again, and give it to New-PsePlan.",
        };
    }
}
