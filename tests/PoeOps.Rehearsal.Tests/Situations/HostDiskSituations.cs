using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

// The disk of the jump host is full, or the journal's folder is gone.
public sealed class JournalDiskFullAtBegin : TwoUnits
{
    [Fact]
    public void Nothing_is_sent()
    {
        Night.Around = record => new FailingRecord(record, RunEntryKind.Begin);

        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(() => Night.Run()).Problem.Id);

        Assert.DoesNotContain(Night.Rehearsal.Log, entry => entry.Kind is DeviceEntryKind.InstallAsked or DeviceEntryKind.InstallBegan);
        Approve();
    }
}

public sealed class JournalDiskFullAtEnd : TwoUnits
{
    [Fact]
    public void The_unit_is_named_and_its_span_stays_open()
    {
        Night.Around = record => new FailingRecord(record, RunEntryKind.End);

        UnitResult result = Assert.Single(Night.Run());

        Assert.Equal((StageOutcome.Done, ProblemId.JournalNotWritable), (result.Outcome, result.ProblemId));
        Assert.Equal("mole-1/1", Assert.Single(JournalReplay.Read(Night.JournalPath).OpenUnits));
        Approve();
    }
}

/// <summary>The folder of the journal is removed in mid-unit.</summary>
public abstract class FolderRemoved(params string[] mishaps) : TwoUnits(600, mishaps)
{
    [Fact]
    public void The_unit_is_watched_to_its_end_and_no_other_begins()
    {
        string folder = Path.Combine(Night.Folder, "gone");
        string kept = Path.Combine(Night.Folder, "kept.journal.jsonl");
        Once(Stage.Program, () =>
        {
            File.Copy(Night.JournalPath, kept);
            Directory.Delete(folder, recursive: true);
        });

        UnitResult result = Assert.Single(Night.Run(Path.Combine("gone", "night")));

        Assert.Equal((StageOutcome.Done, ProblemId.JournalNotWritable, "3.10.2"), (result.Outcome, result.ProblemId, result.FirmwareNow));
        Assert.Equal("the journal could not be written", Night.StoppedBecause);
        Assert.False(Directory.Exists(folder));
        Night.JournalPath = kept;
        Night.RequirePlayed(Mishaps);
        Approve();
    }
}

public sealed class JournalFolderRemoved() : FolderRemoved();

public sealed class JournalFolderRemovedAndLinkLost() : FolderRemoved("mole-1/1:Program:LinkLost");
