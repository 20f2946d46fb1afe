using System.Text.RegularExpressions;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>The story of a run is its record in words: a line an entry, in order, each said when it is safe on disk.</summary>
public sealed partial class RunStoryTests : IDisposable
{
    private const string WentWell = """
        A run of the plan 'harbour' begins, with 1 unit.
        north-1/2: gate Stop is open.
        north-1/2: gate Window is open.
        north-1/2: gate Coverage is open.
        north-1/2: gate Disk is open.
        north-1/2: gate Image is open (sha256 7291514d2492fd7ff49e10ba7df95d19d31d199b89d74bcb62cebdee1bc1a498).
        north-1/2: gate Lock is open.
        north-1/2: gate Busy is open.
        north-1/2: gate Reading is open (model BR-4, serial S2, firmware 2.1, release 7.2).
        north-1/2: gate Healthy is open.
        north-1/2: gate Budget is open.
        north-1/2: gate LifeSafety is open (loads 1, acceptedBy the night's lead).
        north-1/2 begins: from 2.1 to 3.0 by br-3.0.img of 3000 bytes from 127.0.0.1:*. 3 loads, 1 of them life-safety.
        north-1/2 Transfer begins: the unit fetches its image.
        north-1/2 Transfer ended after 50 s.
        north-1/2 Erase begins: erasing.
        north-1/2 Erase ended after 30 s.
        north-1/2 Program begins: writing.
        north-1/2 Program: 55 %.
        north-1/2 Program: 100 %.
        north-1/2 Program ended after 120 s.
        north-1/2 Reset begins: restarting.
        north-1/2: br-3.0.img went to 127.0.0.1:*, 3000 bytes in 3 blocks, 0 sent again: Whole.
        north-1/2 Reset ended after 20 s.
        north-1/2 Verify begins: The device said 'all done'.
        north-1/2 Verify ended after 0 s.
        north-1/2 Recover begins: waiting for the loads.
        north-1/2 Recover: 100 %.
        north-1/2 Recover ended after 60 s.
        north-1/2: 3 of 3 loads have power again, the last after 170 s in the dark.
        north-1/2 ended Done: It runs 3.0, and everything is back. Last seen: firmware 3.0, 3 of 3 loads back, 170 s in the dark, * s waited and * s of our own, by this machine's time.
        The run ended because the plan is through.
        """;

    private readonly OneNight _night = new();
    private readonly List<string> _told = [];

    public RunStoryTests() => _night.Around = record => new ToldRecord(record, _told.Add);

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_night_that_goes_well_is_told_from_its_gates_to_its_end()
    {
        _night.GoesWell();

        _ = _night.Run();

        Assert.Equal(WentWell.ReplaceLineEndings("\n"), Differs().Replace(string.Join("\n", _told), "$1*"));
        Assert.Equal(JournalReplay.Read(_night.JournalPath).Entries.Count, _told.Count);
    }

    [Fact]
    public void What_could_not_be_written_is_not_told()
    {
        _night.Around = record => new ToldRecord(new Full(record), _told.Add);

        Assert.Throws<PoeOpsException>(_night.Run);

        Assert.Equal("A run of the plan 'harbour' begins, with 1 unit.", Assert.Single(_told));
    }

    [Theory]
    [InlineData("north-1/2: gate Window is closed (WindowClosed): It is late.", RunEntryKind.Gate, "gate", "Window", "passed", false, "problem", "WindowClosed", "reason", "It is late.")]
    [InlineData("north-1/2: gate Disk is closed and skipped (DiskTooFull): It is full.", RunEntryKind.Gate, "gate", "Disk", "passed", false, "skipped", true, "problem", "DiskTooFull", "reason", "It is full.")]
    [InlineData("north-1/2: port 4 is off: it was put back.", RunEntryKind.PutBack, "found", "port 4 is off", "done", true, "trouble", null)]
    [InlineData("north-1/2: port 4 is off: it could not be put back, the device says no.", RunEntryKind.PutBack, "found", "port 4 is off", "done", false, "trouble", "the device says no")]
    [InlineData("north-1/2: 1 of 2 loads have power again, the last after 80.5 s in the dark.", RunEntryKind.LoadsBack, "1", 80.5, "4", null)]
    [InlineData("north-1/2: 0 of 1 load have power again.", RunEntryKind.LoadsBack, "1", null)]
    [InlineData("north-1/2: The unit could not be asked: It is silent.", RunEntryKind.Note, "text", "The unit could not be asked: It is silent.")]
    [InlineData("north-1/2 ended Skipped: It runs 3.0 already.", RunEntryKind.Passed, "outcome", "Skipped", "problem", "NothingToDo", "reason", "It runs 3.0 already.")]
    [InlineData("north-1/2 ended Uncertain: Nobody knows.", RunEntryKind.End, "outcome", "Uncertain", "reason", "Nobody knows.")]
    public void Each_kind_has_its_words(string told, RunEntryKind kind, params object?[] facts) => Assert.Equal(told, RunStory.Of(Entry(kind, "north-1/2", facts)));

    [Theory]
    [InlineData("A run of the plan 'harbour' begins, with 2 units. It goes on with the run that began in line 7 of the journal.", RunEntryKind.RunBegan, "plan", "harbour", "units", 2, "whatIf", false, "resumes", 7)]
    [InlineData("A run of the plan 'harbour' begins, with 1 unit. Nothing is changed.", RunEntryKind.RunBegan, "plan", "harbour", "units", 1, "whatIf", true)]
    [InlineData("The clock was set.", RunEntryKind.Note, "text", "The clock was set.")]
    [InlineData("The run is to stop: the stop file is there.", RunEntryKind.StopAsked, "reason", "the stop file is there")]
    public void So_has_the_run_as_a_whole(string told, RunEntryKind kind, params object?[] facts) => Assert.Equal(told, RunStory.Of(Entry(kind, string.Empty, facts)));

    [Fact]
    public void The_end_names_what_was_not_begun() => Assert.Equal(
        "The run ended because north-1/2 ended Failed. Not begun: north-1/3, north-2/1.",
        RunStory.Of(Entry(RunEntryKind.RunEnded, string.Empty, "because", "north-1/2 ended Failed", "notBegun", new[] { "north-1/3", "north-2/1" })));

    private static RunEntry Entry(RunEntryKind kind, string unit, params object?[] facts) =>
        new(kind, HandClock.Start, unit, [.. facts.Chunk(2).Select(fact => new KeyValuePair<string, object?>((string)fact[0]!, fact[1]))]);

    // A port of the machine, and times of the machine.
    [GeneratedRegex(@"(127\.0\.0\.1:)\d+|(?<=back, 170 s in the dark, |waited and )\d[\d.]*(?= s)")]
    private static partial Regex Differs();

    private sealed class Full(IRunRecord inner) : IRunRecord
    {
        public void Write(RunEntry entry)
        {
            if (entry.Kind != RunEntryKind.RunBegan)
            {
                throw new PoeOpsException(new Problem(ProblemId.JournalNotWritable, "The disk is full.", "Make room."));
            }

            inner.Write(entry);
        }
    }
}
