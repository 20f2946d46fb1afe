using PoeOps.Core.Tests.Architecture;
using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Logs of refreshes on a console that shows percentages over the same line, as somebody saved them.</summary>
public class SavedRefreshTests
{
    [Theory]
    [InlineData("worked", "Succeeded", "", "Transfer Erase Program Reset")]
    [InlineData("declined", "Failed", "the question was answered with no", "")]
    [InlineData("failed-haul", "Failed", "the parcel did not come through; the old program runs", "Transfer")]
    [InlineData("failed", "Failed", "the program was not written; the member holds nothing legible", "Transfer Erase Program")]
    [InlineData("failed-wake", "Failed", "the feeder did not come back; somebody has to go there", "Transfer Erase Program Reset")]
    public void A_saved_refresh_is_replayed_to_its_end(string name, string outcome, string because, string stages)
    {
        ReplayReading replay = Replay("ombrask", name);
        Assert.Empty(replay.Problems);
        ReplaySummary refresh = Assert.Single(replay.Refreshes);
        Assert.Equal((true, outcome, because, stages, 0), (refresh.CommandSeen, refresh.Outcome.ToString(), refresh.Because ?? "", string.Join(" ", refresh.StagesSeen), refresh.LinesOfNothing));
    }

    [Theory]
    [InlineData("worked", "Succeeded", "", "Transfer Erase Program Reset")]
    [InlineData("declined", "Failed", "the question was answered with no", "")]
    [InlineData("failed-refused", "Failed", "the hub did not take the code; nothing was changed", "Transfer")]
    [InlineData("failed", "Failed", "writing went wrong; the rationer is broken until it is recoded", "Transfer Erase Program")]
    [InlineData("failed-lost", "Failed", "it was written, and the rationer does not speak since", "Transfer Erase Program Reset")]
    public void A_saved_refresh_that_was_asked_for_by_its_job_is_replayed_to_its_end(string name, string outcome, string because, string stages)
    {
        ReplaySummary refresh = Assert.Single(Replay("vintrel", name).Refreshes);
        Assert.Equal((true, outcome, because, stages), (refresh.CommandSeen, refresh.Outcome.ToString(), refresh.Because ?? "", string.Join(" ", refresh.StagesSeen)));
    }

    [Fact]
    public void Percentages_over_the_same_line_are_all_seen()
    {
        ReplayReading replay = Replay("ombrask", "worked");
        Assert.Equal(
            ["Transfer 0", "Transfer 7", "Transfer 31", "Transfer 58", "Transfer 86", "Transfer 100", "Erase 0", "Erase 50", "Erase 100", "Program 0", "Program 4", "Program 19", "Program 42", "Program 67", "Program 91", "Program 100"],
            replay.Rows.Where(row => row.Event == ReplayEvent.Progress).Select(row => $"{row.Stage} {row.Percent}"));
    }

    private static ReplayReading Replay(string family, string name)
    {
        Dialect dialect = DialectFile.Read(Repository.Path("tests", "captures", family, $"{family}.dialect.json")).Dialect!;
        return RefreshReplay.Of(dialect, Repository.Path("tests", "captures", family, $"refresh-{name}.log"), null);
    }
}
