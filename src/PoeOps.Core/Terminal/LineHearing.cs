using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// What is heard of a refresh, line by line: the words of the dialect without the echo of what was typed, and nothing twice. The same on a live
/// console and in a saved log.
/// </summary>
internal sealed class LineHearing
{
    private readonly ConsoleManners _console;
    private readonly TimeStampRule? _stamp;
    private readonly RefreshWords _words;
    private readonly HashSet<string> _told = new(StringComparer.Ordinal);
    private readonly HashSet<(LinkEventKind Kind, Stage? Stage, int? Percent)> _toldOfLine = [];
    private string _echo = string.Empty;

    /// <summary>Begins to hear.</summary>
    public LineHearing(ConsoleManners console, RefreshManners manners)
    {
        _console = console;
        _stamp = manners.TimeStamp;
        _words = new RefreshWords(manners);
    }

    /// <summary>Something was typed, which the device may echo.</summary>
    public void Typed(string text) => _echo = text;

    /// <summary>What a finished line tells that it has not told while it was unfinished; nothing for an echo.</summary>
    public IReadOnlyList<LinkEvent> Finished(string line)
    {
        string said = LineStamp.Off(_stamp, line, out _);
        if (IsEcho(said))
        {
            _toldOfLine.Clear();
            return [];
        }

        IReadOnlyList<LinkEvent> events = _words.Read(said);
        bool refused = events.Count == 1 && events[0].Kind == LinkEventKind.Other && _console.Refused.AnyFits(said);
        LinkEvent[] news = [.. (refused ? [events[0] with { Kind = LinkEventKind.Failed, Because = "the device refused the command" }] : events).Where(IsNewOfLine)];
        _toldOfLine.Clear();
        return news;
    }

    /// <summary>What a line tells that is not finished.</summary>
    /// <param name="line">The line so far.</param>
    /// <param name="quiet">True where nothing has come behind it for a while: only then more than a percentage is believed.</param>
    public IReadOnlyList<LinkEvent> Unfinished(string line, bool quiet) =>
        [.. _words.ReadUnfinished(LineStamp.Off(_stamp, line, out _)).Where(one => (quiet || one.Kind == LinkEventKind.Progress) && IsNewOfLine(one))];

    /// <summary>What the answer to a status command tells. It tells the whole state each time; only what is new is an event.</summary>
    public IEnumerable<LinkEvent> News(IEnumerable<string> answer) => answer.SelectMany(Polled).Where(one => one.Kind != LinkEventKind.Other && IsNew(one));

    /// <summary>What one line of such an answer says, new or not.</summary>
    public IReadOnlyList<LinkEvent> Polled(string line) => _words.Read(LineStamp.Off(_stamp, line, out _));

    /// <summary>True where no answer has said it yet.</summary>
    public bool IsNew(LinkEvent one) => _told.Add($"{one.Kind} {one.Stage} {one.Percent} {one.Text}");

    // What the line told before it was finished is no news.
    private bool IsNewOfLine(LinkEvent one) => _toldOfLine.Add((one.Kind, one.Stage, one.Percent));

    // The echo may be wrapped at the edge of the device's screen, so it is followed piece by piece.
    private bool IsEcho(string line)
    {
        string shown = line.Trim();
        if (_echo.Length == 0 || shown.Length == 0)
        {
            return false;
        }

        if (_echo.StartsWith(shown, StringComparison.Ordinal))
        {
            _echo = _echo.Substring(shown.Length).TrimStart();
            return true;
        }

        string whole = line.TrimEnd();
        bool redrawn = whole.EndsWith(_echo, StringComparison.Ordinal) && _console.IsPrompt(whole.Substring(0, whole.Length - _echo.Length));
        _echo = redrawn ? string.Empty : _echo;
        return redrawn;
    }
}
