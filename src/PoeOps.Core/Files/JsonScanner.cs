using System.Globalization;
using System.Text;

namespace PoeOps.Files;

/// <summary>Goes through a JSON text sign by sign and knows line and column. Its findings are sentences, or null where all is well.</summary>
internal sealed class JsonScanner(string text)
{
    private readonly List<(int Start, int End)> _comments = [];
    private int _at;
    private int _lineStart;

    /// <summary>The line that the scan has reached; the first is 1.</summary>
    public int Line { get; private set; } = 1;

    /// <summary>True when nothing is left.</summary>
    public bool AtEnd => _at >= text.Length;

    /// <summary>The next sign; NUL at the end.</summary>
    public char Current => AtEnd ? '\0' : text[_at];

    /// <summary>Where the scan stands, in words.</summary>
    public string Place() =>
        "in line " + Line.ToString(CultureInfo.InvariantCulture) + ", column " + (_at - _lineStart + 1).ToString(CultureInfo.InvariantCulture) + ",";

    /// <summary>What stands at the scan, in words.</summary>
    public string Found()
    {
        if (AtEnd)
        {
            return "the end of the text";
        }

        int end = _at;
        while (end < text.Length && char.IsLetterOrDigit(text[end]))
        {
            end++;
        }

        return "'" + Excerpt.Of(text.Substring(_at, Math.Max(1, end - _at))) + "'";
    }

    /// <summary>Goes one sign further.</summary>
    public void Step()
    {
        if (Current == '\n')
        {
            Line++;
            _lineStart = _at + 1;
        }

        _at++;
    }

    /// <summary>Takes a word where it stands next and ends there.</summary>
    public bool Take(string word)
    {
        int end = _at + word.Length;
        bool stands = string.CompareOrdinal(text, _at, word, 0, word.Length) == 0;
        bool goesOn = char.IsLetter(word[0]) && end < text.Length && char.IsLetterOrDigit(text[end]);
        if (stands && !goesOn)
        {
            _at = end;
            return true;
        }

        return false;
    }

    /// <summary>Skips space and comments of both kinds.</summary>
    public string? SkipSpace()
    {
        while (!AtEnd)
        {
            if (Current is ' ' or '\t' or '\r' or '\n')
            {
                Step();
            }
            else if (Take("//"))
            {
                int start = _at - 2;
                while (!AtEnd && Current != '\n')
                {
                    Step();
                }

                _comments.Add((start, _at));
            }
            else if (Current == '/' && _at + 1 < text.Length && text[_at + 1] == '*')
            {
                string place = Place();
                if (!SkipBlockComment())
                {
                    return $"The comment that begins {place} has no end.";
                }
            }
            else
            {
                return null;
            }
        }

        return null;
    }

    /// <summary>The text with blanks where comments were skipped, every line where it was: the library takes comments in some places and not in others.</summary>
    public string WithoutComments()
    {
        var plain = new StringBuilder(text);
        foreach ((int start, int end) in _comments)
        {
            for (int i = start; i < end; i++)
            {
                plain[i] = text[i] is '\r' or '\n' ? text[i] : ' ';
            }
        }

        return plain.ToString();
    }

    /// <summary>Takes a text in double quotes.</summary>
    public string? TakeText(out string value)
    {
        var taken = new StringBuilder();
        string place = Place();
        value = string.Empty;
        for (Step(); Current != '"'; Step())
        {
            if (AtEnd || Current is '\n' or '\r')
            {
                return $"The text that begins {place} has no end on its line.";
            }

            if (Current < ' ')
            {
                return $"Found {Found()} {Place()} in a text, where control characters are written as escapes.";
            }

            if (Current != '\\')
            {
                taken.Append(Current);
            }
            else if (!TakeEscape(taken))
            {
                return $"Found '\\' and then {Found()} {Place()} in a text, which is no escape of JSON; a backslash itself is written twice.";
            }
        }

        Step();
        value = taken.ToString();
        return null;
    }

    /// <summary>Takes a number that a decimal can hold.</summary>
    public string? TakeNumber()
    {
        string place = Place();
        int start = _at;
        while (!AtEnd && (char.IsLetterOrDigit(Current) || Current is '-' or '+' or '.'))
        {
            _at++;
        }

        string number = text.Substring(start, _at - start);
        if (!IsNumber(number))
        {
            return $"Found '{Excerpt.Of(number)}' {place} which is no number of JSON.";
        }

        return decimal.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out _)
            ? null
            : $"The number '{Excerpt.Of(number)}' {place} is too large.";
    }

    private static bool IsNumber(string number)
    {
        int at = number[0] == '-' ? 1 : 0;
        int start = at;
        int whole = Digits(number, ref at);
        bool good = whole == 1 || (whole > 1 && number[start] != '0');
        if (at < number.Length && number[at] == '.')
        {
            at++;
            good &= Digits(number, ref at) > 0;
        }

        if (at < number.Length && number[at] is 'e' or 'E')
        {
            at++;
            at += at < number.Length && number[at] is '+' or '-' ? 1 : 0;
            good &= Digits(number, ref at) > 0;
        }

        return good && at == number.Length;
    }

    private static int Digits(string number, ref int at)
    {
        int start = at;
        while (at < number.Length && number[at] is >= '0' and <= '9')
        {
            at++;
        }

        return at - start;
    }

    private bool SkipBlockComment()
    {
        int start = _at;
        _at += 2;
        while (!AtEnd)
        {
            if (Take("*/"))
            {
                _comments.Add((start, _at));
                return true;
            }

            Step();
        }

        return false;
    }

    // Stands on the last sign of the escape afterwards.
    private bool TakeEscape(StringBuilder taken)
    {
        _at++;
        if (Current != 'u')
        {
            int place = "\"\\/bfnrt".IndexOf(Current);
            taken.Append(place < 0 ? Current : "\"\\/\b\f\n\r\t"[place]);
            return place >= 0;
        }

        // The platform's parser would take a NUL at the end as well.
        if (_at + 4 >= text.Length || !text.Substring(_at + 1, 4).All(IsHexDigit))
        {
            return false;
        }

        taken.Append((char)int.Parse(text.Substring(_at + 1, 4), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture));
        _at += 4;
        return true;
    }

    private static bool IsHexDigit(char c) => c is (>= '0' and <= '9') or (>= 'a' and <= 'f') or (>= 'A' and <= 'F');
}
