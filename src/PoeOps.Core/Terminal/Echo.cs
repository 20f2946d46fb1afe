using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Finds the echo of a command at the beginning of an answer.</summary>
internal static class Echo
{
    /// <summary>Takes the echo away, also where the device wrapped it at its screen's edge or drew the prompt again before it.</summary>
    /// <param name="answer">What came after the command was sent.</param>
    /// <param name="command">The command.</param>
    public static string Remove(string answer, string command)
    {
        int end = EndOf(answer, command);
        if (end >= 0)
        {
            int line = answer.IndexOf('\n', end);
            return line < 0 ? string.Empty : answer.Substring(line + 1);
        }

        int first = answer.IndexOf('\n');
        string shown = ConsoleText.Clean(first < 0 ? answer : answer.Substring(0, first)).TrimEnd();
        bool redrawn = command.Length > 0 && shown.EndsWith(command, StringComparison.Ordinal);
        return redrawn ? (first < 0 ? string.Empty : answer.Substring(first + 1)) : answer;
    }

    // The command's characters in order with nothing between them but what wraps a line; -1 where it is no echo.
    private static int EndOf(string answer, string command)
    {
        int at = 0;
        foreach (char wanted in command)
        {
            while (at < answer.Length && answer[at] is '\r' or '\n' or '\b' or ' ' && answer[at] != wanted)
            {
                at++;
            }

            if (at >= answer.Length || answer[at] != wanted)
            {
                return -1;
            }

            at++;
        }

        string rest = answer.Substring(at, Math.Max(0, Line(answer, at) - at));
        return command.Length > 0 && rest.Trim().Length == 0 ? at : -1;
    }

    private static int Line(string text, int from)
    {
        int line = text.IndexOf('\n', from);
        return line < 0 ? text.Length : line;
    }
}
