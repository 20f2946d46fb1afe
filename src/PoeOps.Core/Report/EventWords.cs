using System.Globalization;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>What the event of a window says.</summary>
internal static class EventWords
{
    /// <summary>The line that a calendar shows: the site, how many refreshes, how many loads go dark.</summary>
    public static string Summary(PlannedWindow window)
    {
        int lifeSafety = Count(window, unit => unit.LifeSafetyLoads);
        return $"{DarkUnit.Short(window.Site)}: {Many(window.Units.Count, "refresh", "refreshes")}, {Dark(Count(window, unit => unit.Loads))}"
            + (lifeSafety > 0 ? FormattableString.Invariant($", {lifeSafety} life-safety") : string.Empty);
    }

    /// <summary>Everything else, in lines: life-safety loads with a caution first, then each unit with its start, its loads and how long they are dark.</summary>
    public static string Description(PlannedWindow window)
    {
        DarkUnit[] units = [.. window.Units.Select(DarkUnit.Of)];
        List<string> lines = [.. Caution(window, units)];
        lines.Add("PSE controllers are refreshed one after the other, and the loads of each are dark meanwhile. Times are UTC; a unit may start later than planned.");
        lines.AddRange(units.Select(Line));
        return string.Join("\n", lines);
    }

    private static IEnumerable<string> Caution(PlannedWindow window, DarkUnit[] units)
    {
        if (Count(window, unit => unit.LifeSafetyLoads) is not (> 0 and int count))
        {
            yield break;
        }

        yield return $"CAUTION: {LifeSafety.Caution(count)}";
        foreach (DarkUnit unit in units)
        {
            foreach (PlannedLoad load in unit.LifeSafety)
            {
                yield return $"- {unit.Say(load)}, from about {Clock(unit.Unit.StartUtc)}";
            }
        }
    }

    private static string Line(DarkUnit dark)
    {
        PlannedUnit unit = dark.Unit;
        string roles = string.Join(", ", DarkUnit.Roles(unit.DarkLoads).Select(role => FormattableString.Invariant($"{role.Role} {role.Count}") + (role.LifeSafety ? " (life-safety)" : string.Empty)));
        string image = unit.Hops > 1 ? FormattableString.Invariant($", image {unit.Hop} of {unit.Hops}") : string.Empty;
        string which = roles.Length == 0 ? string.Empty : $": {roles}";
        string refused = dark.Refused.Count == 0 ? string.Empty : $" Not back by itself: {string.Join("; ", dark.Refused.Select(dark.Say))}.";
        return $"{Clock(unit.StartUtc)} {DarkUnit.Short(unit.UnitId.ToString())}{image}: {Dark(unit.Loads)}{(unit.Loads > 0 ? HowLong(dark) : string.Empty)}{which}.{refused}";
    }

    private static string HowLong(DarkUnit dark) => dark.DarkSeconds is ({ } typical, { } worst)
        ? FormattableString.Invariant($" for {DarkUnit.Minutes(typical)} min as a rule, {DarkUnit.Minutes(worst)} min at worst")
        : ", nobody knows for how long";

    // A unit that gets several images in one window has its loads but once.
    private static int Count(PlannedWindow window, Func<PlannedUnit, int> loads) => window.Units.GroupBy(unit => unit.UnitId).Sum(hops => hops.Max(loads));

    private static string Dark(int loads) => loads == 0 ? "no load goes dark" : $"{Many(loads, "load goes", "loads go")} dark";

    private static string Many(int count, string one, string more) => count.ToString(CultureInfo.InvariantCulture) + " " + (count == 1 ? one : more);

    private static string Clock(DateTime utc) => utc.ToString("HH:mm", CultureInfo.InvariantCulture);
}
