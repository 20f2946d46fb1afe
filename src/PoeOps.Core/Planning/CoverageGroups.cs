using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>
/// Which unit of a coverage group is planned in which window: units that cover for each other do not go in the same window of a site, nor in two
/// windows that overlap. A unit may have all its images in one window.
/// </summary>
internal sealed class CoverageGroups
{
    private readonly Dictionary<string, List<(UnitId Unit, DateTime OpensUtc, DateTime ClosesUtc)>> _groups = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>True where another unit of the same group and site is planned in the window already.</summary>
    public bool IsTaken(Outage outage, Window window) =>
        _groups.TryGetValue(Key(outage), out var planned)
        && planned.Any(one => one.Unit != outage.UnitId && one.OpensUtc < window.ClosesUtc && window.OpensUtc < one.ClosesUtc);

    /// <summary>Notes that a unit is planned in a window.</summary>
    public void Take(Outage outage, PlannedUnit unit)
    {
        if (outage.Drift.Controller.CoverageGroup.Length == 0)
        {
            return;
        }

        if (!_groups.TryGetValue(Key(outage), out var planned))
        {
            _groups.Add(Key(outage), planned = []);
        }

        planned.Add((outage.UnitId, unit.WindowOpensUtc, unit.WindowClosesUtc));
    }

    private static string Key(Outage outage) => outage.Site + "\n" + outage.Drift.Controller.CoverageGroup;
}
