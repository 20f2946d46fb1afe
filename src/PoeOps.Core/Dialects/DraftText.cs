using System.Globalization;
using Newtonsoft.Json;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Writes a draft down: JSON with a comment for every guess.</summary>
internal sealed class DraftText
{
    private const int MostListed = 200;
    private const int MostShown = 120;

    private readonly List<string> _lines = [];

    /// <summary>How many guesses were written.</summary>
    public int Guesses { get; private set; }

    /// <summary>The text so far.</summary>
    public string Text => string.Join("\n", _lines) + "\n";

    /// <summary>Writes a draft.</summary>
    /// <param name="plan">What was guessed.</param>
    /// <param name="unread">The lines that no guess covers, up to a bound.</param>
    /// <param name="count">How many there are.</param>
    public void Write(DraftPlan plan, IReadOnlyList<DraftLine> unread, int count)
    {
        Add(0, "{");
        Add(1, DialectSkeleton.SchemaLine(plan.Schema));
        Add(1, $"// A first draft from captures ({plan.Captures}). Every comment that begins with GUESS marks a guess: check each, and then take its comment away.");
        Add(1, "// What is missing (log-in, ask, versions, refresh) is in the skeleton that New-PseDialect writes without -Capture.");
        Add(1, $"\"name\": {JsonConvert.ToString(plan.Name)},");
        if (plan.Encoding != DialectEncoding.Usual)
        {
            Add(1, $"\"encoding\": {JsonConvert.ToString(plan.Encoding)},");
        }

        Add(0, string.Empty);
        WriteConsole(plan);
        WriteBlocks(plan);
        WriteIgnore(plan.Pagers);
        WriteValues(plan.Values);
        WriteUnread(unread, count);
        Add(0, "}");
    }

    private void WriteConsole(DraftPlan plan)
    {
        Add(1, "\"console\": {");
        foreach (DraftPatternGuess prompt in plan.Prompts)
        {
            Guess(2, $"a prompt: {prompt.Why}, as in {prompt.Line.Where}: {Shown(prompt.Line)}");
        }

        if (plan.Prompts.Count == 0)
        {
            Add(2, "// No prompt was found in the captures: write yours here.");
        }

        string[] prompts = plan.Prompts.Count == 0 ? ["^EDIT-the-prompt> $"] : [.. plan.Prompts.Select(prompt => prompt.Pattern)];
        Add(2, $"\"prompts\": {List(prompts)}{(plan.Pagers.Count > 0 ? "," : string.Empty)}");
        foreach (DraftPatternGuess pager in plan.Pagers)
        {
            Guess(2, $"a pager, and that a blank goes on: {pager.Why}, as in {pager.Line.Where}: {Shown(pager.Line)}");
        }

        if (plan.Pagers.Count > 0)
        {
            Add(2, $"\"pagers\": [{string.Join(", ", plan.Pagers.Select(pager => $" {{ \"expect\": {Json(pager.Pattern + " *$")}, \"send\": \" \" }}"))} ]");
        }

        Add(1, "},");
        Add(0, string.Empty);
    }

    private void WriteBlocks(DraftPlan plan)
    {
        Add(1, "\"blocks\": [");
        DraftBlock[] read = [.. plan.Blocks.Where(block => block.WhyNot is null)];
        for (int i = 0; i < read.Length; i++)
        {
            WriteBlock(read[i], string.Empty, i + 1 < read.Length);
        }

        if (read.Length == 0)
        {
            Add(2, "// Nothing was found that could be read: this stands in its place.");
            Add(2, "{ \"name\": \"EDIT\", \"of\": \"controller\", \"begins\": [\"EDIT the first line of an answer\"], \"rows\": [\"(?<Unit>\\\\d+) +(?<Condition>\\\\S+)\"] }");
        }

        foreach (DraftBlock block in plan.Blocks.Where(block => block.WhyNot is not null))
        {
            Add(2, $"// NOT READ: {Line(block.WhyNot!)}. Name its groups, and take the slashes away.");
            WriteBlock(block, "// ", more: false);
        }

        Add(1, "]");
        Add(0, string.Empty);
    }

    private void WriteBlock(DraftBlock block, string off, bool more)
    {
        string[] rows = [.. block.Rows()];
        if (off.Length == 0)
        {
            Guess(2, $"{block.Why}: of {Of(block)}");
            foreach (DraftField field in block.Fields.Where(field => field.Property is not null))
            {
                Guess(2, $"'{field.Name}' fills {field.Property}, {field.Reason}; it holds {Values(field)}");
            }

            if (block.Ends.Count > 0)
            {
                Guess(2, $"its end: {block.EndsWhy}");
            }

            if (block.Header is not null)
            {
                Guess(2, "that its header carries nothing but the names of its columns");
            }

            if (block.Ruler is not null)
            {
                Guess(2, "its ruler, a line of nothing but signs beneath the header");
            }
        }
        else
        {
            Add(2, $"// {Line(block.Why)}.");
        }

        foreach (DraftField field in block.Fields.Where(field => field.Property is null))
        {
            Add(2, $"// '{Line(field.Name)}' fills nothing{(field.Dropped is null ? string.Empty : $": {Line(field.Dropped)}")}; it holds {Values(field)}.");
        }

        string ends = block.Ends.Count > 0 ? $", \"ends\": {List([block.Ends[0]])}" : string.Empty;
        Add(2, $"{off}{{ \"name\": {Json(block.Name)}, \"of\": \"{Of(block)}\"{(block.OneRecord ? ", \"oneRecord\": true" : string.Empty)},");
        Add(2, $"{off}  \"begins\": {List([block.Begins()])}{ends},");
        Add(2, $"{off}  \"rows\": [");
        for (int i = 0; i < rows.Length; i++)
        {
            Add(2, $"{off}    {Json(rows[i])}{(i + 1 < rows.Length ? "," : string.Empty)}");
        }

        string[] ignored = [.. new[] { (Name: "header", Pattern: block.Header), (Name: "ruler", Pattern: block.Ruler) }.Where(rule => rule.Pattern is not null).Select(rule => $"{{ \"name\": \"{rule.Name}\", \"pattern\": {Json(rule.Pattern!)} }}")];
        Add(2, $"{off}  ]{(ignored.Length == 0 ? string.Empty : $", \"ignore\": [ {string.Join(", ", ignored)} ]")} }}{(more ? "," : string.Empty)}");
    }

    private void WriteIgnore(IReadOnlyList<DraftPatternGuess> pagers)
    {
        if (pagers.Count > 0)
        {
            Guess(1, "what a pager leaves behind in a capture, to the letter");
            Add(1, $", \"ignore\": [{string.Join(", ", pagers.Select((pager, i) => $" {{ \"name\": \"pager {(i + 1).ToString(CultureInfo.InvariantCulture)}\", \"pattern\": {Json(" *" + pager.Pattern)} }}"))} ]");
            Add(0, string.Empty);
        }
    }

    private void WriteValues(DraftValues values)
    {
        (string Property, string Json, string Why)[] rules = [.. values.Rules];
        if (rules.Length > 0)
        {
            Add(1, ", \"values\": {");
            for (int i = 0; i < rules.Length; i++)
            {
                Guess(2, $"how {rules[i].Property} is written: {rules[i].Why}");
                Add(2, $"\"{rules[i].Property}\": {rules[i].Json}{(i + 1 < rules.Length ? "," : string.Empty)}");
            }

            Add(1, "}");
            Add(0, string.Empty);
        }

        if (values.PortNames.Count > 0)
        {
            Guess(1, $"which part of a port's name is the unit, in names such as {string.Join(" and ", values.PortNames.Values.Select(name => $"'{name}'"))}");
            Add(1, $", \"portNames\": {List([.. values.PortNames.Keys])}");
            Add(0, string.Empty);
        }
    }

    private void WriteUnread(IReadOnlyList<DraftLine> unread, int count)
    {
        Add(1, FormattableString.Invariant($"// Lines that no guess covers: {count}. They stay unread until you write a rule for them."));
        foreach (DraftLine line in unread.Take(MostListed))
        {
            Add(1, $"//   {Line(line.Where)}: {Shown(line)}");
        }

        if (count > MostListed)
        {
            Add(1, FormattableString.Invariant($"//   and {count - MostListed} more; Test-PseDialect lists all."));
        }
    }

    private static string Of(DraftBlock block) => (block.Kind ?? RecordKind.Controller).ToString().ToLowerInvariant();

    private static string Values(DraftField field) => string.Join(", ", field.Values.Take(3).Select(value => $"'{Line(value)}'")) + (field.Values.Count > 3 ? " and others" : string.Empty);

    private static string Shown(DraftLine line) => Line(line.Text.Trim());

    // Nothing in it may end the comment.
    private static string Line(string text) => Excerpt.Of(text, MostShown).Replace('\u2028', ' ').Replace('\u2029', ' ');

    // A hidden character is an escape in a pattern too, and stands for the same.
    private static string Json(string text) => JsonConvert.ToString(PlainText.Of(text));

    private static string List(IReadOnlyList<string> texts) => $"[{string.Join(", ", texts.Select(Json))}]";

    private void Guess(int depth, string text)
    {
        Guesses++;
        Add(depth, $"// GUESS: {Excerpt.Of(text, 400)}; check this.");
    }

    private void Add(int depth, string text) => _lines.Add(text.Length == 0 ? text : new string(' ', 2 * depth) + PlainText.OfLine(text));
}
