using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>The record fails: nothing is begun that is not written down, and nothing that was begun is left unwatched.</summary>
public sealed class RecordTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Theory]
    [InlineData(RunEntryKind.RunBegan)]
    [InlineData(RunEntryKind.Gate)]
    [InlineData(RunEntryKind.Begin)]
    public void Nothing_is_sent_where_the_record_cannot_be_written(RunEntryKind kind)
    {
        _night.Around = record => new FailingRecord(record, kind);

        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(_night.Run).Problem.Id);

        Assert.DoesNotContain(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
        Assert.False(File.Exists(_night.LockPath));
    }

    [Theory]
    [InlineData(RunEntryKind.StageBegan)]
    [InlineData(RunEntryKind.Progress)]
    [InlineData(RunEntryKind.End)]
    public void A_record_that_fails_later_ends_the_run_after_the_unit_and_the_result_says_so(RunEntryKind kind)
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.GoesWell();
        _night.Around = record => new FailingRecord(record, kind);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Done, result.Outcome);
        Assert.Equal("It runs 3.0, and everything is back. From some point on the journal could not be written: The disk is full.", result.Reason);
        Assert.Equal("the journal can no longer be written", _night.StoppedBecause);
        Assert.Equal(["north-1/3"], _night.Remaining);
    }

    private sealed class FailingRecord(IRunRecord inner, RunEntryKind kind) : IRunRecord
    {
        public void Write(RunEntry entry)
        {
            if (entry.Kind == kind)
            {
                throw new PoeOpsException(new Problem(ProblemId.JournalNotWritable, "The disk is full.", "Make room."));
            }

            inner.Write(entry);
        }
    }
}
