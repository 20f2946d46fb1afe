namespace PoeOps.Refresh;

/// <summary>A record that stays in memory, for a run that changes nothing.</summary>
public sealed class MemoryRecord : IRunRecord
{
    private readonly List<RunEntry> _entries = [];

    /// <summary>What was written so far.</summary>
    public IReadOnlyList<RunEntry> Entries => _entries;

    /// <inheritdoc/>
    public void Write(RunEntry entry) => _entries.Add(entry);
}
