using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads, of a rule in <c>windows</c>, in which weeks and between which days it opens.</summary>
internal static class WindowDaysJson
{
    private const string WeekAdvice = "Write numbers from 1 to 5, and \"last\" or -1 for the last of the month.";

    /// <summary>Adds what stands there to the rule; mistakes are reported through the reader.</summary>
    /// <param name="reader">The rule's object.</param>
    /// <param name="rule">What was read of it, with its days.</param>
    public static WindowRule Read(JsonObjectReader reader, WindowRule rule)
    {
        WindowRule whole = rule with
        {
            Weeks = Weeks(reader),
            EveryWeeks = reader.Whole("everyWeeks", least: 1, most: 52) ?? 1,
            From = Date(reader, "from", "2026-12-01"),
            Until = Date(reader, "until", "2027-06-30"),
        };
        Check(reader, whole);
        return whole;
    }

    private static void Check(JsonObjectReader reader, WindowRule rule)
    {
        if (rule.EveryWeeks > 1 && reader.Has("week"))
        {
            reader.Report(ProblemId.WindowImpossible, "everyWeeks", "The window has both 'week' and 'everyWeeks', and one of them says when it comes back.", "Keep 'week' for days of the month, or 'everyWeeks' for a count of weeks.");
        }
        else if (rule.EveryWeeks > 1 && !reader.Has("from"))
        {
            reader.Report(ProblemId.WindowImpossible, "everyWeeks", $"The window opens every {rule.EveryWeeks} weeks, and nothing says from which week they are counted.", "Add 'from' with a day of a week in which it opens.");
        }
        else if (rule.From is not null && rule.Until is not null && string.CompareOrdinal(rule.Until, rule.From) < 0)
        {
            reader.Report(ProblemId.WindowImpossible, "until", $"The window opens from {rule.From} until {rule.Until}, so it ends before it begins.", "Let 'until' be the last day on which it may open; that day belongs to it.");
        }
        else if (rule.Days.Count > 0 && new OpeningDays(rule).AreNone)
        {
            reader.Report(ProblemId.WindowImpossible, null, $"The window never opens: no such day of the week or month is there from {rule.From ?? "0001-01-01"} until {rule.Until ?? "9999-12-31"}.", "Correct 'days', 'week', 'from' or 'until', or remove the window.");
        }
    }

    private static int[] Weeks(JsonObjectReader reader)
    {
        if (reader.Item("week", expected: "a list of weeks") is not { } item)
        {
            return [];
        }

        IReadOnlyList<JsonItem> items = item.Kind == JsonKind.List ? item.Items() : [item];
        if (items.Count == 0)
        {
            item.Report(ProblemId.WindowImpossible, "The window has no weeks, so it never opens.", "Name a week of the month, or remove 'week' for every week.");
        }

        return [.. items.Select(Week).Where(week => week is not null).Select(week => week!.Value).Distinct()];
    }

    private static int? Week(JsonItem item)
    {
        int? week = item.Text == "last" ? WindowRule.LastWeek : item.Number is { } number && number is -1 or 1 or 2 or 3 or 4 or 5 ? (int)number : null;
        if (week is null)
        {
            item.Report(ProblemId.JsonBadValue, $"Found {item.InWords()} where a week of the month was expected.", WeekAdvice);
        }

        return week;
    }

    private static string? Date(JsonObjectReader reader, string key, string example)
    {
        string? text = reader.Text(key);
        if (text is not null && !IsoText.IsDate(text))
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no date.", $"Write it as in {example}.");
            return null;
        }

        return text;
    }
}
