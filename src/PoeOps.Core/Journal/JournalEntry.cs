using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>One entry of a journal as it was read back.</summary>
public sealed record JournalEntry
{
    /// <summary>The line in the file; the first is 1.</summary>
    public int Line { get; init; }

    /// <summary>When it was written, by the run's clock, UTC.</summary>
    public DateTime Utc { get; init; }

    /// <summary>What happened.</summary>
    public RunEntryKind Kind { get; init; }

    /// <summary>The unit as its id prints; empty for the run as a whole.</summary>
    public string Unit { get; init; } = string.Empty;

    /// <summary>The facts in words, <c>name=value</c> with semicolons between.</summary>
    public string Text { get; init; } = string.Empty;

    /// <summary>The line's digest.</summary>
    public string Sha256 { get; init; } = string.Empty;

    /// <summary>True for the end of a unit that its run was made to let go of.</summary>
    internal bool IsDetached => Facts.TryGetValue("outcome", out string? outcome) && outcome == nameof(StageOutcome.Detached);

    /// <summary>The digest that the line names of the one before.</summary>
    internal string Previous { get; init; } = string.Empty;

    /// <summary>The facts by name; read by other cmdlets, printed by no view.</summary>
    public IReadOnlyDictionary<string, string> Facts { get; init; } = new Dictionary<string, string>(StringComparer.Ordinal);
}

/// <summary>A journal as it was read back.</summary>
/// <param name="Entries">Every line that can be read, in order.</param>
/// <param name="Problems">Where the chain is broken, a line cannot be read, or the last line is torn.</param>
public sealed record JournalReading(IReadOnlyList<JournalEntry> Entries, IReadOnlyList<Problem> Problems)
{
    /// <summary>True where every line is there, unchanged and in order.</summary>
    public bool ChainHolds => Problems.Count == 0;

    /// <summary>
    /// Units that were begun and whose end is not known, as their ids print: a run is at work on them, broke off there, or was made to let go of them.
    /// </summary>
    public IReadOnlyList<string> OpenUnits => [.. Entries.Where(entry => entry.Kind is RunEntryKind.Begin or RunEntryKind.End)
        .GroupBy(entry => entry.Unit, StringComparer.OrdinalIgnoreCase).Where(group => group.Last() is { Kind: RunEntryKind.Begin } or { Kind: RunEntryKind.End, IsDetached: true }).Select(group => group.Key)];

    /// <summary>The line of the last run's beginning where its end is not written: it is under way, or broke off; null where it ended.</summary>
    public int? OpenRunLine => Entries.LastOrDefault(entry => entry.Kind is RunEntryKind.RunBegan or RunEntryKind.RunEnded) is { Kind: RunEntryKind.RunBegan } began ? began.Line : null;
}
