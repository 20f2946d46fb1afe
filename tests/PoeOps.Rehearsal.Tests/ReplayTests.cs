using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>The transcript of a refresh in a rehearsal is replayed, and shows what was seen while it went on.</summary>
public sealed class ReplayTests : IDisposable
{
    private static readonly ReplayEvent[] OfDevice =
        [ReplayEvent.StageBegan, ReplayEvent.Progress, ReplayEvent.StageEnded, ReplayEvent.Succeeded, ReplayEvent.Failed, ReplayEvent.Busy];

    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-replay-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_kelpline_is_replayed_as_it_was_seen_on_the_line()
    {
        IReadOnlyList<LinkEvent> live = Follow("mole-1", "1", out ReplayReading replay);
        Assert.Equal(Live(live), Replayed(replay));

        ReplaySummary summary = Assert.Single(replay.Refreshes);
        Assert.Equal(
            (true, ReplayOutcome.Succeeded, "Refit of unit 1 is done; it runs 3.10.2."), (summary.CommandSeen, summary.Outcome, summary.Text));
        Assert.Equal(["Transfer", "Erase", "Program", "Reset"], summary.StagesSeen);
        Assert.Empty(summary.StagesNeverSeen);
        Assert.Equal(
            ["Command", "Question Unit 1 goes dark while it is refitted. Cast off? (yes/no) ", "Answer yes", "StageBegan"],
            replay.Rows.Take(4).Select(row => row.Event is ReplayEvent.Question or ReplayEvent.Answer ? $"{row.Event} {row.Text}" : $"{row.Event}"));
        Assert.Equal(ReplayEvent.PromptBack, replay.Rows[^1].Event);
        Assert.Equal(0, replay.Rows[0].AtSeconds);
        Assert.Equal(summary.Seconds!.Value - StageBegan(replay), summary.TransferSeconds + summary.EraseSeconds + summary.ProgramSeconds + summary.ResetSeconds ?? -1, 0.01);
    }

    [Fact]
    public void An_oakum_is_replayed_as_its_answers_told_up_to_where_its_session_ended()
    {
        IReadOnlyList<LinkEvent> live = Follow("ferry-2", "A", out ReplayReading replay);
        Assert.Equal(Live(live), Replayed(replay));

        ReplaySummary summary = Assert.Single(replay.Refreshes);
        Assert.Equal((true, ReplayOutcome.Unended), (summary.CommandSeen, summary.Outcome));
        Assert.Contains(replay.Rows, row => row is { Event: ReplayEvent.Command, Text: "how far A" });
        Assert.Contains(replay.Rows, row => row is { Event: ReplayEvent.Answer, Text: "aye" });
        Assert.Equal(live.Where(one => one.Stage is not null).Select(one => one.Stage.ToString()).Distinct(), summary.StagesSeen);
    }

    [Fact]
    public void A_refresh_that_failed_is_replayed_with_its_reason()
    {
        IReadOnlyList<LinkEvent> live = Follow("mole-1", "1", out ReplayReading replay, bytes => bytes[..^40]);
        Assert.Equal(Live(live), Replayed(replay));
        Assert.Equal((ReplayOutcome.Failed, "the image is not whole"), (replay.Refreshes[0].Outcome, replay.Refreshes[0].Because));
    }

    private static double StageBegan(ReplayReading replay) => replay.Rows.First(row => row.Event == ReplayEvent.StageBegan).AtSeconds!.Value;

    private static IEnumerable<string> Live(IReadOnlyList<LinkEvent> live) =>
        live.Where(one => one.Kind is not (LinkEventKind.Lost or LinkEventKind.Other)).Select(one => $"{one.Kind} {one.Stage} {one.Percent} {one.Because} {one.Text}");

    private static IEnumerable<string> Replayed(ReplayReading replay) =>
        replay.Rows.Where(row => OfDevice.Contains(row.Event)).Select(row => $"{row.Event} {row.Stage} {row.Percent} {(row.Because.Length == 0 ? null : row.Because)} {row.Text}");

    private IReadOnlyList<LinkEvent> Follow(string name, string unit, out ReplayReading replay, Func<byte[], byte[]>? spoil = null)
    {
        using var night = new Night();
        string path;
        IReadOnlyList<LinkEvent> live;
        using (TerminalLink link = night.Open(name, transcripts: _folder))
        {
            path = link.TranscriptPath!;
            live = night.Refresh(link, unit, night.Serve(name == "mole-1" ? Night.Kelp : Night.Oakum, spoil));
        }

        replay = RefreshReplay.Of(Place.Dialect(Place.Switch(name).Family), path);
        Assert.Empty(replay.Problems);
        return live;
    }
}
