namespace PoeOps.Refresh;

/// <summary>A record that another thread may bring to its end: what comes after its last entries is not taken any more.</summary>
internal sealed class LastRecord : IRunRecord
{
    private readonly IRunRecord _record;
    private readonly object _gate = new();
    private bool _over;

    /// <summary>Writes to a record.</summary>
    public LastRecord(IRunRecord record) => _record = record;

    /// <inheritdoc/>
    public void Write(RunEntry entry)
    {
        lock (_gate)
        {
            if (_over)
            {
                throw new PoeOpsException(new Problem(ProblemId.JournalNotWritable, "The journal takes no more entries: the run let go of it.", "Go on with the run by Invoke-PseRefresh -Resume."));
            }

            _record.Write(entry);
        }
    }

    /// <summary>Writes the last entries, once.</summary>
    public void End(IEnumerable<RunEntry> last)
    {
        lock (_gate)
        {
            if (_over)
            {
                return;
            }

            _over = true;
            foreach (RunEntry entry in last)
            {
                _record.Write(entry);
            }
        }
    }
}
