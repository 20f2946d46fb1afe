using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// Gathers the lines of the answer to a status command in a log. An answer is looked at as a whole: a device at work may refuse the question, which
/// says nothing of the work.
/// </summary>
internal sealed class PolledAnswer
{
    private readonly ConsoleManners _console;
    private readonly ReplayRows _rows;
    private readonly List<(string Line, LogPiece Piece)> _lines = [];

    /// <summary>Gathers answers.</summary>
    /// <param name="console">Knows how a command is refused.</param>
    /// <param name="rows">Where they are written down.</param>
    public PolledAnswer(ConsoleManners console, ReplayRows rows)
    {
        _console = console;
        _rows = rows;
    }

    /// <summary>The command that was typed last, which the answer may begin with.</summary>
    public string Typed { get; set; } = string.Empty;

    /// <summary>Adds a line.</summary>
    public void Add(string line, LogPiece piece) => _lines.Add((line, piece));

    /// <summary>Writes down what the lines so far tell, and begins anew.</summary>
    /// <param name="whole">False where no prompt came behind them, so that a live console would have thrown them away.</param>
    /// <param name="hearing">Knows what has been told.</param>
    /// <returns>True where one of them was the last word of a refresh.</returns>
    public bool Take(bool whole, LineHearing hearing)
    {
        (string Line, LogPiece Piece)[] answer = [.. _lines.Where(one => one.Line.Trim().Length > 0 && one.Line.Trim() != Typed.Trim())];
        _lines.Clear();
        bool thrownAway = !whole || answer.Any(one => _console.Refused.AnyFits(one.Line));
        bool ended = false;
        foreach ((string line, LogPiece piece) in answer)
        {
            if (thrownAway)
            {
                _rows.Add(piece, ReplayEvent.Unseen, line);
                continue;
            }

            foreach (LinkEvent one in hearing.Polled(line))
            {
                _rows.Add(piece, one, one.Kind == LinkEventKind.Other || hearing.IsNew(one) ? null : ReplayEvent.Repeated);
                ended |= IsLastWord(one);
            }
        }

        return ended;
    }

    /// <summary>True for what a device says when nothing more is to come.</summary>
    public static bool IsLastWord(LinkEvent one) => one.Kind is LinkEventKind.Succeeded or LinkEventKind.Failed or LinkEventKind.Busy;
}
