using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Finds the echo of a command near the beginning of an answer.</summary>
internal static class Echo
{
    // A log line or two may come before the echo, never a page of them.
    private const int MostLinesBefore = 10;

    /// <summary>Takes the echo away, also where the device wrapped it at its screen's edge or drew the prompt again before it.</summary>
    /// <param name="answer">What came after the command was sent.</param>
    /// <param name="command">The command.</param>
    /// <param name="isPrompt">Whether a text is a prompt.</param>
    /// <param name="rest">The answer without the echo.</param>
    /// <returns>True where there was an echo.</returns>
    public static bool Remove(string answer, string command, Func<string, bool> isPrompt, out string rest)
    {
        bool found = Find(answer, command, isPrompt, out int start, out int end);
        rest = found ? answer.Remove(start, end - start) : answer;
        return found;
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
            if (end < 0 && IsBehindPrompt(answer.Substring(start, next - start), command, isPrompt))
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
        while (at < answer.Length && answer[at] != wanted && answer[at] is '\r' or '\n' or '\b' or ' ' or '\u001b')
        {
            at = answer[at] == '\u001b' ? Noise.EndOfSequence(answer, at) : at + 1;
        }

        return at;
    }
}
