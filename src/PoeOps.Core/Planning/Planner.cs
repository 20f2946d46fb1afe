using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>
/// Puts drifted units into the windows of their sites, in natural order, one at a time in the whole estate, each image with its worst case, its
/// recovery and the reserve inside one window, in the first window that has so much left. The same input gives the same plan. Nothing disappears: a
/// unit is planned with all its images, has nothing to do, or is an obstacle. Few windows and little disturbance are not sought.
/// </summary>
public sealed class Planner
{
    private readonly EstateMap _estate;
    private readonly PlanOptions _options;
    private readonly Dictionary<string, IReadOnlyList<Window>> _windows = new(StringComparer.OrdinalIgnoreCase);
    private readonly Lane _lane = new();
    private readonly List<PlannedUnit> _planned = [];
    private readonly CoverageGroups _groups = new();

    private Planner(EstateMap estate, PlanOptions options)
    {
        _estate = estate;
        _options = options;
    }

    /// <summary>Makes a plan.</summary>
    /// <param name="outages">The units, each once.</param>
    /// <param name="estate">The estate, for its windows.</param>
    /// <param name="options">What else is taken into account.</param>
    /// <exception cref="PoeOpsException">
    /// A site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>), a unit comes twice (<see cref="ProblemId.NameTwice"/>), or the estate's file
    /// cannot be read any more (<see cref="ProblemId.FileUnreadable"/>).
    /// </exception>
    public static Plan Plan(IEnumerable<Outage> outages, EstateMap estate, PlanOptions options) => new Planner(estate, options).Make([.. outages]);

    private Plan Make(List<Outage> outages)
    {
        CheckOnce(outages);
        List<Obstacle> obstacles = [];
        foreach (Outage outage in InOrder(outages.Where(NeedsWork)))
        {
            if (Obstacles.Before(outage, _estate, _options) is { } known)
            {
                obstacles.Add(known);
            }
            else if (Place(outage) is { } found)
            {
                obstacles.Add(found);
            }
        }

        List<PlannedUnit> units = [.. _planned.OrderBy(unit => unit.StartUtc).Select((unit, index) => unit with { Order = index + 1 })];
        string path = Path.GetFullPath(_estate.SourcePath);
        return new Plan
        {
            Name = _estate.Name,
            CreatedUtc = _options.CreatedUtc,
            EstatePath = path,
            EstateSha256 = PlanDigest.OfFile(path) ?? throw Gone(path),
            NothingToDo = outages.Count(outage => !NeedsWork(outage)),
            Units = units,
            Obstacles = obstacles,
        };
    }

    private static PoeOpsException Gone(string path) => new(new Problem(
        ProblemId.FileUnreadable, $"The estate file '{path}' cannot be read any more, so the plan could not be held against it later.", "Plan again once the file is there.") { File = path });

    private static bool NeedsWork(Outage outage) => outage.Verdict is not (Verdict.Current or Verdict.Ahead);

    // The unit that carries a stack's management comes after the other units of its switch.
    private static IEnumerable<Outage> InOrder(IEnumerable<Outage> outages) =>
        outages.OrderBy(outage => outage.Site, NaturalOrder.Instance).ThenBy(outage => outage.Switch, NaturalOrder.Instance)
            .ThenBy(outage => outage.Drift.Controller.HoldsManagement).ThenBy(outage => outage.Unit, NaturalOrder.Instance);

    private static void CheckOnce(List<Outage> outages)
    {
        if (outages.GroupBy(outage => outage.UnitId).FirstOrDefault(group => group.Count() > 1) is { } twice)
        {
            throw new PoeOpsException(new Problem(ProblemId.NameTwice, $"The unit {twice.Key} came {twice.Count()} times.", "Give each unit once.") { Target = twice.Key.ToString() });
        }
    }

    // All hops of a unit, or none of them.
    private Obstacle? Place(Outage outage)
    {
        IReadOnlyList<Window> windows = WindowsOf(outage.Site);
        bool mustBeAttended = outage.LifeSafetyLoads > 0 && !_options.LifeSafety.Any(one => one.UnitId == outage.UnitId);
        IReadOnlyList<Window> usable = mustBeAttended ? [.. windows.Where(window => window.Attended)] : windows;
        if (usable.Count == 0)
        {
            return Obstacles.NoWindow(outage, windows.Count);
        }

        DateTime notBefore = EndOfOthers(outage);
        List<PlannedUnit> hops = [];
        for (int hop = 0; hop < outage.Hops; hop++)
        {
            PlannedUnit unit = Describe(outage, hop);
            if (Fit(unit, outage, usable, notBefore) is not { } placed)
            {
                return Obstacles.DoesNotFit(outage, unit, usable, mustBeAttended);
            }

            hops.Add(placed);
            notBefore = placed.EndUtc;
        }

        foreach (PlannedUnit placed in hops)
        {
            _lane.Take(placed.StartUtc, placed.EndUtc);
            _planned.Add(placed);
            _groups.Take(outage, placed);
        }

        return null;
    }

    private DateTime EndOfOthers(Outage outage)
    {
        IEnumerable<DateTime> ends = outage.Drift.Controller.HoldsManagement
            ? _planned.Where(unit => string.Equals(unit.Switch, outage.Switch, StringComparison.OrdinalIgnoreCase)).Select(unit => unit.EndUtc)
            : [];
        return ends.Append(_options.FromUtc).Max();
    }

    private PlannedUnit? Fit(PlannedUnit unit, Outage outage, IReadOnlyList<Window> windows, DateTime notBefore)
    {
        var length = TimeSpan.FromSeconds(unit.WorstSeconds + unit.RecoverSeconds);
        foreach (Window window in windows.Where(window => window.ClosesUtc > notBefore && !_groups.IsTaken(outage, window)))
        {
            DateTime start = _lane.Free(window.OpensUtc > notBefore ? window.OpensUtc : notBefore, length);
            if (start + length + _options.Reserve <= window.ClosesUtc)
            {
                return unit with
                {
                    StartUtc = start,
                    EndUtc = start + length,
                    WindowOpensUtc = window.OpensUtc,
                    WindowClosesUtc = window.ClosesUtc,
                    WindowAttended = window.Attended,
                };
            }
        }

        return null;
    }

    private PlannedUnit Describe(Outage outage, int index)
    {
        Drift drift = outage.Drift;
        Hop hop = drift.Path[index];
        LifeSafetyAcceptance? accepted = _options.LifeSafety.FirstOrDefault(one => one.UnitId == outage.UnitId);
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
            WorstSeconds = HopTimes.Worst(hop).Times!.Total,
            RecoverSeconds = outage.RecoverSeconds,
            ReserveSeconds = _options.Reserve.TotalSeconds,
            Loads = outage.Loads,
            LifeSafetyLoads = outage.LifeSafetyLoads,
            BudgetWatts = outage.BudgetWatts,
            RestartDemandWatts = outage.RestartDemandWatts,
            ShortfallWatts = outage.ShortfallWatts,
            RefusedLoadsAccepted = outage.RefusedLoads is > 0 and { } refused && _options.RefusedLoads.Contains(outage.UnitId) ? refused : null,
            CoverageGroup = drift.Controller.CoverageGroup,
            SwitchUnits = drift.Controller.SwitchUnits,
            DarkLoads = [.. outage.LoadOutages.Select(PlannedLoad.Of)],
            LifeSafetyAcceptedBy = outage.LifeSafetyLoads > 0 ? accepted?.By : null,
            LifeSafetyAcceptedUtc = outage.LifeSafetyLoads > 0 ? accepted?.Utc : null,
            ReadingProblemsAccepted = drift.ReadingProblems > 0,
            StageTimes = hop.Times,
        };
    }

    private IReadOnlyList<Window> WindowsOf(string siteName)
    {
        if (!_windows.TryGetValue(siteName, out IReadOnlyList<Window>? windows))
        {
            windows = new WindowCalendar(_estate.FindSite(siteName)!).Next(_options.FromUtc, _options.MostWindows);
            _windows.Add(siteName, windows);
        }

        return windows;
    }
}
