namespace PoeOps.Refresh;

/// <summary>
/// Writes to another record, and tells each entry in words once it is safe there: whoever listens hears what stands in the record, nothing more and nothing else.
/// </summary>
/// <param name="record">The record.</param>
/// <param name="tell">Takes a line for each entry; must not wait for anybody.</param>
public sealed class ToldRecord(IRunRecord record, Action<string> tell) : IRunRecord
{
    /// <inheritdoc/>
    public void Write(RunEntry entry)
    {
        record.Write(entry);
        tell(RunStory.Of(entry));
    }
}
