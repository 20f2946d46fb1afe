using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>Finds a prompt behind which the device printed a log line, and which it did not draw again: it waits, and its last line is empty.</summary>
internal static class BuriedPrompt
{
    // A burst of log lines is short; a prompt further up is one that the answer shows.
    private const int MostLinesBehind = 5;

    /// <summary>Takes the prompt away; what is printed behind it stays.</summary>
    /// <param name="finished">The finished lines of an answer.</param>
    /// <param name="prompts">Prompts that were seen before, as a reader sees them.</param>
    /// <param name="rest">The answer without it.</param>
    /// <returns>True where there was one.</returns>
    public static bool Remove(string finished, IReadOnlyCollection<string> prompts, out string rest)
    {
        rest = finished;
        string[] lines = finished.Split('\n');

        // The last piece is what stands behind the last line feed: nothing.
        for (int i = lines.Length - 2; i >= Math.Max(0, lines.Length - 2 - MostLinesBehind); i--)
        {
            string shown = ConsoleText.Clean(lines[i]);
            if (prompts.FirstOrDefault(prompt => shown.StartsWith(prompt, StringComparison.Ordinal)) is { } found)
            {
                lines[i] = shown.Substring(found.Length) + "\r";
                rest = string.Join("\n", lines);
                return true;
            }
        }

        return false;
    }
}
