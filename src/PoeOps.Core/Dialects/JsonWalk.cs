namespace PoeOps.Dialects;

/// <summary>Takes the lines of an answer that is JSON, from its first bracket to the one that matches it.</summary>
internal sealed class JsonWalk
{
    private readonly Dialect _dialect;
    private readonly bool _keepLines;
    private readonly PromptLines _prompts;
    private readonly LineTries _tries;
    private readonly LineProblems _problems;
    private readonly LineAccount _account;
    private readonly RowReader _records;

    /// <summary>Prepares to take answers.</summary>
    public JsonWalk(Dialect dialect, bool keepLines, PromptLines prompts, LineTries tries, LineProblems problems, LineAccount account, RowReader records)
    {
        _dialect = dialect;
        _keepLines = keepLines;
        _prompts = prompts;
        _tries = tries;
        _problems = problems;
        _account = account;
        _records = records;
        IsUsed = dialect.Blocks.Any(block => block.Json is not null);
    }

    /// <summary>True where a block of the dialect reads JSON.</summary>
    public bool IsUsed { get; }

    /// <summary>True where an answer begins on a line. In a block that has an end, no answer begins before it.</summary>
    public bool Begins(CaptureLine line, OpenBlock? open) =>
        JsonSpan.BeginsOn(line) && open is null or { Block.Ends.Count: 0 } && _tries.Ignoring(_dialect.Ignore, line, open) is null
        && _prompts.LengthIn(pattern => _tries.Match(pattern, line, open)) == 0;

    /// <summary>Takes an answer; its first line has been counted.</summary>
    /// <returns>The last line of it.</returns>
    public int Take(IReadOnlyList<CaptureLine> lines, int at)
    {
        List<CaptureLine> answer = Gather(lines, at, out bool whole, out bool tooLong, out Dictionary<int, string> ignored);
        IReadOnlyList<JsonLineNote>? notes = null;
        bool known = true;
        if (whole && !tooLong)
        {
            notes = JsonAnswer.Read(_dialect, _records, _problems, answer, ignored.ContainsKey, out known);
        }
        else
        {
            _problems.JsonStops(answer[0], whole ? JsonAnswer.Longest : null);
        }

        _account.Tally.Json |= known;
        Note(answer, ignored, notes);
        return at + answer.Count - 1;
    }

    private List<CaptureLine> Gather(IReadOnlyList<CaptureLine> lines, int at, out bool whole, out bool tooLong, out Dictionary<int, string> ignored)
    {
        var span = new JsonSpan();
        List<CaptureLine> answer = [];
        ignored = [];
        long length = 0;
        for (int next = at; next < lines.Count && !span.IsWhole && lines[next].Kind == CaptureLineKind.Text; next++)
        {
            CaptureLine line = lines[next];
            _tries.Begin();
            if (next > at && _tries.Ignoring(_dialect.Ignore, line, null) is { } rule)
            {
                ignored.Add(answer.Count, rule);
            }
            else if (next > at && _prompts.HasCommand(line.Text, pattern => _tries.Match(pattern, line, null)))
            {
                break;
            }
            else
            {
                span.Take(line.Text);
                length += line.Text.Length + 1;
            }

            if (next > at)
            {
                _account.Begin(line);
            }

            answer.Add(line);
        }

        whole = span.IsWhole;
        tooLong = length > JsonAnswer.Longest;
        return answer;
    }

    private void Note(List<CaptureLine> answer, Dictionary<int, string> ignored, IReadOnlyList<JsonLineNote>? notes)
    {
        for (int i = 0; i < answer.Count; i++)
        {
            if (ignored.TryGetValue(i, out string? rule))
            {
                _account.Note(answer[i], ReadAs.Ignored, rule);
            }
            else if (string.IsNullOrWhiteSpace(answer[i].Text))
            {
                _account.Note(answer[i], ReadAs.Blank, string.Empty);
            }
            else if (notes?[i] is { ReadAs: ReadAs.Read } note)
            {
                _account.Read(answer[i], _keepLines ? note.Rule : string.Empty, _keepLines ? note.Fields : string.Empty, _keepLines ? note.Record : string.Empty);
            }
            else
            {
                ReadAs readAs = notes?[i].ReadAs ?? ReadAs.Unread;
                _account.Tally.Unread += readAs == ReadAs.Unread ? 1 : 0;
                _account.Note(answer[i], readAs, _keepLines ? notes?[i].Rule ?? string.Empty : string.Empty);
            }
        }
    }
}
