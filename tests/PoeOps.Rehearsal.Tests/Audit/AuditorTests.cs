using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>An auditor that finds nothing is worth what it would have found: each rule is broken, in the journal or in the devices' log.</summary>
public sealed class AuditorTests
{
    private const string One = "north-1/1";
    private const string Two = "north-2/1";

    private static readonly Dictionary<string, (string Says, Action<Story> Spoil)> Spoilt = new()
    {
        ["a second unit begins before the first has ended"] = ("Rule 1: north-2/1", story => story.Remove(RunEntryKind.End, One)),
        ["a second unit is looked at before the first has ended"] = ("Rule 1: line", story => story.Add(400, RunEntryKind.Gate, Two, ("gate", "Stop"), ("passed", "true"))),
        ["an end has no beginning"] = ("Rule 1: line", story => story.Remove(RunEntryKind.Begin, One)),
        ["a command comes before Begin is on disk"] = ("Rule 2: north-1/1", story => story.Device(11.5, DeviceEntryKind.InstallAsked, "north-1", "1", "load it")),
        ["nobody knows when the work began"] = ("Rule 2: north-1/1", story => story.Journal.RemoveAll(entry => entry.Unit == One && UnitSpan.Fact(entry, "stage") == "Transfer")),
        ["a command comes when no unit is begun"] = ("Rule 2: north-1/1", story => story.Device(5, DeviceEntryKind.InstallAsked, "north-1", "1", "load it")),
        ["a setting is changed when no unit is begun"] = ("Rule 2: north-1/1", story => story.Device(600, DeviceEntryKind.SettingChanged, "north-1", "1", "port 1: off")),
        ["another unit is told to load"] = ("Rule 2: north-1/2", story => story.Device(13, DeviceEntryKind.InstallAsked, "north-1", "2", "load it")),
        ["a journal was changed"] = ("Rule 2: journal 1", story => story.Problems = [new Problem(ProblemId.JournalChainBroken, "Line 3 was changed.", "Compare.")]),
        ["a unit was not read"] = ("Rule 3: north-1/1", story => story.Remove(RunEntryKind.Gate, One, "Reading")),
        ["a unit was read in an earlier run"] = ("Rule 3: north-1/1", story => story.Add(10.5, RunEntryKind.RunBegan, "", ("whatIf", "false"))),
        ["a unit ran something else than was read"] = ("Rule 3: north-1/1", story => story.Change(RunEntryKind.Gate, One, "firmware", "3.9.0", "Reading")),
        ["an image was not checked"] = ("Rule 3: north-1/1", story => story.Remove(RunEntryKind.Gate, One, "Image")),
        ["another image was checked"] = ("Rule 3: north-1/1", story => story.Change(RunEntryKind.Gate, One, "sha256", "d2", "Image")),
        ["another image was fetched"] = ("Rule 3: north-1/1", story => story.Device(40, DeviceEntryKind.ImageFetched, "north-1", "1", "b.img, 100 bytes, SHA-256 d2", Stage.Transfer)),
        ["a unit is told twice"] = ("Rule 4: north-1/1", story => story.Device(20, DeviceEntryKind.InstallBegan, "north-1", "1", "a.img from 127.0.0.1:6900, running 3.8.0")),
        ["nobody asked a unit before it was called done"] = ("Rule 4: north-1/1", story => story.Journal.RemoveAll(entry => entry.Unit == One && UnitSpan.Fact(entry, "stage") == "Verify")),
        ["a run goes on at a switch where one failed"] = ("Rule 4: north-1/1", story =>
        {
            story.Change(RunEntryKind.End, One, "outcome", "Uncertain");
            Story.Tell(story.Journal, 600, One);
        }),
        ["a unit could outlast its window"] = ("Rule 5: north-1/1", story => story.Change(RunEntryKind.Begin, One, "windowCloses", "2026-12-01T22:24:00Z")),
        ["nobody looked at the window"] = ("Rule 5: north-1/1", story => story.Remove(RunEntryKind.Gate, One, "Window")),
        ["a unit begins after a stop"] = ("Rule 6: north-2/1", story => story.Add(600, RunEntryKind.StopAsked, "", ("reason", "a stop"))),
        ["a run ends with a unit under way"] = ("Rule 6: the run ends", story => story.Remove(RunEntryKind.End, Two)),
        ["a unit is left while it is at work"] = ("Rule 6: north-1/1", story => story.Forget(DeviceEntryKind.InstallSucceeded, "north-1")),
        ["nobody took the lock"] = ("Rule 7: north-1/1", story => story.Remove(RunEntryKind.Gate, One, "Lock")),
        ["two runs hold one switch"] = ("Rule 7: north-1/1", story =>
        {
            Story.Add(story.Other, 0, RunEntryKind.RunBegan, "", ("whatIf", "false"));
            Story.Tell(story.Other, 100, "north-1/2");
        }),
        ["a load is dark and the unit is called done"] = ("Rule 8: north-1/1", story => story.Forget(DeviceEntryKind.PortGranted, "north-1")),
        ["a load is dark and nobody names it"] = ("Rule 8: north-1/1", story =>
        {
            story.Forget(DeviceEntryKind.PortGranted, "north-1");
            story.Change(RunEntryKind.End, One, "outcome", "Degraded");
            story.Change(RunEntryKind.End, One, "notBack", "phone on north-1/1/12 has no power");
        }),
        ["a unit is called done and runs something else"] = ("Rule 8: north-1/1", story => story.Change(RunEntryKind.End, One, "firmware", "3.8.0")),
        ["a unit is called done and was to run something else"] = ("Rule 8: north-1/1", story => story.Change(RunEntryKind.Begin, One, "to", "3.11.0")),
        ["a unit is called done and not all loads are counted"] = ("Rule 8: north-1/1", story => story.Change(RunEntryKind.End, One, "loadsBack", "1")),
        ["a unit is called refused and has loaded"] = ("Rule 8: north-1/1", story => story.Change(RunEntryKind.End, One, "outcome", "Refused")),
        ["a setting is lost and nobody puts it back"] = ("Rule 8: north-1/1", story =>
        {
            story.Forget(DeviceEntryKind.SettingChanged, "north-1");
            story.Remove(RunEntryKind.PutBack, One);
        }),
        ["a setting is called put back and was not"] = ("Rule 8: north-1/1", story =>
        {
            story.Forget(DeviceEntryKind.SettingChanged, "north-1");
            story.Forget(DeviceEntryKind.SettingLost, "north-1");
        }),
        ["a setting could not be put back and the unit is called done"] = ("Rule 8: north-1/1", story => story.Change(RunEntryKind.PutBack, One, "done", "false")),
        ["a unit has no transcript"] = ("Rule 9: north-1/1", story => story.Change(RunEntryKind.Begin, One, "transcript", "")),
        ["a journal holds a secret"] = ("Rule 9: line", story => story.Add(400, RunEntryKind.Note, One, ("text", $"said {Story.Secret}"))),
        ["a run that is only to look begins a unit"] = ("Rule 10: north-1/1", story => story.Change(RunEntryKind.RunBegan, "", "whatIf", "true")),
    };

    public static TheoryData<string> Cases => [.. Spoilt.Keys];

    [Fact]
    public void A_night_that_went_well_passes() => Assert.Empty(new Story().Audit());

    [Fact]
    public void Each_rule_can_be_found_broken() =>
        Assert.Equal(Enumerable.Range(1, 10).Select(rule => $"Rule {rule}:"), Spoilt.Values.Select(one => one.Says[..(one.Says.IndexOf(':') + 1)]).Distinct());

    [Theory]
    [MemberData(nameof(Cases))]
    public void Is_found(string what)
    {
        var story = new Story();
        Spoilt[what].Spoil(story);

        Assert.Contains(story.Audit(), finding => finding.StartsWith(Spoilt[what].Says, StringComparison.Ordinal));
    }

    [Fact]
    public void A_run_that_was_cut_short_and_gone_on_with_passes()
    {
        var story = new Story();
        story.Remove(RunEntryKind.End, Two);
        story.Remove(RunEntryKind.RunEnded, "");
        story.Add(2500, RunEntryKind.RunBegan, "", ("whatIf", "false"));
        story.Add(2510, RunEntryKind.Passed, Two, ("outcome", "Skipped"));
        story.Add(2520, RunEntryKind.RunEnded, "", ("because", "the plan is through"));

        Assert.Empty(story.Audit());
    }

    [Theory]
    [InlineData(null)]
    [InlineData("Detached")]
    [InlineData("Uncertain")]
    public void A_unit_whose_end_was_not_known_and_was_found_out_late_passes(string? outcome)
    {
        Story story = Asked(outcome);

        Assert.Empty(story.Audit());
    }

    [Fact]
    public void A_unit_that_is_called_done_late_and_is_not_is_found()
    {
        Story story = Asked(null);
        story.Forget(DeviceEntryKind.PortGranted, "north-2");

        Assert.Contains(story.Audit(), finding => finding.StartsWith("Rule 8: north-2/1", StringComparison.Ordinal));
    }

    [Fact]
    public void A_late_end_of_a_unit_that_was_well_is_found()
    {
        var story = new Story();
        story.Add(2500, RunEntryKind.RunBegan, "", ("whatIf", "false"));
        story.Add(2510, RunEntryKind.End, Two, ("outcome", "Done"), ("late", "true"));

        Assert.Contains(story.Audit(), finding => finding.StartsWith("Rule 1: line", StringComparison.Ordinal));
    }

    [Fact]
    public void A_gap_that_the_journal_names_itself_is_no_broken_rule()
    {
        var story = new Story();
        story.Journal.RemoveAll(entry => entry.Unit == One && entry.Kind == RunEntryKind.StageBegan);
        story.Add(320.5, RunEntryKind.Note, One, ("text", "3 entries before this one could not be written"), ("unwritten", "3"));

        Assert.Empty(story.Audit());
    }

    private static Story Asked(string? outcome)
    {
        var story = new Story();
        story.Remove(RunEntryKind.End, Two);
        story.Remove(RunEntryKind.RunEnded, "");
        if (outcome is not null)
        {
            story.Add(1490, RunEntryKind.End, Two, ("outcome", outcome), ("notBack", ""));
        }

        story.Add(2500, RunEntryKind.RunBegan, "", ("whatIf", "false"));
        story.Add(2510, RunEntryKind.StageBegan, Two, ("stage", "Verify"));
        story.Add(2520, RunEntryKind.End, Two, ("outcome", "Done"), ("firmware", "kl_3_10_2"), ("loads", "2"), ("loadsBack", "2"), ("notBack", ""), ("late", "true"));
        story.Add(2530, RunEntryKind.RunEnded, "", ("because", "the plan is through"));
        return story;
    }

    [Fact]
    public void A_torn_last_line_is_no_broken_rule()
    {
        var story = new Story { Problems = [new Problem(ProblemId.JournalTorn, "The last line was not written to its end.", "Read it.")] };

        Assert.Empty(story.Audit());
    }
}
