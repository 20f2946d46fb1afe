using System.Globalization;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>
/// The windows of a plan as an iCalendar file (RFC 5545): one event for each window of a site that the plan uses, from its opening to its close, with what
/// goes dark in it and for how long. An event is known by the estate's name, the site and the window, and a later plan numbers it higher, so that a
/// calendar program which takes the new file replaces the old event. The file has no METHOD: it is a calendar, and invites nobody.
/// </summary>
public static class CalendarFile
{
    private static readonly DateTime FirstSequence = new(2020, 1, 1, 0, 0, 0, DateTimeKind.Utc);

    /// <summary>The calendar of a plan; the same plan gives the same text.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="previous">
    /// The plan whose calendar went out before, or null. Each window of it that the new plan does not use, and that was not over when the new plan was made,
    /// becomes an event that is cancelled.
    /// </param>
    /// <returns>The text, with CR LF at the end of each line; null where there is no event.</returns>
    /// <exception cref="PoeOpsException">The previous plan is of another estate, or was made later (<see cref="ProblemId.PreviousPlanUnfit"/>).</exception>
    public static string? Of(Plan plan, Plan? previous = null)
    {
        if (previous is not null && Unfit(plan, previous) is { } wrong)
        {
            throw new PoeOpsException(wrong);
        }

        IReadOnlyList<PlannedWindow> windows = PlannedWindow.Of(plan);
        HashSet<string> used = [.. windows.Select(window => Uid(plan, window))];
        PlannedWindow[] dropped =
            [.. (previous is null ? [] : PlannedWindow.Of(previous)).Where(window => window.ClosesUtc > plan.CreatedUtc && !used.Contains(Uid(plan, window)))];
        if (windows.Count + dropped.Length == 0)
        {
            return null;
        }

        CalendarText text = new();
        text.Line("BEGIN", "VCALENDAR");
        text.Line("VERSION", "2.0");
        text.Line("PRODID", "-//PoeOps//Plan calendar//EN");
        foreach (PlannedWindow window in windows)
        {
            Event(text, plan, window, cancelled: false);
        }

        foreach (PlannedWindow window in dropped)
        {
            Event(text, plan, window, cancelled: true);
        }

        text.Line("END", "VCALENDAR");
        return text.ToString();
    }

    private static Problem? Unfit(Plan plan, Plan previous)
    {
        string? found = !string.Equals(plan.Name, previous.Name, StringComparison.Ordinal) ? $"of the estate '{Excerpt.Of(previous.Name)}', and the plan is of '{Excerpt.Of(plan.Name)}'"
            : previous.CreatedUtc > plan.CreatedUtc ? $"made at {IsoText.Write(previous.CreatedUtc)}, after the plan ({IsoText.Write(plan.CreatedUtc)})"
            : null;
        return found is null ? null : new Problem(ProblemId.PreviousPlanUnfit, $"The previous plan is {found}.", "Give the plan of the same estate whose calendar went out before.");
    }

    private static void Event(CalendarText text, Plan plan, PlannedWindow window, bool cancelled)
    {
        text.Line("BEGIN", "VEVENT");
        text.Line("UID", Uid(plan, window));
        text.Time("DTSTAMP", plan.CreatedUtc);
        text.Line("SEQUENCE", Sequence(plan).ToString(CultureInfo.InvariantCulture));
        text.Line("STATUS", cancelled ? "CANCELLED" : "CONFIRMED");
        text.Time("DTSTART", window.OpensUtc);
        text.Time("DTEND", window.ClosesUtc);
        text.Words("SUMMARY", (cancelled ? "Cancelled: " : string.Empty) + EventWords.Summary(window));
        text.Words("LOCATION", DarkUnit.Short(window.Site));
        text.Words("DESCRIPTION", cancelled
            ? $"Nothing is refreshed in this window any more, by the plan of {plan.CreatedUtc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)} UTC."
            : EventWords.Description(window));
        text.Line("END", "VEVENT");
    }

    // Case makes no difference to a site's name in an estate.
    private static string Uid(Plan plan, PlannedWindow window) =>
        "poeops-" + PlanDigest.OfText(string.Join("\n", plan.Name, window.Site.ToUpperInvariant(), IsoText.Write(window.OpensUtc), IsoText.Write(window.ClosesUtc))).Substring(0, 40);

    // Seconds since 2020, which are enough for an INTEGER (section 3.3.8) until 2088.
    private static int Sequence(Plan plan) => (int)Math.Max(0, Math.Min(int.MaxValue, (plan.CreatedUtc - FirstSequence).TotalSeconds));
}
