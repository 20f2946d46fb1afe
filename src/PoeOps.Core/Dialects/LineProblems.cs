using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>What cannot be read in the lines of a text, told in sentences.</summary>
internal sealed class LineProblems
{
    // Beyond this many unread lines, one more problem counts the rest: a wrong dialect would bury everything else.
    private const int MostUnread = 200;

    // The odd part of a line may stand far behind.
    private const int MostOfALine = 200;

    private readonly string _dialect;
    private readonly List<Problem> _problems = [];
    private readonly Dictionary<string, int> _rest = new(StringComparer.Ordinal);
    private readonly Dictionary<(string Source, Regex Pattern), int> _givenUp = [];
    private int _unreadLines;

    /// <summary>Tells of a dialect.</summary>
    /// <param name="dialect">The dialect's name.</param>
    public LineProblems(string dialect) => _dialect = dialect;

    /// <summary>Where others add theirs.</summary>
    public IList<Problem> All => _problems;

    /// <summary>Those that say that the text stops.</summary>
    public List<Problem> Cuts { get; } = [];

    /// <summary>All problems so far.</summary>
    public IReadOnlyList<Problem> AsRead => _problems;

    /// <summary>No rule takes a line.</summary>
    public void Unread(CaptureLine line, OpenBlock? open)
    {
        string where = open is null ? "outside every block" : $"in the block '{open.Block.Name}'";
        string shown = Excerpt.Of(line.Text, MostOfALine);
        AddUnread(
            ProblemId.LineUnread, $"No rule of the dialect '{_dialect}' reads this line {where}: '{shown}'.",
            "Add a row for it to the dialect, or name it under 'ignore'.", line, open?.Unit ?? line.Unit);
    }

    /// <summary>A line does not stand in the columns of its header.</summary>
    public void Misfit(OpenBlock open, CaptureLine line, string sentence) =>
        AddUnread(
            ProblemId.ValueUnreadable, $"{sentence.TrimEnd('.')}, in the block '{open.Block.Name}'.",
            "The row is left out; read the device again, correct 'columns' and 'align' of the dialect, or name the line under 'ignore'.", line, open.Unit ?? line.Unit);

    /// <summary>A header does not give the places of the columns, and no row beneath it can be read.</summary>
    public void Header(OpenBlock open, CaptureLine line, string wrong, bool missing) =>
        Add(
            missing ? ProblemId.RowIncomplete : ProblemId.ValueUnreadable, $"The header of the block '{open.Block.Name}' {wrong}.",
            "Name each of its words once in 'columns', as it is printed; null is for one that nobody wants.", line, open.Unit);

    /// <summary>A text that looks like JSON is none, and nothing of it is read.</summary>
    public void JsonSpoilt(IEnumerable<Problem> problems, CaptureLine begun) =>
        _problems.AddRange(problems.Select(problem => problem with { Target = begun.Unit, Advice = "The whole answer is left out; read the device again." }));

    /// <summary>An answer that is JSON stopped before its end, or is longer than any may be, and nothing of it is read.</summary>
    public void JsonStops(CaptureLine begun, int? most)
    {
        if (most is { } limit)
        {
            Add(
                ProblemId.AnswerTooLong, $"The JSON that begins here has more than {limit.ToString(CultureInfo.InvariantCulture)} characters.",
                "Ask the device for less at a time, such as for one unit.", begun, begun.Unit);
        }
        else
        {
            Cuts.Add(Add(ProblemId.BlockNotEnded, "The JSON that begins here stops before its last bracket.", "The text was cut; read the device again.", begun, begun.Unit));
        }
    }

    /// <summary>A value of JSON that no path reads, or JSON in which no block finds its rows.</summary>
    public void JsonUnread(CaptureLine line, string sentence, string advice) => AddUnread(ProblemId.LineUnread, sentence, advice, line, line.Unit);

    /// <summary>A path found something else than one value.</summary>
    public void JsonNoValue(JsonField field, string found, CaptureLine line, string? unit) =>
        Add(
            ProblemId.ValueUnreadable, $"The path '{Excerpt.Of(field.Path.Text)}' finds {found} where one value of {field.Property} was expected.",
            "The row is left out; correct the path, so that it leads to one text, number or flag.", line, unit);

    private void AddUnread(ProblemId id, string sentence, string advice, CaptureLine line, string? unit)
    {
        _unreadLines++;
        if (_unreadLines <= MostUnread)
        {
            _problems.Add(new Problem(id, sentence, advice) { File = line.Source, Line = line.FileLine, Text = Excerpt.Of(line.Text, MostOfALine), Target = unit });
        }
        else
        {
            _ = _rest.TryGetValue(line.Source, out int before);
            _rest[line.Source] = before + 1;
        }
    }

    /// <summary>A pattern that was given up would have had to be tried on a line, which is read by no other for that.</summary>
    public void GivenUp(Regex pattern, CaptureLine line)
    {
        _ = _givenUp.TryGetValue((line.Source, pattern), out int before);
        _givenUp[(line.Source, pattern)] = before + 1;
    }

    /// <summary>Counts the unread lines that were not told, for each file or answer.</summary>
    public void CountTheRest()
    {
        _problems.AddRange(_rest.Select(rest => new Problem(
            ProblemId.LineUnread, $"{rest.Value.ToString(CultureInfo.InvariantCulture)} more lines are not read by any rule.", "Test-PseDialect lists every one.")
        { File = rest.Key }));
        _problems.AddRange(_givenUp.Select(one => new Problem(
            ProblemId.PatternTooSlow,
            $"{one.Value.ToString(CultureInfo.InvariantCulture)} more {(one.Value == 1 ? "line stays" : "lines stay")} unread, for the pattern '{Excerpt.Of(one.Key.Pattern.ToString())}' was given up.", "Mend the pattern first.")
        { File = one.Key.Source }));
    }

    /// <summary>Holds what a block says of the number of its records against what its rows gave.</summary>
    public void CheckCount(OpenBlock open, GatheredText told)
    {
        if (!int.TryParse(told.Text, NumberStyles.None, CultureInfo.InvariantCulture, out int count))
        {
            Add(ProblemId.ValueUnreadable, $"Count '{Excerpt.Of(told.Text)}' is no number of records.", "Correct the pattern that reads it.", told.Line!, open.Unit);
        }
        else if (count != open.Given)
        {
            string given = open.Given == 1 ? "1 record of it was read" : $"{open.Given.ToString(CultureInfo.InvariantCulture)} records of it were read";
            Add(
                ProblemId.RowsMissing, $"The block '{open.Block.Name}' says {count.ToString(CultureInfo.InvariantCulture)} here, and {given}.",
                "A row is missing or was misread; read the device again, or correct the dialect.", told.Line!, open.Unit);
        }
    }

    /// <summary>A block stopped before its end.</summary>
    public void NotEnded(OpenBlock open) =>
        Cuts.Add(Add(
            ProblemId.BlockNotEnded, $"The block '{open.Block.Name}' began here and its end was not seen.",
            "The text was cut, or the dialect does not know this end; read the device again.", open.Begun, open.Unit));

    /// <summary>A row of several lines stopped before its last; its block has no row open any more, and its one record is not whole.</summary>
    /// <param name="open">The block.</param>
    /// <param name="row">The row.</param>
    /// <param name="cut">True where the text stops there.</param>
    public void Incomplete(OpenBlock open, OpenRow row, bool cut)
    {
        open.Row = null;
        open.Torn = true;
        Problem problem = Add(
            ProblemId.RowIncomplete,
            $"The row '{row.Pattern.Name}' has {row.Pattern.Lines.Count.ToString(CultureInfo.InvariantCulture)} lines, and only the first {row.Taken.ToString(CultureInfo.InvariantCulture)} came.",
            "The text was cut or another line came in between; read the device again, or name the other line under 'ignore'.", row.Begun, open.Unit);
        if (cut)
        {
            open.IsCutTold = true;
            Cuts.Add(problem);
        }
    }

    /// <summary>The last line of a text that stops within a block may have lost its end, and half a number is a number.</summary>
    public void Cut(OpenBlock open, CaptureLine line)
    {
        open.Torn = true;
        if (open.IsCutTold)
        {
            return;
        }

        open.IsCutTold = true;
        string orMend = open.Block.Ends.Count > 0 ? string.Empty : ", or end the file with a line end where it is whole";
        Cuts.Add(Add(
            ProblemId.RowIncomplete, $"The text stops in this line, before the end of the block '{open.Block.Name}'.",
            $"The row is left out, for something may be missing at its end; read the device again{orMend}.", line, open.Unit));
    }

    /// <summary>A pattern came to no end on a line.</summary>
    public void TooSlow(Regex pattern, CaptureLine line, OpenBlock? open)
    {
        string milliseconds = pattern.MatchTimeout.TotalMilliseconds.ToString(CultureInfo.InvariantCulture);
        string most = PatternTries.MostSlowLines.ToString(CultureInfo.InvariantCulture);
        Add(
            ProblemId.PatternTooSlow, $"The pattern '{Excerpt.Of(pattern.ToString())}' did not come to an end on this line within {milliseconds} ms.",
            $"Write it so that no part can match the same text in many ways, as (a+)+ does; it is given up after {most} such lines.", line, open?.Unit);
    }

    private Problem Add(ProblemId id, string sentence, string advice, CaptureLine line, string? unit)
    {
        var problem = new Problem(id, sentence, advice) { File = line.Source, Line = line.FileLine, Text = Excerpt.Of(line.Text), Target = unit };
        _problems.Add(problem);
        return problem;
    }
}
