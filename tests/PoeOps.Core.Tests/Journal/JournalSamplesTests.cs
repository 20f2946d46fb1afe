using PoeOps.Journal;
using PoeOps.Outages;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>What a journal tells of refreshes that are over.</summary>
public sealed class JournalSamplesTests : JournalBench
{
    [Fact]
    public void A_refresh_is_taken_with_its_stages_and_its_loads()
    {
        Write(
            (RunEntryKind.RunBegan, "", [("speed", 1)]),
            (RunEntryKind.Begin, "north-1/2", [("to", "3.10"), ("model", "BR-4"), ("bytes", 3000L)]),
            (RunEntryKind.StageEnded, "north-1/2", [("stage", "Transfer"), ("seconds", 50.25)]),
            (RunEntryKind.StageEnded, "north-1/2", [("stage", "Program"), ("seconds", 120)]),
            (RunEntryKind.LoadsBack, "north-1/2", [("1/1", 131.5), ("1/2", null)]),
            (RunEntryKind.End, "north-1/2", [("outcome", "Degraded"), ("darkSeconds", 140.5), ("loadsBack", 1)]),
            (RunEntryKind.RunEnded, "", []));
        JournalReading reading = JournalReplay.Read(Path);
        RefreshSample sample = Assert.Single(JournalSamples.Of(reading));
        Assert.Equal(("north-1/2", "BR-4", 3000L, "3.10", "Degraded", 140.5, 1), (sample.UnitId.ToString(), sample.Model, sample.ImageBytes, sample.ToFirmware, sample.Outcome, sample.DarkSeconds, sample.LoadsBack));
        Assert.Equal(["Transfer 50.25", "Program 120"], sample.StageSeconds.Select(stage => FormattableString.Invariant($"{stage.Key} {stage.Value}")));
        Assert.Equal(["1/1 131.5", "1/2 "], sample.LoadDarkSeconds.Select(load => FormattableString.Invariant($"{load.Key} {load.Value}")));
        Assert.Null(JournalSamples.CautionOf(reading, Path));
    }

    // The second Begin of a unit, as after a run that broke off, stands for what followed; an End without a Begin and a Begin without an End tell nothing.
    [Fact]
    public void What_has_no_beginning_or_no_end_tells_nothing()
    {
        Write(
            (RunEntryKind.End, "north-1/1", [("outcome", "Done")]),
            (RunEntryKind.Begin, "north-1/2", [("to", "3.9")]),
            (RunEntryKind.StageEnded, "north-1/2", [("stage", "Erase"), ("seconds", 9)]),
            (RunEntryKind.Begin, "north-1/2", [("to", "3.10")]),
            (RunEntryKind.Begin, "north-1/3", [("to", "3.10")]),
            (RunEntryKind.End, "north-1/2", [("outcome", "Done")]));
        RefreshSample sample = Assert.Single(JournalSamples.Of(JournalReplay.Read(Path)));
        Assert.Equal(("north-1/2", "3.10", "", 0L, null, 0), (sample.UnitId.ToString(), sample.ToFirmware, sample.Model, sample.ImageBytes, sample.DarkSeconds, sample.StageSeconds.Count));
    }

    // Who asks the next morning knows how it ended, and not how long its stages took.
    [Fact]
    public void A_refresh_that_a_later_run_asked_after_is_none_to_learn_from()
    {
        Write(
            (RunEntryKind.RunBegan, "", []), (RunEntryKind.Begin, "north-1/2", [("to", "3.10"), ("model", "BR-4"), ("bytes", 3000L)]),
            (RunEntryKind.RunBegan, "", []), (RunEntryKind.End, "north-1/2", [("outcome", "Done")]));
        RefreshSample sample = Assert.Single(JournalSamples.Of(JournalReplay.Read(Path)));
        Assert.Equal(("Done", false, false), (sample.Outcome, sample.WasWatched, sample.IsWhole));
        Assert.True((sample with { WasWatched = true }).IsWhole);
    }

    [Fact]
    public void A_rehearsal_is_told_for_one()
    {
        Write((RunEntryKind.RunBegan, "", [("speed", 120)]));
        Assert.Equal(
            "'a.jsonl' is the journal of a rehearsal at speed 120: the times that are learned from it are those of simulated devices.",
            JournalSamples.CautionOf(JournalReplay.Read(Path), "a.jsonl"));
    }

    private void Write(params (RunEntryKind Kind, string Unit, (string Name, object? Value)[] Facts)[] entries)
    {
        using JournalFile journal = JournalFile.Open(Path);
        foreach ((RunEntryKind kind, string unit, (string Name, object? Value)[] facts) in entries)
        {
            journal.Write(new RunEntry(kind, Noon, unit, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]));
        }
    }
}
