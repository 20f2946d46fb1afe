using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>What is read otherwise than by a pattern on a line: lines broken at a width, columns, and JSON.</summary>
internal sealed partial class LineWalk
{
    // Beyond these a header is none: every line that is as wide as a screen is tried as the first of one.
    private const int MostHeaderLines = 8;

    private int[]? _widths;
    private bool? _hasJson;

    /// <summary>True once an answer that is JSON was found that a block knows, or that cannot be read, which has been told: no sign of another family.</summary>
    public bool HadJson { get; private set; }

    // Takes a line, with those that it goes on in. Gives the last of them.
    private int TakeFrom(IReadOnlyList<CaptureLine> lines, int at)
    {
        _undecided = false;
        int last = at;
        if ((_hasJson ??= _dialect.Blocks.Any(block => block.Json is not null)) && BeginsJson(lines[at]))
        {
            return TakeJson(lines, at);
        }

        _widths ??= [.. _dialect.Blocks.Where(block => block.Wrap is not null).Select(block => block.Wrap!.Value).Distinct()];
        Take(_widths.Length > 0 && Array.IndexOf(_widths, lines[at].Text.Length) >= 0 ? Joined(lines, at, ref last) : lines[at]);
        return last;
    }

    private CaptureLine Joined(IReadOnlyList<CaptureLine> lines, int at, ref int last)
    {
        CaptureLine line = lines[at];
        bool within = _open?.Block.Wrap == line.Text.Length;
        if (Ignored(line, _dialect.Ignore) is not null || (!within && _open is { Block.Ends.Count: > 0 }))
        {
            return line;
        }

        if (within && (Ignored(line, _open!.Block.Ignore) is not null || StopsRow(line) || BeginsOther(line)))
        {
            return line;
        }

        CaptureLine whole = WrappedLines.Join(lines, at, within ? int.MaxValue : MostHeaderLines, StopsRow, one => Ignored(one, _dialect.Ignore), out int end);
        _undecided = false;
        if (within || _dialect.Blocks.Any(block => block.Wrap == line.Text.Length && block.Begins.Any(begin => Match(begin, whole) is not null)))
        {
            last = end;
            return whole;
        }

        return line;
    }

    // A line that is no rest of a row, however wide the one before it was.
    private bool StopsRow(CaptureLine line) =>
        (_open?.Block is { } block && block.Ends.Concat(block.Begins).Any(pattern => Match(pattern, line) is not null))
        || _prompts.HasCommand(line.Text, pattern => Match(pattern, line));

    private bool BeginsOther(CaptureLine line) =>
        _open is { Block.Ends.Count: 0 } open && _dialect.Blocks.Any(block => !ReferenceEquals(block, open.Block) && block.Begins.Any(begin => Match(begin, line) is not null));

    private bool TakeHeader(OpenBlock open, CaptureLine line)
    {
        foreach (Regex header in open.Block.Header)
        {
            if (Match(header, line) is not null)
            {
                Read(line, $"{open.Block.Name}, header", string.Empty, string.Empty);
                Place(open, line);
                return true;
            }
        }

        return false;
    }

    private void Place(OpenBlock open, CaptureLine header)
    {
        open.Layout = ColumnLayout.Find(open.Block.Columns, header.Text, out string? wrong, out bool missing);
        if (wrong is not null)
        {
            _problems.Header(open, header, wrong, missing);
        }
    }

    // A line that does not stand in the columns may still be another block's first or a prompt; what is wrong with it is told when it is neither.
    private bool TakeCells(OpenBlock open, CaptureLine line)
    {
        open.Misfit = null;
        if (IsPrompt(line))
        {
            return false;
        }

        if (open.Layout is not { } layout)
        {
            open.Misfit = $"No header gives the places of the columns for '{Excerpt.Of(line.Text)}'.";
            return false;
        }

        IReadOnlyList<string>? cells = ColumnRow.Cut(layout, line.Text, out string? wrong);
        open.Misfit = wrong;
        if (cells is null)
        {
            return false;
        }

        var row = new OpenRow(new RowPattern($"{open.Block.Name}, row", []), line);
        List<string> fields = [];
        for (int i = 0; i < cells.Count; i++)
        {
            if (layout.Columns[i].Column.Property is { } property)
            {
                row.Texts.Put(property, cells[i], line);
                if (cells[i].Length > 0)
                {
                    fields.Add($"{property}={cells[i]}");
                }
            }
        }

        open.HasRows = true;
        Read(line, row.Pattern.Name, string.Join("; ", fields), FinishRow(open, row, line));
        return true;
    }

    private bool IsPrompt(CaptureLine line) =>
        _prompts.HasCommand(line.Text, pattern => Match(pattern, line)) || (_prompts.LengthIn(pattern => Match(pattern, line)) is > 0 and int length && line.Text.Substring(length).Trim().Length == 0);

    private bool BeginsJson(CaptureLine line) =>
        JsonSpan.BeginsOn(line) && _open is null or { Block.Ends.Count: 0 } && Ignored(line, _dialect.Ignore) is null && _prompts.LengthIn(pattern => Match(pattern, line)) == 0;

    private int TakeJson(IReadOnlyList<CaptureLine> lines, int at)
    {
        CloseBlock(ended: false);
        var span = new JsonSpan();
        List<CaptureLine> answer = [];
        Dictionary<int, string> ignored = [];
        long length = 0;
        for (int next = at; next < lines.Count && !span.IsWhole && lines[next].Kind == CaptureLineKind.Text; next++)
        {
            CaptureLine line = lines[next];
            _undecided = false;
            if (next > at && Ignored(line, _dialect.Ignore) is { } rule)
            {
                ignored.Add(answer.Count, rule);
            }
            else if (next > at && _prompts.HasCommand(line.Text, pattern => Match(pattern, line)))
            {
                break;
            }
            else
            {
                span.Take(line.Text);
                length += line.Text.Length + 1;
            }

            answer.Add(line);
        }

        IReadOnlyList<JsonLineNote>? notes = null;
        bool known = true;
        if (span.IsWhole && length <= JsonAnswer.Longest)
        {
            notes = JsonAnswer.Read(_dialect, _rows, _problems, answer, ignored.ContainsKey, out known);
        }
        else
        {
            _problems.JsonStops(answer[0], span.IsWhole ? JsonAnswer.Longest : null);
        }

        if (known)
        {
            HadJson = true;
            SourcesRead.Add(answer[0].Source);
        }

        NoteJson(answer, ignored, notes);
        return at + answer.Count - 1;
    }

    private void NoteJson(List<CaptureLine> answer, Dictionary<int, string> ignored, IReadOnlyList<JsonLineNote>? notes)
    {
        for (int i = 0; i < answer.Count; i++)
        {
            if (ignored.TryGetValue(i, out string? rule))
            {
                Note(answer[i], ReadAs.Ignored, rule);
            }
            else if (string.IsNullOrWhiteSpace(answer[i].Text))
            {
                Note(answer[i], ReadAs.Blank, string.Empty);
            }
            else if (notes?[i] is { ReadAs: ReadAs.Read } note)
            {
                Read(answer[i], _keepLines ? note.Rule : string.Empty, _keepLines ? note.Fields : string.Empty, _keepLines ? note.Record : string.Empty);
            }
            else
            {
                Note(answer[i], notes?[i].ReadAs ?? ReadAs.Unread, _keepLines ? notes?[i].Rule ?? string.Empty : string.Empty);
            }
        }
    }

    private void Read(CaptureLine line, string rule, string fields, string record)
    {
        ReadLines += line.Parts.Count(part => part.Ignored is null) is > 1 and int parts ? parts : 1;
        SourcesRead.Add(line.Source);
        Keep(line, ReadAs.Read, rule, fields, record);
    }

    // Of a line that was broken, the first part says what the whole gave.
    private void Keep(CaptureLine line, ReadAs readAs, string rule, string fields, string record)
    {
        if (!_keepLines)
        {
            return;
        }

        if (line.Parts.Count == 0)
        {
            _lines.Add(new LineReading(line.Source, line.Number, line.Text, readAs, rule, fields, record));
            return;
        }

        foreach (LinePart part in line.Parts)
        {
            bool first = ReferenceEquals(part, line.Parts[0]);
            _lines.Add(part.Ignored is { } other
                ? new LineReading(part.Line.Source, part.Line.Number, part.Line.Text, ReadAs.Ignored, other, string.Empty, string.Empty)
                : new LineReading(part.Line.Source, part.Line.Number, part.Line.Text, readAs, rule, first ? fields : string.Empty, first ? record : string.Empty));
        }
    }
}
