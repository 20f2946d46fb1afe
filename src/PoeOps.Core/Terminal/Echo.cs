using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Finds the echo of a command near the beginning of an answer.</summary>
internal static class Echo
{
    // A log line or two may come before the echo, never a page of them.
    private const int MostLinesBefore = 10;

    // A line editor that shifts a long command to the left shows its end and one mark before it.
    private const int LeastShifted = 8;

    // A log line may begin with a letter of the command by chance.
    private const int LeastCut = 2;

    /// <summary>
    /// Takes the echo away, also where the device wrapped it at its screen's edge, drew the prompt again before it or shifted it to the left, and where a
    /// log line stands in its middle.
    /// </summary>
    /// <param name="answer">What came after the command was sent.</param>
    /// <param name="command">The command.</param>
    /// <param name="isPrompt">Whether a text is a prompt.</param>
    /// <param name="rest">The answer without the echo.</param>
    /// <returns>True where there was an echo.</returns>
    public static bool Remove(string answer, string command, Func<string, bool> isPrompt, out string rest)
    {
        bool found = Find(answer, command, isPrompt, out int start, out int end);
        rest = found ? WithoutFragment(answer.Substring(0, start), command) + answer.Substring(end) : answer;
        return found || JoinAround(answer, command, out rest);
    }

    private static bool Find(string answer, string command, Func<string, bool> isPrompt, out int start, out int end)
    {
        start = 0;
        end = 0;
        for (int line = 0; command.Length > 0 && line <= MostLinesBefore && start < answer.Length; line++)
        {
            int next = answer.IndexOf('\n', start) + 1;
            if (next == 0)
            {
                return false;
            }

            end = EndOf(answer, start, command);
            string raw = answer.Substring(start, next - start);
            if (end < 0 && (IsBehindPrompt(raw, command, isPrompt) || IsShifted(raw, command, isPrompt)))
            {
                end = next;
            }

            if (end > 0)
            {
                return true;
            }

            start = next;
        }

        return false;
    }

    // A refusal may end with the command as well; only a prompt before it makes it an echo.
    private static bool IsBehindPrompt(string line, string command, Func<string, bool> isPrompt)
    {
        string shown = ConsoleText.Clean(line).TrimEnd();
        return shown.EndsWith(command, StringComparison.Ordinal) && isPrompt(shown.Substring(0, shown.Length - command.Length));
    }

    // Only a line that was drawn more than once; else a refusal that quotes the end of a command could pass for it.
    private static bool IsShifted(string line, string command, Func<string, bool> isPrompt)
    {
        if (command.Length <= LeastShifted || line.TrimEnd('\r', '\n').IndexOfAny(['\b', '\r']) < 0)
        {
            return false;
        }

        string shown = ConsoleText.Clean(line).TrimEnd();
        int length = 0;
        while (length < Math.Min(command.Length - 1, shown.Length) && shown[shown.Length - 1 - length] == command[command.Length - 1 - length])
        {
            length++;
        }

        string head = shown.Substring(0, shown.Length - length);
        string unmarked = head.Length > 0 && !char.IsLetterOrDigit(head[head.Length - 1]) ? head.Substring(0, head.Length - 1) : head;
        return length >= LeastShifted && (unmarked.Length == 0 || isPrompt(unmarked) || isPrompt(head));
    }

    // The beginning of the command that a log line cut off, before the device drew the prompt and the command again.
    private static string WithoutFragment(string before, string command)
    {
        int end = before.IndexOf('\n') + 1;
        string shown = end == 0 ? string.Empty : ConsoleText.Clean(before.Substring(0, end));
        int common = Common(shown, command);
        bool whole = common > 0 && common == shown.TrimEnd().Length;
        return whole ? before.Substring(end) : common >= LeastCut ? shown.Substring(common) + "\r\n" + before.Substring(end) : before;
    }

    // A log line that the device printed in the middle of the echo, and went on with the rest of the command behind it.
    private static bool JoinAround(string answer, string command, out string rest)
    {
        rest = answer;
        string[] lines = answer.Split('\n');
        string first = ConsoleText.Clean(lines[0]);
        int common = Common(first, command);
        for (int i = 1; common > 0 && i < Math.Min(lines.Length - 1, MostLinesBefore); i++)
        {
            string shown = ConsoleText.Clean(lines[i]).TrimEnd();
            int begun = command.Length - shown.Length;
            if (shown.Length > 0 && begun > 0 && begun <= common && command.EndsWith(shown, StringComparison.Ordinal))
            {
                string log = first.Substring(begun);
                IEnumerable<string> others = lines.Skip(1).Where((_, index) => index != i - 1);
                rest = string.Join("\n", log.Trim().Length == 0 ? others : others.Prepend(log + "\r"));
                return true;
            }
        }

        return false;
    }

    private static int Common(string shown, string command)
    {
        int common = 0;
        while (common < Math.Min(shown.Length, command.Length - 1) && shown[common] == command[common])
        {
            common++;
        }

        return common;
    }

    // The command's characters in order with nothing between them but what wraps or colours a line, and then the line's end; -1 where it is no echo.
    private static int EndOf(string answer, int at, string command)
    {
        foreach (char wanted in command)
        {
            at = Skip(answer, at, wanted);
            if (at >= answer.Length || answer[at] != wanted)
            {
                return -1;
            }

            at++;
        }

        at = Skip(answer, at, '\n');
        return at < answer.Length && answer[at] == '\n' ? at + 1 : -1;
    }

    private static int Skip(string answer, int at, char wanted)
    {
        while (at < answer.Length && answer[at] != wanted && answer[at] is '\r' or '\n' or '\b' or ' ' or '\u001b' or '\u009b' or '\u009d')
        {
            at = answer[at] is '\u001b' or '\u009b' or '\u009d' ? Noise.EndOfSequence(answer, at) : at + 1;
        }

        return at;
    }
}
