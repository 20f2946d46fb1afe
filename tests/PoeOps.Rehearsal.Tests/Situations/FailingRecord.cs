using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>A journal on a disk that is full for a while: some entries cannot be written.</summary>
internal sealed class FailingRecord : IRunRecord
{
    private readonly IRunRecord _record;
    private readonly Func<RunEntry, int, bool> _fails;
    private int _entries;

    /// <summary>Fails at some entries, counted from 1.</summary>
    /// <param name="record">The journal.</param>
    /// <param name="entry">The first that fails.</param>
    /// <param name="count">How many fail in a row.</param>
    public FailingRecord(IRunRecord record, int entry, int count)
        : this(record, (_, number) => number >= entry && number - entry < count)
    {
    }

    /// <summary>Fails at entries of one kind.</summary>
    public FailingRecord(IRunRecord record, RunEntryKind kind)
        : this(record, (entry, _) => entry.Kind == kind)
    {
    }

    private FailingRecord(IRunRecord record, Func<RunEntry, int, bool> fails)
    {
        _record = record;
        _fails = fails;
    }

    public void Write(RunEntry entry)
    {
        if (_fails(entry, ++_entries))
        {
            throw new PoeOpsException(new Problem(ProblemId.JournalNotWritable, "The journal cannot be written: There is not enough space on the disk.", "Make room."));
        }

        _record.Write(entry);
    }
}
