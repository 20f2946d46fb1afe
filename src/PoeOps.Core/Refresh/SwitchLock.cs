using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>Keeps two runs from holding one switch.</summary>
internal static class SwitchLock
{
    /// <summary>Says who holds a switch, or null.</summary>
    public static Problem? Check(string folder, string switchName)
    {
        string path = PathOf(folder, switchName);
        return RunLock.HeldBy(path) is { } holder ? Held(switchName, path, holder) : null;
    }

    /// <summary>Takes a switch.</summary>
    /// <param name="folder">The folder of the locks.</param>
    /// <param name="switchName">The switch.</param>
    /// <returns>The lock, to be released.</returns>
    /// <exception cref="PoeOpsException">Another run holds it (<see cref="ProblemId.SwitchHeld"/>), or no lock can be written (<see cref="ProblemId.JournalNotWritable"/>).</exception>
    public static RunLock Take(string folder, string switchName)
    {
        string path = PathOf(folder, switchName);
        if (RunLock.Take(path, out string? holder, out Exception? trouble) is { } taken)
        {
            return taken;
        }

        throw new PoeOpsException(holder is null ? NotWritable(path, trouble!) : Held(switchName, path, holder), trouble);
    }

    private static string PathOf(string folder, string switchName) =>
        Path.Combine(folder, string.Concat(switchName.ToUpperInvariant().Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_')) + ".lock");

    private static Problem NotWritable(string path, Exception exception) =>
        new(ProblemId.JournalNotWritable, $"The lock '{path}' cannot be written: {TextFile.OneSentence(exception)}", "Check that the folder exists and that you may write in it.") { File = path };

    private static Problem Held(string switchName, string path, string holder) =>
        new(ProblemId.SwitchHeld, $"The switch '{switchName}' is held by {holder}.", $"Wait for that run to end; where it is known to be dead, take its lock '{path}' away.") { Target = switchName, File = path };
}
