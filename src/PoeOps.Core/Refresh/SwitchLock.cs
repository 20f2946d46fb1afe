using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Keeps two runs from holding one switch.</summary>
internal static class SwitchLock
{
    /// <summary>Says who holds the switch of a unit, or null.</summary>
    public static Problem? Check(RunOptions options, PlannedUnit unit)
    {
        string path = PathOf(options, unit);
        return RunLock.HeldBy(path, options.Force) is { } holder ? Held(unit.Switch, path, holder) : null;
    }

    /// <summary>Takes the switch of a unit.</summary>
    /// <param name="options">Say where its lock is.</param>
    /// <param name="unit">The unit.</param>
    /// <returns>The lock, to be released.</returns>
    /// <exception cref="PoeOpsException">Another run holds it (<see cref="ProblemId.SwitchHeld"/>), or no lock can be written (<see cref="ProblemId.JournalNotWritable"/>).</exception>
    public static RunLock Take(RunOptions options, PlannedUnit unit)
    {
        string path = PathOf(options, unit);
        MakeFolder(path);
        if (RunLock.Take(path, options.Force, out HeldLock? holder, out Exception? trouble) is { } taken)
        {
            return taken;
        }

        throw new PoeOpsException(holder is null ? NotWritable(path, trouble!) : Held(unit.Switch, path, holder), trouble);
    }

    /// <summary>Writes down and tells where a lock was taken over.</summary>
    public static void TellTakeOver(RunOptions options, PlannedUnit unit, UnitRecord record, RunLock held)
    {
        if (held.TakenOverFrom is not { } from)
        {
            return;
        }

        string text = $"The lock of the switch '{unit.Switch}' was taken over from {from}.";
        record.Write(RunEntryKind.Note, ("text", text));
        options.Notice(text);
    }

    private static void MakeFolder(string path)
    {
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            throw new PoeOpsException(NotWritable(path, exception), exception);
        }
    }

    private static string PathOf(RunOptions options, PlannedUnit unit) =>
        Path.Combine(options.LockFolder, "poeops-" + string.Concat(options.LockName(unit).ToUpperInvariant().Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_')) + ".lock");

    private static Problem NotWritable(string path, Exception exception) =>
        new(ProblemId.JournalNotWritable, $"The lock '{path}' cannot be written: {TextFile.OneSentence(exception)}", "Check that the folder exists and that you may write in it.") { File = path };

    private static Problem Held(string switchName, string path, HeldLock holder) =>
        new(ProblemId.SwitchHeld, $"The switch '{switchName}' is held by {holder.By}.", Advice(path, holder)) { Target = switchName, File = path };

    /// <summary>What to do about a lock that another run has.</summary>
    public static string Advice(string path, HeldLock holder) => holder.IsElsewhere
        ? "Wait for that run to end; where it is known to be dead, take its lock over with -Force."
        : $"Wait for that run to end; where it is known to be dead, take its lock '{path}' away.";
}
