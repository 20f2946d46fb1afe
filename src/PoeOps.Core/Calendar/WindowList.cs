using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Calendar;

/// <summary>The next windows of several sites, merged in order of opening.</summary>
public sealed record WindowList
{
    // Where there are fewer windows than were asked for, dropped openings are listed for a year.
    private static readonly TimeSpan DroppedFor = TimeSpan.FromDays(366);

    /// <summary>The windows, in order of opening, then of close, then of the sites' names.</summary>
    public IReadOnlyList<Window> Windows { get; init; } = [];

    /// <summary>
    /// The openings that freezes drop up to the last of the windows, or in a year where there are fewer windows than were asked for; in the same order.
    /// </summary>
    public IReadOnlyList<Window> Dropped { get; init; } = [];

    /// <summary>Windows and dropped openings, in the same order.</summary>
    public IReadOnlyList<Window> All => InOrder(Windows.Concat(Dropped));

    /// <summary>The names of the sites that have no window at all within ten years, in natural order.</summary>
    public IReadOnlyList<string> Without { get; init; } = [];

    /// <summary>What is wrong with a site, whose windows are lacking then: its zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</summary>
    public IReadOnlyList<Problem> Problems { get; init; } = [];

    /// <summary>Lists windows.</summary>
    /// <param name="sites">The sites.</param>
    /// <param name="fromUtc">Those that are open at this time or open after it, UTC.</param>
    /// <param name="count">How many of all sites together, at the most.</param>
    public static WindowList Of(IEnumerable<Site> sites, DateTime fromUtc, int count)
    {
        List<Problem> problems = [];
        List<(WindowCalendar Calendar, IReadOnlyList<Window> Windows, string Site)> read = [];
        foreach (Site site in sites)
        {
            if (Zones.Check(site.Zone) is { } wrong)
            {
                problems.Add(wrong with { Target = site.Name });
            }
            else
            {
                var calendar = new WindowCalendar(site);
                read.Add((calendar, calendar.Next(fromUtc, count), site.Name));
            }
        }

        IReadOnlyList<Window> windows = [.. InOrder(read.SelectMany(one => one.Windows)).Take(count)];
        DateTime until = windows.Count == count ? windows[count - 1].OpensUtc : Later(windows, fromUtc);
        return new WindowList
        {
            Windows = windows,
            Dropped = InOrder(read.SelectMany(one => one.Calendar.Dropped(fromUtc, until))),
            Without = [.. read.Where(one => one.Windows.Count == 0).Select(one => one.Site).OrderBy(name => name, NaturalOrder.Instance)],
            Problems = problems,
        };
    }

    /// <summary>The problem that an estate has no site of a name (<see cref="ProblemId.NotInEstate"/>); names the nearest.</summary>
    /// <param name="estate">The estate.</param>
    /// <param name="name">The name that was given.</param>
    public static Problem NoSite(EstateMap estate, string name) => new(
        ProblemId.NotInEstate, $"The estate '{estate.Name}' has no site '{Excerpt.Of(name)}'{Nearest.Hint(name, estate.Sites.Select(site => site.Name))}.", "Name sites as the estate file does; case makes no difference.")
    { Target = name };

    private static DateTime Later(IReadOnlyList<Window> windows, DateTime fromUtc)
    {
        DateTime last = windows.Count == 0 ? fromUtc : windows[windows.Count - 1].OpensUtc;
        DateTime year = fromUtc > DateTime.MaxValue - DroppedFor ? DateTime.MaxValue : fromUtc + DroppedFor;
        return last > year ? last : year;
    }

    private static IReadOnlyList<Window> InOrder(IEnumerable<Window> windows) =>
        [.. windows.OrderBy(window => window.OpensUtc).ThenBy(window => window.ClosesUtc).ThenBy(window => window.Site, NaturalOrder.Instance)];
}
