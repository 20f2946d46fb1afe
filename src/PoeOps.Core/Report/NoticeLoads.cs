using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>The loads that go dark at a site, each once however many images its unit gets, in words for people who know neither port nor switch.</summary>
/// <param name="units">The refreshes at the site.</param>
internal sealed class NoticeLoads(DarkUnit[] units)
{
    // Roles of loads of which nobody has said what they are.
    private static readonly string[] Unsaid = ["other", "load"];

    private readonly IGrouping<UnitId, DarkUnit>[] _units = [.. units.GroupBy(unit => unit.Unit.UnitId).Where(hops => hops.Any(hop => hop.Unit.Loads > 0))];

    /// <summary>How many go dark.</summary>
    public int Count => _units.Sum(hops => hops.Max(hop => hop.Unit.Loads));

    /// <summary>How many of them people can come to harm without.</summary>
    public int LifeSafetyCount => _units.Sum(hops => hops.Max(hop => hop.Unit.LifeSafetyLoads));

    /// <summary>How many of them go dark more than once.</summary>
    public int MoreThanOnce => _units.Where(hops => hops.Count() > 1).Sum(hops => hops.Max(hop => hop.Unit.Loads));

    /// <summary>How many go dark, whether in the same moment, and how many more than once; ends with the mark before a list, or where none is to come with a full stop.</summary>
    public string Sentence()
    {
        string together = Count < 2 ? string.Empty : _units.Length == 1 ? ", all together" : ", not all at once";
        string often = MoreThanOnce == 0 ? string.Empty
            : MoreThanOnce < Count ? FormattableString.Invariant($", {MoreThanOnce} of them more than once")
            : Count == 1 ? ", more than once" : ", and each more than once";
        string devices = Count switch { 0 => "No device goes dark", 1 => "1 device goes dark", _ => FormattableString.Invariant($"{Count} devices go dark") };
        return devices + together + often + (Roles().Count == 0 ? "." : ":");
    }

    /// <summary>How many of each role, those first that people can come to harm without, and of each of both last those of which nobody has said what they are; none where that is so of all.</summary>
    public IReadOnlyList<string> Roles()
    {
        (string Role, int Count, bool LifeSafety)[] roles = [.. DarkUnit.Roles(_units.SelectMany(hops => hops.First().Unit.DarkLoads))];
        return roles.All(role => IsUnsaid(role.Role) && !role.LifeSafety) ? []
            : [.. Lines(roles.Where(role => role.LifeSafety)).Select(line => line + " (keeps people safe)"), .. Lines(roles.Where(role => !role.LifeSafety))];
    }

    /// <summary>Some of the loads, by what people call them and what they do; such as have the same name or none are counted.</summary>
    /// <param name="which">Which of a refresh.</param>
    public IReadOnlyList<string> Names(Func<DarkUnit, IReadOnlyList<PlannedLoad>> which) =>
    [
        .. _units.SelectMany(hops => hops.SelectMany(which).GroupBy(load => load.Port, StringComparer.OrdinalIgnoreCase).Select(ports => ports.First()))
            .GroupBy(Name, StringComparer.OrdinalIgnoreCase)
            .Select(same => same.Count() == 1 ? same.Key : FormattableString.Invariant($"{same.Key}: {same.Count()}")),
    ];

    private static IEnumerable<string> Lines(IEnumerable<(string Role, int Count, bool LifeSafety)> roles)
    {
        int others = 0;
        foreach ((string role, int count, _) in roles)
        {
            if (IsUnsaid(role))
            {
                others += count;
            }
            else
            {
                yield return FormattableString.Invariant($"{role}: {count}");
            }
        }

        if (others > 0)
        {
            yield return others == 1 ? "1 other device" : FormattableString.Invariant($"{others} other devices");
        }
    }

    private static string Name(PlannedLoad load)
    {
        string role = string.IsNullOrWhiteSpace(load.Role) || IsUnsaid(load.Role) ? string.Empty : DarkUnit.Short(load.Role);
        return string.IsNullOrWhiteSpace(load.Load) ? role.Length == 0 ? "a device without a name" : role
            : role.Length == 0 ? DarkUnit.Short(load.Load!) : $"{DarkUnit.Short(load.Load!)} ({role})";
    }

    private static bool IsUnsaid(string role) => Unsaid.Contains(role.Trim(), StringComparer.OrdinalIgnoreCase);
}
