using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// Goes through a log as <see cref="RefreshWatch"/> goes through a live refresh. A transcript says what was sent; in the log of a terminal program
/// it is found behind prompts and questions.
/// </summary>
internal sealed class ReplayWalk
{
    // As long as a live console must be quiet, before a prompt counts, and before an unfinished line is believed.
    private static readonly TimeSpan Settle = new TerminalTimes().Settle;
    private static readonly TimeSpan Quiet = TimeSpan.FromMilliseconds(250);

    private readonly Dialect _dialect;
    private readonly RefreshManners _manners;
    private readonly ReplayCommands _commands;
    private readonly ReplayRows _rows;
    private readonly bool _twoSided;
    private readonly bool _marked;
    private readonly ConsoleScreen _screen = new();
    private readonly List<Exchange> _unanswered = [];
    private readonly PolledAnswer _answer;
    private readonly Dictionary<Exchange, Regex> _behind;
    private LineHearing _hearing;
    private Phase _phase;
    private bool _ended;
    private LogPiece? _said;

    /// <summary>Prepares to go through a log.</summary>
    public ReplayWalk(Dialect dialect, RefreshManners manners, ReplayRows rows, IReadOnlyList<LogPiece> pieces)
    {
        _dialect = dialect;
        _manners = manners;
        _rows = rows;
        _answer = new PolledAnswer(dialect.Console, rows);
        _commands = new ReplayCommands(dialect, manners);
        _hearing = new LineHearing(dialect.Console, manners);
        _twoSided = pieces.Any(piece => piece.Sent);
        _marked = pieces.Any(piece => (piece.Sent || !_twoSided) && _commands.StartsIn(ConsoleText.Clean(piece.Text.TrimEnd('\r', '\n'))));
        _behind = manners.Asks.Concat(dialect.Console.Pagers).ToDictionary(one => one, one => PromptLines.Behind(one.Expect));
    }

    private enum Phase
    {
        Before,
        OnLine,
        Polling,
        Over,
    }

    /// <summary>Takes the next piece.</summary>
    /// <param name="piece">The piece.</param>
    /// <param name="next">The one behind it, or null.</param>
    public void Take(LogPiece piece, LogPiece? next)
    {
        if (piece.Sent)
        {
            TakeSent(piece, piece.Text.TrimEnd('\r', '\n'));
            return;
        }

        _said = piece;
        // A piece of a transcript is what a live console saw at once.
        foreach (string part in _twoSided ? [piece.Text] : piece.Parts())
        {
            _screen.Add(part.ToCharArray(), part.Length);
            foreach (string line in _screen.TakeLines())
            {
                TakeLine(line, piece);
            }

            TakeUnfinished(piece, quiet: false);
        }

        if (_screen.LastLine.Trim().Length > 0)
        {
            TakeStop(piece, next);
        }
    }

    /// <summary>Takes what is left at the end of the log.</summary>
    public void Finish()
    {
        if (_said is { } piece && _screen.LastLine.Trim().Length > 0)
        {
            TakeLine(_screen.LastLine, piece);
        }

        TakeAnswer(whole: false);
    }

    private void Begin(LogPiece piece, string? command)
    {
        TakeAnswer(whole: false);
        _rows.Begin(piece);
        _phase = Phase.OnLine;
        _ended = false;
        _hearing = new LineHearing(_dialect.Console, _manners);
        _unanswered.Clear();
        _unanswered.AddRange(_manners.Asks);
        if (command is not null)
        {
            _rows.Add(piece, ReplayEvent.Command, command);
        }
    }

    private void TakeSent(LogPiece piece, string text)
    {
        string at = _screen.LastLine;
        if (_commands.Starts(text))
        {
            Begin(piece, text);
            _hearing.Typed(text);
        }
        else if (_phase == Phase.OnLine && _unanswered.FirstOrDefault(one => one.Expect.Fits(at)) is { } question)
        {
            Answered(question, _said ?? piece, at, piece, text);
            _screen.DropLastLine();
            return;
        }
        else if (_phase == Phase.OnLine && _dialect.Console.Pagers.FirstOrDefault(one => one.Expect.Fits(at)) is { } pager)
        {
            _rows.Add(_said ?? piece, ReplayEvent.Pager, at);
            _screen.DropPager(pager.Send);
            return;
        }
        else if (_phase is Phase.OnLine or Phase.Polling)
        {
            _rows.Add(piece, ReplayEvent.Command, text);
        }

        _answer.Typed = text;
        _screen.Clear();
    }

    private void Answered(Exchange question, LogPiece asked, string text, LogPiece answered, string answer)
    {
        _ = _unanswered.Remove(question);
        _rows.Add(asked, ReplayEvent.Question, text);
        if (answer.Trim().Length > 0)
        {
            _rows.Add(answered, ReplayEvent.Answer, answer.Trim());
            _hearing.Typed(answer.Trim());
        }
    }

    private void TakeUnfinished(LogPiece piece, bool quiet)
    {
        if (_phase == Phase.OnLine)
        {
            Tell(_hearing.Unfinished(_screen.LastLine, quiet), piece);
        }
    }

    // The prompt, where the device has stopped at it.
    private void TakeStop(LogPiece piece, LogPiece? next)
    {
        string line = _screen.LastLine;
        if (!_dialect.Console.IsPrompt(line))
        {
            bool asks = _phase == Phase.OnLine && _unanswered.Any(one => one.Expect.Fits(line));
            if (!asks && IsQuiet(piece, next, Quiet))
            {
                TakeUnfinished(piece, quiet: true);
            }
        }
        else if (next is { Sent: true } || IsQuiet(piece, next, Settle))
        {
            TakePrompt(piece, line);
            _screen.Clear();
        }
    }

    private static bool IsQuiet(LogPiece piece, LogPiece? next, TimeSpan span) => next is null || (piece.At is { } at && next.At is { } later && later - at >= span);

    private void TakeLine(string line, LogPiece piece)
    {
        switch (_phase)
        {
            case Phase.OnLine:
                TakeOnLine(line, piece);
                break;
            case Phase.Polling:
                TakePolled(line, piece);
                break;
            default:
                TakeOutside(line, piece);
                break;
        }
    }

    // Without its command a refresh begins where something is said of it.
    private void TakeOutside(string line, LogPiece piece)
    {
        if (!_twoSided && _commands.StartsIn(line))
        {
            Begin(piece, Command(line));
        }
        else if (!_marked && _phase == Phase.Before)
        {
            string text = line.Substring(_commands.PromptIn(line));
            if (Question(text) is not null || _hearing.Polled(text).Any(one => one.Kind != LinkEventKind.Other))
            {
                Begin(piece, null);
                TakeOnLine(text, piece);
            }
        }
    }

    private void TakeOnLine(string line, LogPiece piece)
    {
        if (!_twoSided && _commands.StartsIn(line))
        {
            Begin(piece, Command(line));
        }
        else if (!_twoSided && Question(line) is { } question)
        {
            Match match = _behind[question].Find(line);
            int end = ReplayCommands.WithBlank(line, match.Index + match.Length);
            Answered(question, piece, line.Substring(0, end), piece, line.Substring(end));
        }
        else if (!_twoSided && _dialect.Console.Pagers.Any(one => _behind[one].Find(line).Value.Trim() is { Length: > 0 } pager && pager == line.Trim()))
        {
            _rows.Add(piece, ReplayEvent.Pager, line);
        }
        else
        {
            TakeWords(line, piece);
        }
    }

    private void TakeWords(string line, LogPiece piece)
    {
        IReadOnlyList<LinkEvent> events = _hearing.Finished(line);
        int prompt = !_twoSided && events.Count > 0 && events.All(one => one.Kind == LinkEventKind.Other) ? _commands.PromptIn(line) : 0;
        if (prompt > 0)
        {
            TakePrompt(piece, line.Substring(0, prompt));
            TakeBehindPrompt(line.Substring(prompt), piece);
        }
        else
        {
            Tell(events, piece);
        }
    }

    private void TakePrompt(LogPiece piece, string prompt)
    {
        if (_phase == Phase.OnLine)
        {
            _rows.Add(piece, ReplayEvent.PromptBack, prompt);
            _phase = _manners.Poll is null || _ended ? Phase.Over : Phase.Polling;
        }
        else if (_phase == Phase.Polling)
        {
            TakeAnswer(whole: true);
        }
    }

    private void TakeBehindPrompt(string text, LogPiece piece)
    {
        if (_commands.Starts(text))
        {
            Begin(piece, text);
        }
        else if (_phase == Phase.Polling && _commands.Polls(text))
        {
            _rows.Add(piece, ReplayEvent.Command, text);
            _answer.Typed = text;
        }
        else if (_phase == Phase.Polling)
        {
            // A console without echo prints its answer where the command would stand.
            _answer.Add(text, piece);
        }
    }

    private void TakePolled(string line, LogPiece piece)
    {
        int prompt = _twoSided ? 0 : _commands.PromptIn(line);
        if (prompt > 0)
        {
            TakePrompt(piece, line.Substring(0, prompt));
            TakeBehindPrompt(line.Substring(prompt), piece);
        }
        else
        {
            _answer.Add(line, piece);
        }
    }

    private void TakeAnswer(bool whole)
    {
        _ended |= _answer.Take(whole, _hearing);
        _phase = _ended && _phase == Phase.Polling ? Phase.Over : _phase;
    }

    private void Tell(IEnumerable<LinkEvent> events, LogPiece piece)
    {
        foreach (LinkEvent one in events)
        {
            _rows.Add(piece, one);
            _ended |= PolledAnswer.IsLastWord(one);
        }
    }

    private Exchange? Question(string line) => (_phase == Phase.Before ? _manners.Asks : _unanswered).FirstOrDefault(one => _behind[one].Fits(line));

    private string Command(string line) => line.Substring(_commands.Starts(line) ? 0 : _commands.PromptIn(line)).Trim();
}
