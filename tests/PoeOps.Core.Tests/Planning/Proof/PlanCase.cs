using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;
using Window = PoeOps.Calendar.Window;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>Something to plan: an estate, units, options.</summary>
internal sealed record PlanCase(EstateMap Estate, IReadOnlyList<Outage> Units, PlanOptions Options)
{
    public static readonly DateTime Noon = new(2026, 12, 1, 12, 0, 0, DateTimeKind.Utc);

    private readonly Lazy<Dictionary<UnitId, Outage>> _byId = new(() => Units.ToDictionary(unit => unit.UnitId));

    public Dictionary<UnitId, Outage> ById => _byId.Value;

    public Plan Plan() => Planner.Plan(Units, Estate, Options);

    /// <summary>The windows of a site that may be used.</summary>
    public IReadOnlyList<Window> Windows(string site) =>
        [.. new WindowCalendar(Estate.FindSite(site)!).Next(Options.FromUtc, Options.MostWindows).Where(window => Options.UntilUtc is null || window.ClosesUtc <= Options.UntilUtc)];

    public UnitSetting? Setting(Outage unit) => Estate.FindSwitch(unit.Switch)!.Units.FirstOrDefault(one => one.Unit == unit.Unit);

    public bool MayUse(Outage unit, Window window)
    {
        string day = window.OpensLocal.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        string[] names = [day, window.OpensLocal.ToString("yyyy-MM-ddTHH:mm", CultureInfo.InvariantCulture)];
        UnitSetting? setting = Setting(unit);
        bool accepted = unit.LifeSafetyLoads == 0 || Options.LifeSafety.Any(one => one.UnitId == unit.UnitId);
        return (accepted || window.Attended) && (setting is null || ((setting.OnlyWindows.Count == 0 || setting.OnlyWindows.Intersect(names).Any()) && !setting.NotWindows.Intersect(names).Any()));
    }

    public bool AreApart(Outage one, Outage other)
    {
        string group = one.Drift.Controller.CoverageGroup;
        return group.Length > 0 && one != other && one.Site == other.Site && string.Equals(group, other.Drift.Controller.CoverageGroup, StringComparison.OrdinalIgnoreCase)
            && Estate.FindSite(one.Site)!.CoverageGroups.All(named => !string.Equals(named.Name, group, StringComparison.OrdinalIgnoreCase) || named.Apart == CoverageApart.Window);
    }

    public static TimeSpan Length(Outage unit, int hop) => TimeSpan.FromSeconds(HopTimes.Worst(unit.Drift.Path[hop]).Times!.Total + unit.RecoverSeconds);

    public IReadOnlyList<Job> Jobs => [.. Units.SelectMany(unit => Enumerable.Range(0, unit.Hops).Select(hop => new Job(unit, hop)))];

    /// <summary>What comes before what, and how long: hops, management, pilots.</summary>
    public IReadOnlyList<(Job Before, Job After, TimeSpan Lag)> Order(IReadOnlyList<Job> jobs)
    {
        List<(Job, Job, TimeSpan)> order = [.. from one in jobs from other in jobs where Precedes(one, other) select (one, other, TimeSpan.Zero)];
        TimeSpan soak = Options.Soak ?? Estate.Soak ?? TimeSpan.FromHours(24);
        foreach (List<Job> kind in jobs.GroupBy(job => job.Kind).Select(kind => kind.ToList()).OrderBy(kind => kind[0].Hop).ThenBy(kind => jobs.ToList().IndexOf(kind[0])))
        {
            Job pilot = kind.Where(job => !kind.Any(other => Reaches(order, other, job))).OrderBy(job => job.Unit.OutOfServiceLoadMinutes).ThenBy(job => jobs.ToList().IndexOf(job)).First();
            order.AddRange(kind.Where(job => job != pilot).Select(job => (pilot, job, soak)));
        }

        return order;
    }

    /// <summary>
    /// How many windows any plan needs at least, each site for itself: by volume, for the sum of its lengths; and by groups, where as many as the largest of
    /// its coverage groups has units is more. The volume bound is that of bin packing (S. Martello and P. Toth, Knapsack Problems, 1990, chapter 8).
    /// </summary>
    public (int Volume, int Groups) Bound()
    {
        (int volume, int groups) = (0, 0);
        foreach (var site in Units.GroupBy(unit => unit.Site))
        {
            double room = Windows(site.Key).Max(window => (window.ClosesUtc - window.OpensUtc - Options.Reserve).TotalSeconds);
            int bySum = (int)Math.Ceiling(site.Sum(unit => Enumerable.Range(0, unit.Hops).Sum(hop => Length(unit, hop).TotalSeconds)) / room);
            int byGroup = site.Where(unit => unit.Drift.Controller.CoverageGroup.Length > 0).GroupBy(unit => unit.Drift.Controller.CoverageGroup).Select(group => group.Count()).DefaultIfEmpty(0).Max();
            volume += bySum;
            groups += Math.Max(bySum, byGroup);
        }

        return (volume, groups);
    }

    private static bool Precedes(Job one, Job other) =>
        (one.Unit == other.Unit && other.Hop == one.Hop + 1)
        || (one.Unit.Switch == other.Unit.Switch && one.Hop == one.Unit.Hops - 1 && other.Hop == 0 && other.Unit.Drift.Controller.HoldsManagement && !one.Unit.Drift.Controller.HoldsManagement);

    private static bool Reaches(List<(Job Before, Job After, TimeSpan)> order, Job from, Job to) =>
        order.Any(arc => arc.Before == from && (arc.After == to || Reaches(order, arc.After, to)));
}

/// <summary>One image on one unit.</summary>
internal sealed record Job(Outage Unit, int Hop)
{
    public TimeSpan Length => PlanCase.Length(Unit, Hop);

    public (string?, string, string) Kind => (Unit.Drift.Model, Unit.Drift.Path[Hop].Firmware, Unit.Drift.Path[Hop].Image.Sha256);

    public bool Equals(Job? other) => other is not null && ReferenceEquals(Unit, other.Unit) && Hop == other.Hop;

    public override int GetHashCode() => System.Runtime.CompilerServices.RuntimeHelpers.GetHashCode(Unit) + Hop;
}
