using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>The rows of a plan, from what the search found.</summary>
internal static class PlannedRows
{
    /// <summary>The rows in order of their starts.</summary>
    public static IEnumerable<PlannedUnit> Of(Solution solution, PlanOptions options) => solution.Draft.InOrder()
        .Select((item, place) => Row(solution, solution.Task.Items[item], options) with { Order = place + 1 });

    private static PlannedUnit Row(Solution solution, PlanItem item, PlanOptions options)
    {
        Outage outage = item.Outage;
        int index = item.Hop;
        Place place = solution.Draft[item.Index]!.Value;
        Window window = solution.Task.Windows[place.Window].Window;
        Drift drift = outage.Drift;
        Hop hop = drift.Path[index];
        LifeSafetyAcceptance? accepted = options.LifeSafety.FirstOrDefault(one => one.UnitId == outage.UnitId);
        return new PlannedUnit
        {
            Site = outage.Site,
            Switch = outage.Switch,
            Unit = outage.Unit,
            Model = drift.Model!,
            Serial = drift.Serial,
            Release = drift.Release,
            FromFirmware = index == 0 ? drift.Firmware! : drift.Path[index - 1].Firmware,
            ToFirmware = hop.Firmware,
            Hop = index + 1,
            Hops = drift.Hops,
            ImageFile = hop.Image.File,
            ImageBytes = hop.Image.Bytes,
            ImageSha256 = hop.Image.Sha256,
            ImageFamily = hop.Image.Family,
            WorstSeconds = item.WorstSeconds,
            RecoverSeconds = outage.RecoverSeconds,
            StartUtc = new DateTime(place.Start, DateTimeKind.Utc),
            EndUtc = new DateTime(place.Start + item.Length, DateTimeKind.Utc),
            WindowOpensUtc = window.OpensUtc,
            WindowClosesUtc = window.ClosesUtc,
            WindowAttended = window.Attended,
            Lane = place.Lane + 1,
            Pilot = item.IsPilot,
            ReserveSeconds = options.Reserve.TotalSeconds,
            Loads = outage.Loads,
            LifeSafetyLoads = outage.LifeSafetyLoads,
            BudgetWatts = outage.BudgetWatts,
            RestartDemandWatts = outage.RestartDemandWatts,
            ShortfallWatts = outage.ShortfallWatts,
            RefusedLoadsAccepted = outage.RefusedLoads is > 0 and { } refused && options.RefusedLoads.Contains(outage.UnitId) ? refused : null,
            CoverageGroup = drift.Controller.CoverageGroup,
            SwitchUnits = drift.Controller.SwitchUnits,
            DarkLoads = [.. outage.LoadOutages.Select(PlannedLoad.Of)],
            LifeSafetyAcceptedBy = outage.LifeSafetyLoads > 0 ? accepted?.By : null,
            LifeSafetyAcceptedUtc = outage.LifeSafetyLoads > 0 ? accepted?.Utc : null,
            ReadingProblemsAccepted = drift.ReadingProblems > 0,
            StageTimes = hop.Times,
        };
    }
}
