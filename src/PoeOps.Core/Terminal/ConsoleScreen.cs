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
    private int _lineStart;
    private string? _pagerAnswer;

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

            _text.Append(c);
            if (c == '\n')
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
