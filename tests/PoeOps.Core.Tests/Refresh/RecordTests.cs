using PoeOps.Journal;
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
        Assert.Equal("the journal could not be written", _night.StoppedBecause);
        Assert.Equal(["north-1/3"], _night.Remaining);
    }

    [Fact]
    public void A_journal_that_can_be_written_again_says_what_is_missing_and_that_the_run_is_over()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.GoesWell();
        _night.Around = record => new FailingRecord(record, RunEntryKind.Progress);

        Assert.Equal(ProblemId.JournalNotWritable, Assert.Single(_night.Run()).ProblemId);

        Assert.Contains("Note text=1 entry before this one could not be written: The disk is full.; unwritten=1", _night.Journal(), StringComparison.Ordinal);
        Assert.EndsWith("RunEnded because=the journal could not be written; notBegun=north-1/3", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_whose_last_unit_has_no_end_written_is_left_open()
    {
        _night.GoesWell();
        _night.Around = record => new FailingRecord(record, RunEntryKind.End);

        _ = _night.Run();

        JournalReading journal = JournalReplay.Read(_night.JournalPath);
        Assert.Equal((1, "north-1/2"), (journal.OpenRunLine, Assert.Single(journal.OpenUnits)));
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
