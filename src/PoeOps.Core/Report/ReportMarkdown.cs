using System.Text;

namespace PoeOps.Report;

/// <summary>A summary as Markdown (CommonMark, with the tables of GitHub's). Whatever comes from a device or a file is text in it, never markup.</summary>
public static class ReportMarkdown
{
    private const string Special = "\\`*_{}[]<>#|~&!^$@";

    /// <summary>Makes the text.</summary>
    /// <param name="summary">The summary.</param>
    public static string Of(RunSummary summary)
    {
        StringBuilder text = new();
        Line(text, $"# {Text(ReportTitle.Of(summary))}");
        Line(text, Text(ReportTitle.About(summary)));
        foreach (Problem problem in summary.Problems)
        {
            Line(text, $"- **{problem.Id}**: {Text(problem.Sentence)} {Text(problem.Advice)}");
        }

        foreach (Answer answer in new[] { summary.StillDark, summary.LifeSafety, summary.ByHand })
        {
            Line(text, $"## {Text(answer.Question)}");
            Line(text, $"**{Text(answer.Verdict)}.** {Text(answer.Sentence)}".TrimEnd());
            if (answer.Units.Count > 0)
            {
                Line(text, Text(string.Join(", ", answer.Units)));
            }

            Items(text, answer.Items);
        }

        foreach (string sentence in summary.IsPlanAlone ? PlanTables.Short(summary) : [])
        {
            Line(text, Text(sentence));
        }

        foreach (ReportTable table in ReportTables.Of(summary))
        {
            Table(text, table);
        }

        Line(text, "## Cautions");
        Items(text, summary.Cautions);
        return text.ToString().TrimEnd('\n') + "\n";
    }

    private static void Table(StringBuilder text, ReportTable table)
    {
        Line(text, $"## {Text(table.Title)}");
        Line(text, Text(table.Caption));
        if (table.Rows.Count == 0)
        {
            Line(text, Text(table.Empty));
            return;
        }

        text.Append("| ").Append(string.Join(" | ", table.Columns.Select(column => Text(column.Name)))).Append(" |\n");
        text.Append('|').Append(string.Concat(table.Columns.Select(column => column.IsNumber ? " ---: |" : " --- |"))).Append('\n');
        foreach (IReadOnlyList<string> row in table.Rows)
        {
            text.Append("| ").Append(string.Join(" | ", row.Select(cell => Text(cell)))).Append(" |\n");
        }

        text.Append('\n');
    }

    private static void Items(StringBuilder text, IReadOnlyList<string> items)
    {
        foreach (string item in items)
        {
            text.Append("- ").Append(Text(item)).Append('\n');
        }

        if (items.Count > 0)
        {
            text.Append('\n');
        }
    }

    private static void Line(StringBuilder text, string line) => text.Append(line).Append("\n\n");

    // Everything that could begin markup, an address that is made a link by itself among it; a number and a point before a blank, or a dash, at the start of a text
    // begin a list, and a colon before a letter may begin a picture. Times and versions stay as they are, for those who read the text as it is.
    private static string Text(string text)
    {
        string plain = PlainText.Of(text).Trim(' ');
        StringBuilder shown = new(plain.Length + 8);
        for (int i = 0; i < plain.Length; i++)
        {
            bool begins = (i == 0 && plain[i] is '-' or '+' or '=') || (plain[i] is '.' or ')' && EndsWord(plain, i) && plain.Substring(0, i).All(c => c is >= '0' and <= '9'));
            bool address = plain[i] == '.' && i >= 3 && string.Compare(plain, i - 3, "www", 0, 3, StringComparison.OrdinalIgnoreCase) == 0;
            bool colon = plain[i] == ':' && i + 1 < plain.Length && (plain[i + 1] is '/' or '+' or '-' || char.IsLetter(plain[i + 1]));
            if (Special.IndexOf(plain[i]) >= 0 || begins || address || colon)
            {
                shown.Append('\\');
            }

            shown.Append(plain[i]);
        }

        return shown.ToString();
    }

    private static bool EndsWord(string text, int at) => at + 1 == text.Length || char.IsWhiteSpace(text[at + 1]);
}
