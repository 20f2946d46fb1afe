using System.Globalization;
using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>
/// A page that shows how a dialect reads captures: the figures first, then what is wrong, the rules, and every line, numbered and labelled by the rule
/// that took it. Of captures that are too long for a page it says which lines are left out. The same reading gives the same page.
/// </summary>
public static class DialectPage
{
    private const int MostListed = 500;

    /// <summary>Makes the page.</summary>
    /// <param name="dialect">The dialect.</param>
    /// <param name="reading">What it made of the captures.</param>
    /// <returns>HTML, complete in itself.</returns>
    public static string Of(Dialect dialect, CoverageReading reading)
    {
        using PageWriter page = new($"How the dialect {dialect.Name} reads its captures");
        var captures = CapturePart.Of(reading, dialect.SourcePath);
        var rules = RuleTints.Of(reading.Lines);
        WriteHead(page, dialect, reading.Summary);
        WriteContents(page, captures);
        page.Open("main");
        WriteFigures(page, captures, reading.Summary);
        WriteUnread(page, captures, reading.Summary.Unread);
        WriteProblems(page, captures, reading.Problems);
        WriteRules(page, captures, rules);
        PageSigns signs = new(captures, reading.Problems, MostListed);
        foreach (CapturePart capture in captures)
        {
            capture.Write(page, rules, signs);
        }

        page.Close();
        return page.End();
    }

    private static void WriteHead(PageWriter page, Dialect dialect, DialectCoverage summary)
    {
        page.Open("header");
        page.Element("h1", $"How the dialect {dialect.Name} reads {Count(summary.Captures, "capture")}");
        if (dialect.Title.Length > 0)
        {
            page.Element("p", dialect.Title);
        }

        string unread = summary.Unread == 0 ? "Every line is accounted for" : $"{Count(summary.Unread, "line")} of {Number(summary.Lines)} {(summary.Unread == 1 ? "is" : "are")} read by no rule";
        string problems = summary.Problems == 0 ? "there is no problem" : $"there {(summary.Problems == 1 ? "is" : "are")} {Count(summary.Problems, "problem")}";
        page.Element("p", $"{unread}, and {problems}.", ("class", "verdict"));
        page.Close();
        page.Line();
    }

    private static void WriteContents(PageWriter page, IReadOnlyList<CapturePart> captures)
    {
        page.Open("nav", ("aria-label", "Contents"));
        page.Open("ul");
        foreach ((string anchor, string name) in new[] { ("figures", "Summary"), ("unread", "Lines that no rule reads"), ("problems", "Problems"), ("rules", "Rules") }
            .Concat(captures.Take(MostListed).Select(capture => (capture.Anchor, $"{capture.Name}: {capture.InWords}"))))
        {
            page.Open("li");
            page.Link(anchor, name);
            page.Close();
        }

        page.Close();
        WriteRest(page, captures.Count, "captures");
        page.Close();
        page.Line();
    }

    private static void WriteFigures(PageWriter page, IReadOnlyList<CapturePart> captures, DialectCoverage summary)
    {
        Section(page, "figures", "Summary");
        page.Open("table");
        page.Element("caption", "All captures together");
        page.Open("tbody");
        foreach ((string name, string value) in new[]
        {
            ("Lines", Number(summary.Lines)), ("Read", Number(summary.Read)), ("Ignored", Number(summary.Ignored)), ("Blank", Number(summary.Blank)),
            ("Prompts", Number(summary.Prompts)), ("Unread", Number(summary.Unread)),
            ("Covered", summary.CoveredPercent.ToString("0.#", CultureInfo.InvariantCulture) + " %"), ("Problems", Number(summary.Problems)),
            ("Controllers", Number(summary.Controllers)), ("Ports", Number(summary.Ports)), ("Releases", Number(summary.Releases)),
        })
        {
            page.Open("tr");
            page.Element("th", name, ("scope", "row"));
            page.Element("td", value, ("class", "count"));
            page.Close();
        }

        page.Close();
        page.Close();
        WriteFindings(page, captures, summary);
        page.Close();
        page.Line();
    }

    private static void WriteFindings(PageWriter page, IReadOnlyList<CapturePart> captures, DialectCoverage summary)
    {
        page.Open("dl");
        WriteFinding(page, "Rules that took no line", summary.NeverUsed, name => page.Text(name));
        WriteFinding(page, "Properties that were never filled", summary.NeverFilled, name => page.Text(name));
        WriteFinding(page, "Rules that would take the same lines", summary.Overlaps, one =>
        {
            page.Text($"'{one.Takes}' takes {Count(one.Lines, "line")} that '{one.WouldTake}' would, the first: ");
            WriteLine(page, captures, one.File, one.Line);
        });
        WriteFinding(page, "Slow patterns", summary.SlowPatterns, one =>
        {
            page.Text($"'{one.Rule}' takes {one.Milliseconds.ToString("0.#", CultureInfo.InvariantCulture)} ms at ");
            WriteLine(page, captures, one.File, one.Line);
        });
        WriteFinding(page, "Versions that no spelling reads", summary.UnreadVersions, text => page.Text(text));
        WriteFinding(page, "Words for a controller's condition that have no meaning", summary.UnknownWords, text => page.Text(text));
        page.Close();
    }

    private static void WriteFinding<T>(PageWriter page, string name, IReadOnlyList<T> items, Action<T> write)
    {
        page.Element("dt", items.Count == 0 ? name : $"{name}: {Number(items.Count)}");
        if (items.Count == 0)
        {
            page.Element("dd", "none");
        }

        foreach (T item in items.Take(MostListed))
        {
            page.Open("dd");
            write(item);
            page.Close();
        }

        if (items.Count > MostListed)
        {
            page.Element("dd", $"and {Number(items.Count - MostListed)} more, which are not listed here");
        }
    }

    private static void WriteLine(PageWriter page, IReadOnlyList<CapturePart> captures, string file, int line)
    {
        if (captures.FirstOrDefault(capture => capture.File == file) is { } capture)
        {
            capture.WriteLink(page, line);
        }
        else
        {
            page.Text($"{Path.GetFileName(file)}, line {Number(line)}");
        }
    }

    private static void WriteUnread(PageWriter page, IReadOnlyList<CapturePart> captures, int unread)
    {
        Section(page, "unread", "Lines that no rule reads");
        if (unread == 0)
        {
            page.Element("p", "None.");
        }
        else
        {
            page.Open("ul");
            foreach ((CapturePart capture, LineReading line) in captures.SelectMany(capture => capture.Unread.Select(line => (capture, line))).Take(MostListed))
            {
                page.Open("li");
                capture.WriteLink(page, line.Line);
                page.Text(": ");
                page.Element("code", line.Text);
                page.Close();
            }

            page.Close();
            WriteRest(page, unread, "lines");
        }

        page.Close();
        page.Line();
    }

    private static void WriteProblems(PageWriter page, IReadOnlyList<CapturePart> captures, IReadOnlyList<Problem> problems)
    {
        Section(page, "problems", "Problems");
        if (problems.Count == 0)
        {
            page.Element("p", "None.");
        }
        else
        {
            OpenTable(page, "What cannot be read, and what to do about it", "Number", "Where", "Problem", "What is wrong", "What to do");
            foreach ((Problem problem, int number) in problems.Take(MostListed).Select((problem, at) => (problem, at + 1)))
            {
                page.Open("tr", ("id", PageSigns.AnchorOf(number)));
                page.Element("th", Number(number), ("scope", "row"));
                page.Open("td");
                WritePlace(page, captures, problem);
                page.Close();
                page.Element("td", problem.Id.ToString());
                page.Element("td", problem.Sentence, ("class", "prose"));
                page.Element("td", problem.Advice, ("class", "prose"));
                page.Close();
                page.Line();
            }

            CloseTable(page);
            WriteRest(page, problems.Count, "problems");
        }

        page.Close();
        page.Line();
    }

    private static void WritePlace(PageWriter page, IReadOnlyList<CapturePart> captures, Problem problem)
    {
        if (captures.FirstOrDefault(capture => capture.File == problem.File) is { } capture)
        {
            if (problem.Line is { } line)
            {
                capture.WriteLink(page, line);
            }
            else
            {
                page.Link(capture.Anchor, capture.Name);
            }
        }
        else
        {
            page.Text(problem.File is null ? problem.Target ?? "the captures" : $"{Path.GetFileName(problem.File)}{(problem.Line is { } at ? $", line {Number(at)}" : string.Empty)}");
        }
    }

    private static void WriteRules(PageWriter page, IReadOnlyList<CapturePart> captures, RuleTints rules)
    {
        Section(page, "rules", "Rules");
        OpenTable(page, "Rules and the lines that they took, in the order in which they first did", "Rule", "What it does", "Lines", "First");
        foreach (RuleUse rule in rules.Used)
        {
            page.Open("tr", ("class", rule.Tint));
            page.Element("th", rule.Name, ("scope", "row"));
            page.Element("td", rule.First.ReadAs == ReadAs.Ignored ? "ignores" : "reads");
            page.Element("td", Number(rule.Lines), ("class", "count"));
            page.Open("td");
            WriteLine(page, captures, rule.First.File, rule.First.Line);
            page.Close();
            page.Close();
            page.Line();
        }

        CloseTable(page);
        page.Close();
        page.Line();
    }

    private static void WriteRest(PageWriter page, int count, string what)
    {
        if (count > MostListed)
        {
            page.Element("p", $"And {Number(count - MostListed)} more {what}, which are not listed here.");
        }
    }

    internal static void Section(PageWriter page, string anchor, string name)
    {
        page.Open("section", ("id", anchor), ("aria-labelledby", anchor + "-name"));
        page.Element("h2", name, ("id", anchor + "-name"));
    }

    internal static void OpenTable(PageWriter page, string caption, params string[] columns)
    {
        page.Open("div", ("class", "wide"), ("tabindex", "0"), ("role", "region"), ("aria-label", caption));
        page.Open("table");
        page.Element("caption", caption);
        page.Open("thead");
        page.Open("tr");
        foreach (string column in columns)
        {
            page.Element("th", column, ("scope", "col"));
        }

        page.Close();
        page.Close();
        page.Line();
        page.Open("tbody");
    }

    internal static void CloseTable(PageWriter page)
    {
        page.Close();
        page.Close();
        page.Close();
    }

    internal static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);

    internal static string Count(int count, string what) => $"{Number(count)} {what}{(count == 1 ? string.Empty : "s")}";
}
