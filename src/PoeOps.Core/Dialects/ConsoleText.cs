using System.Text;

namespace PoeOps.Dialects;

/// <summary>
/// What a line looks like on a screen once everything in it has happened: a carriage return goes back to its start and what follows overwrites it,
/// a back-space goes one back, escape sequences (ECMA-48) are obeyed where they move along the line, erase, insert or delete in it, and dropped elsewhere.
/// </summary>
public static class ConsoleText
{
    private const char Escape = '\u001b';

    // One character for escape and bracket, where eight bits are sent.
    private const char ControlSequence = '\u009b';

    // No console is wider; a sequence cannot move further than this.
    private const int Widest = 4096;

    /// <summary>Cleans one line.</summary>
    /// <param name="raw">The line as it came, without its line feed.</param>
    /// <returns>What a reader at the console would see; no control characters but tabs.</returns>
    public static string Clean(string raw) => NeedsNoCleaning(raw) ? raw : Play(raw);

    private static bool NeedsNoCleaning(string raw)
    {
        foreach (char c in raw)
        {
            if (IsControl(c))
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsControl(char c) => c is (< ' ' and not '\t') or (>= '\u007f' and <= '\u009f');

    private static string Play(string raw)
    {
        var line = new StringBuilder(raw.Length);
        int cursor = 0;
        for (int i = 0; i < raw.Length; i++)
        {
            char c = raw[i];
            if (c == Escape)
            {
                i = PlayEscape(raw, i, line, ref cursor);
            }
            else if (c == '\r')
            {
                cursor = 0;
            }
            else if (c == '\b')
            {
                cursor = Math.Max(0, cursor - 1);
            }
            else if (c == ControlSequence)
            {
                i = PlayControl(raw, i + 1, line, ref cursor);
            }
            else if (c is '\u0090' or '\u0098' or (>= '\u009d' and <= '\u009f'))
            {
                i = SkipString(raw, i + 1);
            }
            else if (!IsControl(c))
            {
                Put(line, cursor++, c);
            }
        }

        return line.ToString();
    }

    // Returns the index of the sequence's last character.
    private static int PlayEscape(string raw, int at, StringBuilder line, ref int cursor)
    {
        if (at + 1 >= raw.Length)
        {
            return at;
        }

        char kind = raw[at + 1];
        if (kind == '[')
        {
            return PlayControl(raw, at + 2, line, ref cursor);
        }

        if (kind is ']' or 'P' or 'X' or '_' or '^')
        {
            return SkipString(raw, at + 2);
        }

        // Sequences with intermediate bytes (such as the choice of a character set) end at the first byte past them.
        int end = at + 1;
        while (end < raw.Length - 1 && raw[end] is >= ' ' and <= '/')
        {
            end++;
        }

        return end;
    }

    private static int PlayControl(string raw, int at, StringBuilder line, ref int cursor)
    {
        int start = at;
        while (at < raw.Length && raw[at] is >= ' ' and <= '?')
        {
            at++;
        }

        if (at >= raw.Length)
        {
            return raw.Length - 1;
        }

        int number = int.TryParse(raw.Substring(start, at - start), out int parsed) ? Math.Min(parsed, Widest) : -1;
        switch (raw[at])
        {
            case 'K':
                EraseLine(line, cursor, number);
                break;
            case 'D':
                cursor = Math.Max(0, cursor - Math.Max(1, number));
                break;
            case 'C':
                cursor = Math.Max(cursor, Math.Min(cursor + Math.Max(1, number), Widest));
                break;
            case 'G':
                cursor = Math.Max(1, number) - 1;
                break;
            case '@' or 'P' or 'X' when IsPlain(raw, start, at):
                Edit(line, cursor, raw[at], Math.Max(1, number));
                break;
            default:
                break;
        }

        return at;
    }

    // With other signs than digits before it, the last letter means something else.
    private static bool IsPlain(string raw, int start, int end)
    {
        for (int i = start; i < end; i++)
        {
            if (raw[i] is < '0' or > '9')
            {
                return false;
            }
        }

        return true;
    }

    // ICH makes room at the cursor, DCH takes characters out and moves the rest up, ECH blanks them where they stand.
    private static void Edit(StringBuilder line, int cursor, char how, int count)
    {
        if (cursor >= line.Length)
        {
            return;
        }

        int within = Math.Min(count, line.Length - cursor);
        string rest = line.ToString(how == '@' ? cursor : cursor + within, how == '@' ? line.Length - cursor : line.Length - cursor - within);
        int blanks = how == '@' ? Math.Min(count, Math.Max(0, CaptureLines.LongestLine - line.Length)) : how == 'X' ? within : 0;
        line.Length = cursor;
        line.Append(' ', blanks).Append(rest);
    }

    private static void EraseLine(StringBuilder line, int cursor, int what)
    {
        int from = what is 1 or 2 ? 0 : cursor;
        int to = what == 1 ? Math.Min(cursor + 1, line.Length) : line.Length;
        if (to == line.Length && from < to)
        {
            line.Length = from;
            return;
        }

        for (int i = from; i < to; i++)
        {
            line[i] = ' ';
        }
    }

    // A string such as a window's title ends at BEL, at ESC \ or at its one character of eight bits. One without an end would take the rest of the line along; only its beginning is
    // dropped then, so that what follows is seen and reported.
    private static int SkipString(string raw, int at)
    {
        for (int i = at; i < raw.Length; i++)
        {
            if (raw[i] is '\a' or '\u009c')
            {
                return i;
            }

            if (raw[i] == Escape && i + 1 < raw.Length && raw[i + 1] == '\\')
            {
                return i + 1;
            }
        }

        return at - 1;
    }

    private static void Put(StringBuilder line, int cursor, char c)
    {
        while (line.Length <= cursor)
        {
            line.Append(' ');
        }

        line[cursor] = c;
    }
}
