using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>What a console has shown since it was last cleared: finished lines, and the one that it is at.</summary>
internal sealed class ConsoleScreen
{
    // No prompt, question or pager is longer; of a longer line only the end is looked at.
    private const int LongestLook = 4096;

    private static readonly Regex Erasure = new(@"\A(?: *(?:[\b\r]|\u001b\[[0-9;?]*[A-Za-z]))+", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly StringBuilder _text = new();
    private readonly bool _returnEnds;
    private bool _afterReturn;
    private int _lineStart;
    private string? _pagerAnswer;

    /// <summary>Begins with nothing on it.</summary>
    /// <param name="returnEnds">True where a carriage return alone ends a line.</param>
    public ConsoleScreen(bool returnEnds = false) => _returnEnds = returnEnds;

    /// <summary>How many characters there are.</summary>
    public int Length => _text.Length;

    /// <summary>The unfinished line as a reader sees it.</summary>
    public string LastLine
    {
        get
        {
            int start = Math.Max(_lineStart, _text.Length - LongestLook);
            return ConsoleText.Clean(_text.ToString(start, _text.Length - start));
        }
    }

    /// <summary>Everything before the unfinished line, as it came.</summary>
    public string Finished => _text.ToString(0, _lineStart);

    /// <summary>The last finished line that is not blank, as a reader sees it; empty where there is none.</summary>
    public string LastFinished => LastFinishedAt(out int start) is var end && end > start ? ConsoleText.Clean(_text.ToString(start, end - start)) : string.Empty;

    /// <summary>Forgets the last finished line that is not blank and what stands behind it, which has been answered.</summary>
    public void DropLastFinished()
    {
        if (LastFinishedAt(out int start) > start)
        {
            _text.Length = start;
            _lineStart = start;
        }
    }

    /// <summary>Adds what came. NUL is dropped: it is padding on a console (RFC 20, section 5.2).</summary>
    public void Add(char[] characters, int count)
    {
        for (int i = 0; i < count; i++)
        {
            char c = characters[i];
            if (c == '\0')
            {
                continue;
            }

            bool ends = c == '\n' && !_afterReturn;
            bool restOfEnd = c == '\n' && _afterReturn;
            _afterReturn = _returnEnds && c == '\r';
            if (restOfEnd)
            {
                continue;
            }

            _text.Append(_afterReturn ? '\n' : c);
            if (ends || _afterReturn)
            {
                EndLine();
            }
        }

        if (_pagerAnswer is not null)
        {
            TakeErasureAway();
        }
    }

    /// <summary>Takes the finished lines, cleaned, and leaves the unfinished one.</summary>
    public IReadOnlyList<string> TakeLines()
    {
        if (_lineStart == 0)
        {
            return [];
        }

        string finished = _text.ToString(0, _lineStart - 1);
        _text.Remove(0, _lineStart);
        _lineStart = 0;
        return [.. finished.Split('\n').Select(ConsoleText.Clean)];
    }

    /// <summary>Forgets the unfinished line, which has been answered.</summary>
    public void DropLastLine() => _text.Length = _lineStart;

    /// <summary>Forgets a pager; what erases it from the screen, or the line feed that steps over it, is forgotten when it comes.</summary>
    /// <param name="answer">What it is answered with, which the device may echo.</param>
    public void DropPager(string answer)
    {
        DropLastLine();
        _pagerAnswer = answer;
    }

    /// <summary>Forgets everything.</summary>
    public void Clear()
    {
        _text.Clear();
        _lineStart = 0;
        _pagerAnswer = null;
    }

    // Where it begins and ends in the text; both the same where there is none near the end.
    private int LastFinishedAt(out int start)
    {
        int from = Math.Max(0, _lineStart - LongestLook);
        string look = _text.ToString(from, _lineStart - from);
        int end = look.TrimEnd().Length;
        start = from + (end == 0 ? 0 : look.LastIndexOf('\n', end - 1) + 1);
        return from + end;
    }

    private void EndLine()
    {
        if (_pagerAnswer is not null)
        {
            string line = _text.ToString(_lineStart, _text.Length - 1 - _lineStart).TrimEnd('\r');
            if (line.Length == 0 || line == _pagerAnswer)
            {
                DropLastLine();
            }
            else if (ConsoleText.Clean(line).Trim().Length == 0)
            {
                // The pager was rubbed out, and what came behind is a blank line of the answer.
                DropLastLine();
                _text.Append("\r\n");
            }
            else
            {
                TakeErasureAway();
            }

            _pagerAnswer = null;
        }

        _lineStart = _text.Length;
    }

    // A pager is rubbed out with returns, back-spaces, blanks or an escape sequence. Left in, the blanks would hang behind a shorter line,
    // and a prompt there would not be seen.
    private void TakeErasureAway()
    {
        string line = _text.ToString(_lineStart, Math.Min(LongestLook, _text.Length - _lineStart));
        int length = Erasure.Match(line).Length;
        string rest = line.Substring(length).TrimStart(' ');
        if (rest.Length > 0 && rest[0] != '\u001b')
        {
            _text.Remove(_lineStart, length);
            _pagerAnswer = null;
        }
    }
}
