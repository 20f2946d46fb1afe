namespace PoeOps.Report;

/// <summary>Says of a report that it tells of a rehearsal: nobody should take it for a night on real devices.</summary>
internal static class RehearsalWords
{
    /// <summary>The sentence; empty where all was real, or nobody says otherwise.</summary>
    /// <param name="speed">How fast the clock of the plan's estate goes; null for a real one.</param>
    /// <param name="runs">The runs of all journals.</param>
    public static string Of(double? speed, IReadOnlyList<RunFacts> runs)
    {
        RunFacts[] rehearsed = [.. runs.Where(run => run.Speed != 1)];
        if (runs.Count == 0)
        {
            return speed is { } planned ? $"This is the plan of a rehearsal{Speed(planned)}: its devices are simulated, and nothing real is touched." : string.Empty;
        }

        if (rehearsed.Length == 0)
        {
            return speed == 1 ? "This was a rehearsal at speed 1: its devices are simulated, and nothing real was touched." : string.Empty;
        }

        double fastest = rehearsed.Max(run => run.Speed);
        return rehearsed.Length == runs.Count
            ? $"This was a rehearsal{Speed(fastest)}: its devices are simulated, and nothing real was touched."
            : $"This was in part a rehearsal{Speed(fastest)}: {ReportText.Number(rehearsed.Length)} of {ReportText.Count(runs.Count, "run")}, whose devices are simulated. The others were real.";
    }

    /// <summary>What a title says for it.</summary>
    /// <param name="summary">The summary.</param>
    public static string Kind(RunSummary summary)
    {
        string kind = summary.HasRun ? "Run" : "Plan";
        RunFacts[] runs = [.. summary.Journals.SelectMany(journal => journal.Runs)];
        return summary.Rehearsal.Length == 0 ? kind
            : runs.Any(run => run.Speed != 1) && runs.Any(run => run.Speed == 1) ? $"Partly rehearsed {kind.ToLowerInvariant()}"
            : summary.HasRun ? "REHEARSAL" : "REHEARSAL plan";
    }

    private static string Speed(double speed) => $" at speed {ReportText.Of((double?)speed)}";
}
