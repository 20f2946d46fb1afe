using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>Holds a plan against every rule of planning, from the plan and what it was made of alone.</summary>
internal static class PlanChecker
{
    /// <summary>Every rule that the plan breaks, in a sentence each.</summary>
    public static IEnumerable<string> Broken(PlanCase one, Plan plan) =>
        [.. Complete(one, plan), .. InWindows(one, plan), .. Lanes(one, plan), .. InOrder(one, plan), .. Apart(one, plan), .. WithinLimits(one, plan)];

    private static IEnumerable<string> Complete(PlanCase one, Plan plan)
    {
        var planned = plan.Units.GroupBy(unit => unit.UnitId).ToDictionary(unit => unit.Key, unit => unit.ToList());
        foreach (var unit in one.Units)
        {
            bool isPlanned = planned.TryGetValue(unit.UnitId, out List<PlannedUnit>? rows);
            int obstacles = plan.Obstacles.Count(obstacle => obstacle.UnitId == unit.UnitId);
            if (isPlanned ? obstacles != 0 || !rows!.Select(row => row.Hop).Order().SequenceEqual(Enumerable.Range(1, unit.Hops)) : obstacles != 1)
            {
                yield return $"{unit.UnitId} is neither planned with all its images nor an obstacle once.";
            }
        }

        if (planned.Count + plan.NothingToDo + plan.Obstacles.Count != one.Units.Count)
        {
            yield return "Planned, obstacles and those with nothing to do are not as many as came in.";
        }

        if (!plan.Units.OrderBy(unit => unit.StartUtc).ThenBy(unit => unit.Order).Select(unit => unit.Order).SequenceEqual(Enumerable.Range(1, plan.Units.Count)))
        {
            yield return "The order is not that of the starts.";
        }
    }

    private static IEnumerable<string> InWindows(PlanCase one, Plan plan)
    {
        var windows = one.Units.Select(unit => unit.Site).Distinct().ToDictionary(site => site, one.Windows);
        foreach (PlannedUnit row in plan.Units)
        {
            var unit = Unit(one, row);
            bool mayUse = windows[row.Site].Any(window => (window.OpensUtc, window.ClosesUtc, window.Attended) == (row.WindowOpensUtc, row.WindowClosesUtc, row.WindowAttended) && one.MayUse(unit, window));
            bool fits = row.StartUtc >= row.WindowOpensUtc && row.StartUtc >= one.Options.FromUtc && row.EndUtc + one.Options.Reserve <= row.WindowClosesUtc
                && row.EndUtc - row.StartUtc == PlanCase.Length(unit, row.Hop - 1);
            if (!mayUse || !fits)
            {
                yield return $"{row.UnitId} is not in a window of its site that it may use, whole and with the reserve.";
            }
        }
    }

    private static IEnumerable<string> Lanes(PlanCase one, Plan plan)
    {
        if (plan.Units.Any(unit => unit.Lane < 1 || unit.Lane > one.Options.Lanes))
        {
            yield return "A lane is none of the plan's.";
        }

        foreach (var lane in plan.Units.GroupBy(unit => unit.Lane))
        {
            var rows = lane.OrderBy(unit => unit.StartUtc).ToList();
            foreach (var (first, then) in rows.Zip(rows.Skip(1)).Where(pair => pair.First.EndUtc > pair.Second.StartUtc))
            {
                yield return $"{first.UnitId} and {then.UnitId} overlap in lane {lane.Key}.";
            }
        }

        foreach (var site in plan.Units.GroupBy(unit => unit.Site))
        {
            var rows = site.ToList();
            if (rows.GroupBy(unit => (unit.WindowOpensUtc, unit.WindowClosesUtc)).Any(window => window.Select(unit => unit.Lane).Distinct().Count() > 1))
            {
                yield return $"A window of {site.Key} has two lanes.";
            }

            var byStart = rows.OrderBy(unit => unit.StartUtc).ToList();
            foreach (var (first, then) in byStart.Zip(byStart.Skip(1)).Where(pair => pair.First.EndUtc > pair.Second.StartUtc))
            {
                yield return $"{first.UnitId} and {then.UnitId} are dark together at {site.Key}.";
            }
        }
    }

    private static IEnumerable<string> InOrder(PlanCase one, Plan plan)
    {
        var rows = plan.Units.ToDictionary(unit => (unit.UnitId, unit.Hop));
        List<Job> jobs = [.. one.Jobs.Where(job => rows.ContainsKey((job.Unit.UnitId, job.Hop + 1)))];
        if (jobs.Count > 400)
        {
            foreach (string broken in SoakOf(one, plan))
            {
                yield return broken;
            }

            yield break;
        }

        foreach ((Job before, Job after, TimeSpan lag) in one.Order(jobs))
        {
            PlannedUnit first = rows[(before.Unit.UnitId, before.Hop + 1)];
            PlannedUnit then = rows[(after.Unit.UnitId, after.Hop + 1)];
            if (then.StartUtc < first.EndUtc + lag)
            {
                yield return $"{then.UnitId} {then.Hop} starts before {first.UnitId} {first.Hop} is over for {lag}.";
            }
        }
    }

    // For many units the sure part alone: of each kind one is first, by the soak.
    private static IEnumerable<string> SoakOf(PlanCase one, Plan plan)
    {
        TimeSpan soak = one.Options.Soak ?? one.Estate.Soak ?? TimeSpan.FromHours(24);
        foreach (var kind in plan.Units.GroupBy(unit => (unit.Model, unit.ToFirmware, unit.ImageSha256)).Where(kind => kind.Count() > 1))
        {
            PlannedUnit pilot = kind.Single(unit => unit.Pilot);
            if (kind.Any(unit => unit != pilot && unit.StartUtc < pilot.EndUtc + soak))
            {
                yield return $"The pilot of {kind.Key.Model} is not first.";
            }
        }
    }

    private static IEnumerable<string> Apart(PlanCase one, Plan plan)
    {
        foreach (var site in plan.Units.Where(unit => unit.CoverageGroup.Length > 0).GroupBy(unit => unit.Site))
        {
            var rows = site.ToList();
            for (int left = 0; left < rows.Count; left++)
            {
                for (int right = left + 1; right < rows.Count; right++)
                {
                    bool together = rows[left].WindowOpensUtc < rows[right].WindowClosesUtc && rows[right].WindowOpensUtc < rows[left].WindowClosesUtc;
                    if (together && one.AreApart(Unit(one, rows[left]), Unit(one, rows[right])))
                    {
                        yield return $"{rows[left].UnitId} and {rows[right].UnitId} cover for each other and share a window.";
                    }
                }
            }
        }
    }

    private static IEnumerable<string> WithinLimits(PlanCase one, Plan plan)
    {
        foreach (var window in plan.Units.GroupBy(unit => (unit.Site, unit.WindowOpensUtc, unit.WindowClosesUtc)))
        {
            var limits = one.Estate.FindSite(window.Key.Site)!.Limits;
            if (window.Count() > (limits.Units ?? int.MaxValue) || window.Sum(unit => unit.Loads) > (limits.DarkLoads ?? int.MaxValue))
            {
                yield return $"A window of {window.Key.Site} has more than it may.";
            }
        }
    }

    private static PoeOps.Outages.Outage Unit(PlanCase one, PlannedUnit row) => one.ById[row.UnitId];
}
