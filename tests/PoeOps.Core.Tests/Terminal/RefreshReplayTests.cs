using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Dialects;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Console logs as people save them, replayed through the dialects that are shipped.</summary>
public sealed class RefreshReplayTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    private static string Kelpline => """
        23:58:00 Kelpline node mole-1
        23:58:01 mole-1 :: ready :: tell release
        23:59:00 mole-1 :: helm :: refit unit 1 from 192.0.2.5 at 69 with kelp.img
        23:59:02 Unit 1 goes dark while it is refitted. Cast off? (yes/no) yes
        23:59:04 Hauling the image aboard.
        23:59:34 Hauled:   7 %{r}Hauled: 100 %
        23:59:35 The image is aboard and sound.
        23:59:36 Scrubbing the old firmware.
        23:59:50 ~ gulls overhead
        23:59:56 The old firmware is gone.
        23:59:56 Writing the new firmware.
        00:01:26 Written: 100 %
        00:01:27 The new firmware is in place.
        00:01:28 Turning the controller round.
        00:01:58 The controller is back.
        00:01:59 Refit of unit 1 is done; it runs 3.10.2.
        00:02:00 mole-1 :: helm :: ashore
        00:02:01 Fair winds.
        """.Replace("{r}", "\r", StringComparison.Ordinal);

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_log_with_a_time_before_each_line_shows_what_would_have_been_seen_when()
    {
        ReplayReading replay = Replay("kelpline", Kelpline, @"^(?<Time>\d\d:\d\d:\d\d) ");
        Assert.Empty(Told.Of(replay.Problems));
        Assert.True(replay.IsWhole);
        Assert.Equal(
            [
                "3 0 Command 'refit unit 1 from 192.0.2.5 at 69 with kelp.img'",
                "4 2 Question 'Unit 1 goes dark while it is refitted. Cast off? (yes/no) '",
                "4 2 Answer 'yes'",
                "5 4 StageBegan Transfer 'Hauling the image aboard.'",
                "6 34 Progress Transfer 7 'Hauled:   7 %'",
                "6 34 Progress Transfer 100 'Hauled: 100 %'",
                "7 35 StageEnded Transfer 'The image is aboard and sound.'",
                "8 36 StageBegan Erase 'Scrubbing the old firmware.'",
                "9 50 Other '~ gulls overhead'",
                "10 56 StageEnded Erase 'The old firmware is gone.'",
                "11 56 StageBegan Program 'Writing the new firmware.'",
                "12 146 Progress Program 100 'Written: 100 %'",
                "13 147 StageEnded Program 'The new firmware is in place.'",
                "14 148 StageBegan Reset 'Turning the controller round.'",
                "15 178 StageEnded Reset 'The controller is back.'",
                "16 179 Succeeded 'Refit of unit 1 is done; it runs 3.10.2.'",
                "17 180 PromptBack 'mole-1 :: helm :: '",
            ],
            replay.Rows.Select(Say));
        Assert.Equal("23:59:34", replay.Rows[4].Time);
    }

    [Fact]
    public void The_summary_has_the_seconds_of_each_stage_and_a_baseline_takes_them()
    {
        ReplaySummary summary = Assert.Single(Replay("kelpline", Kelpline, @"^(?<Time>\d\d:\d\d:\d\d) ").Refreshes);
        Assert.Equal(
            (1, 3, true, ReplayOutcome.Succeeded, 179, "Refit of unit 1 is done; it runs 3.10.2."),
            (summary.Refresh, summary.Line, summary.CommandSeen, summary.Outcome, summary.Seconds, summary.Text));
        Assert.Equal((32, 20, 92, 31), (summary.TransferSeconds, summary.EraseSeconds, summary.ProgramSeconds, summary.ResetSeconds));
        Assert.Equal(1, summary.LinesOfNothing);

        // The one that is in no log is added, as the comment says.
        string times = summary.StageSeconds.Replace("/*", ", \"Verify\": { \"typical\": 9, \"worst\": 18 } /*", StringComparison.Ordinal);
        string text = $$"""
            { "name": "n", "entries": [ { "model": "M", "firmware": "2",
              "image": { "file": "a.img", "bytes": 1, "sha256": "{{new string('0', 64)}}" },
              {{times}} } ] }
            """;
        BaselineResult baseline = BaselineFile.Read(_folder.Write("a.baseline.json", text));
        Assert.Empty(Told.Of(baseline.Problems));
        Assert.Equal(
            ["Gate 30 60", "Transfer 32 64", "Erase 20 40", "Program 92 184", "Reset 31 62", "Verify 9 18"],
            StageTimes.Names.Select(name => $"{name} {baseline.Baseline!.Entries[0].Times.Of(name)!.TypicalSeconds} {baseline.Baseline!.Entries[0].Times.Of(name)!.WorstSeconds}"));
    }

    [Fact]
    public void A_log_without_times_shows_the_same_without_seconds()
    {
        ReplayReading replay = Replay("kelpline", string.Join("\r\n", Kelpline.Split('\n').Select(line => line[9..])));
        Assert.Empty(Told.Of(replay.Problems));
        Assert.Equal(
            Replay("kelpline", Kelpline, @"^(?<Time>\d\d:\d\d:\d\d) ").Rows.Select(row => Say(row with { AtSeconds = null })), replay.Rows.Select(Say));
        Assert.Equal((null, null, ""), (replay.Refreshes[0].Seconds, replay.Refreshes[0].EraseSeconds, replay.Refreshes[0].StageSeconds));
    }

    [Fact]
    public void Where_the_state_is_asked_for_what_is_said_again_is_no_news()
    {
        ReplayReading replay = Replay("oakum", """
            [1.12.2026 02:00:00] ferry-2 of the oakum line. Your name: mate
            [1.12.2026 02:00:10] ferry-2 listens; renew A by tftp 192.0.2.5 69 oak.img
            [1.12.2026 02:00:12] Sockets of A fall dark. aye or nay: aye
            [1.12.2026 02:00:13] renewal of A is in hand
            [1.12.2026 02:00:20] ferry-2 listens; how far A
            [1.12.2026 02:00:20] begin renewal A
            [1.12.2026 02:00:20]   image ......... oak.img
            [1.12.2026 02:00:20]   leg ........... pull 40 of 100
            [1.12.2026 02:00:20]   end ...........
            [1.12.2026 02:00:20] end renewal A
            [1.12.2026 02:00:25] ferry-2 listens; how far A
            [1.12.2026 02:00:25]   leg ........... pull 40 of 100
            [1.12.2026 02:00:40] ferry-2 listens; how fare A
            [1.12.2026 02:00:40] node does not follow: how fare A
            [1.12.2026 02:00:45] ferry-2 listens; how far A
            [1.12.2026 02:00:45]   leg ........... wipe
            [1.12.2026 02:00:55] ferry-2 listens; how far A
            [1.12.2026 02:00:55]   leg ........... over
            [1.12.2026 02:00:55]   end ........... given up, image spoilt
            [1.12.2026 02:00:56] ferry-2 listens; farewell
            """, @"^\[(?<Time>[^]]+)\] ", "d.M.yyyy HH:mm:ss");
        Assert.Empty(Told.Of(replay.Problems));
        Assert.Equal(
            [
                "2 0 Command 'renew A by tftp 192.0.2.5 69 oak.img'",
                "3 2 Question 'Sockets of A fall dark. aye or nay: '",
                "3 2 Answer 'aye'",
                "4 3 Other 'renewal of A is in hand'",
                "5 10 PromptBack 'ferry-2 listens; '",
                "5 10 Command 'how far A'",
                "6 10 Other 'begin renewal A'",
                "7 10 Other '  image ......... oak.img'",
                "8 10 StageBegan Transfer '  leg ........... pull 40 of 100'",
                "8 10 Progress Transfer 40 '  leg ........... pull 40 of 100'",
                "9 10 Other '  end ...........'",
                "10 10 Other 'end renewal A'",
                "11 15 Command 'how far A'",
                "12 15 Repeated Transfer '  leg ........... pull 40 of 100'",
                "12 15 Repeated Transfer 40 '  leg ........... pull 40 of 100'",
                "13 30 Unseen 'how fare A'",
                "14 30 Unseen 'node does not follow: how fare A'",
                "15 35 Command 'how far A'",
                "16 35 StageBegan Erase '  leg ........... wipe'",
                "17 45 Command 'how far A'",
                "18 45 Other '  leg ........... over'",
                "19 45 Failed '  end ........... given up, image spoilt' the image is damaged",
            ],
            replay.Rows.Select(Say));
        ReplaySummary summary = Assert.Single(replay.Refreshes);
        Assert.Equal((ReplayOutcome.Failed, "the image is damaged", 45, 25, 10), (summary.Outcome, summary.Because, summary.Seconds, summary.TransferSeconds, summary.EraseSeconds));
        Assert.Equal(["Program", "Reset"], summary.StagesNeverSeen);
    }

    [Fact]
    public void A_console_that_does_not_echo_hides_its_commands_and_is_replayed_from_the_first_word()
    {
        ReplayReading replay = Replay("oakum", """
            ferry-2 listens; begin node ferry-2
              system ........ 24-12
            end node ferry-2
            ferry-2 listens; Sockets of A fall dark. aye or nay: renewal of A is in hand
            ferry-2 listens; begin renewal A
              leg ........... wake
            end renewal A
            ferry-2 listens; begin renewal A
              leg ........... over
              end ........... renewed to R3-B10
            end renewal A
            ferry-2 listens; 
            """);
        Assert.Equal(
            [
                "4 Question 'Sockets of A fall dark. aye or nay: '", "4 Answer 'renewal of A is in hand'", "5 PromptBack 'ferry-2 listens; '", "5 Other 'begin renewal A'",
                "6 StageBegan Reset '  leg ........... wake'", "7 Other 'end renewal A'", "8 Other 'begin renewal A'", "9 Other '  leg ........... over'",
                "10 Succeeded '  end ........... renewed to R3-B10'", "11 Other 'end renewal A'",
            ],
            replay.Rows.Select(Say));
        Assert.Equal((false, ReplayOutcome.Succeeded), (replay.Refreshes[0].CommandSeen, replay.Refreshes[0].Outcome));
    }

    [Fact]
    public void Several_refreshes_in_one_log_are_told_apart()
    {
        ReplayReading replay = Replay("kelpline", """
            mole-1 :: helm :: refit unit 1 from 192.0.2.5 at 69 with kelp.img
            Unit 1 is in another's hands.
            mole-1 :: helm :: tell release
            Hauled:  50 %
            mole-1 :: helm :: refit unit 2 from 192.0.2.5 at 69 with kelp.img
            Nobody aboard knows "refit unit 2 from 192.0.2.5 at 69 with kelp.img".
            mole-1 :: helm :: refit unit 3 from 192.0.2.5 at 69 with kelp.img
            mole-1 :: helm :: refit unit 4 from 192.0.2.5 at 69 with kelp.img
            Hauling the image aboard.
            """);
        Assert.Equal(
            ["1 1 Busy Unit 1 is in another's hands. ", "2 5 Failed Nobody aboard knows \"refit unit 2 from 192.0.2.5 at 69 with … the device refused the command", "3 7 Unended  ", "4 8 Unended  "],
            replay.Refreshes.Select(one => $"{one.Refresh} {one.Line} {one.Outcome} {one.Text} {one.Because}"));
        Assert.False(replay.IsWhole);
    }

    [Fact]
    public void The_stamps_of_the_device_itself_are_those_of_the_dialect()
    {
        Dialect dialect = SampleDialect.Read();
        ReplayReading replay = Replay(dialect, "a awaits; renew 1 192.0.2.5 69 a.img\n<02:00:00> fetching\n<02:00:30> fetched\n<02:00:40> renewed\na awaits; \n");
        Assert.Empty(Told.Of(replay.Problems));
        Assert.Equal(
            ["1 Command 'renew 1 192.0.2.5 69 a.img'", "2 0 StageBegan Transfer 'fetching'", "3 30 StageEnded Transfer 'fetched'", "4 40 Succeeded 'renewed'", "5 PromptBack 'a awaits; '"],
            replay.Rows.Select(Say));
        Assert.Equal(40, replay.Refreshes[0].TransferSeconds);
    }

    [Theory]
    [InlineData("FileEmpty -", "")]
    [InlineData("CaptureBinary 1", "a\0b\n")]
    [InlineData("CaptureOfAnotherFamily -", "the tide is out\n")]
    [InlineData("ValueUnreadable 1", "[noon] Hauling the image aboard.\n")]
    [InlineData("TranscriptUnreadable 2", "2026-12-01T02:00:00.000Z > refit unit 1 from 192.0.2.5 at 69 with a\\r\n2026-12-01T02:00:0")]
    public void What_is_no_log_of_a_refresh_is_told(string told, string log)
    {
        Problem problem = Assert.Single(Replay("kelpline", log, @"^\[(?<Time>[^]]+)\] ").Problems);
        Assert.Equal(told, $"{problem.Id} {problem.Line?.ToString(CultureInfo.InvariantCulture) ?? "-"}");
        Assert.Equal(_folder.Path("refresh.log"), problem.File);
    }

    [Fact]
    public void A_dialect_that_can_only_read_replays_nothing() =>
        Assert.Equal(
            ["JsonMissingKey - -: The dialect 'lantern' says nothing of refreshing. Add 'refresh' to the dialect."], Told.Of(Replay(Lantern.Dialect(), "x\n").Problems));

    [Fact]
    public void A_pattern_without_end_stops_the_replay()
    {
        const string Slow = "\"refresh\": { \"commands\": { \"tftp\": \"refit {Unit}\" }, \"succeeds\": [\"^(a+)+b\"] }";
        ReplayReading replay = Replay(Lantern.Dialect(more: Slow), $"pier-1 awaits: refit 1\nall well\n{new string('a', 60)}\nmore\n");
        Problem problem = Assert.Single(replay.Problems);
        Assert.Equal((ProblemId.PatternTooSlow, 3), (problem.Id, problem.Line));
        Assert.Equal(["1 Command 'refit 1'", "2 Other 'all well'"], replay.Rows.Select(Say));
    }

    [Fact]
    public void A_transcript_says_what_was_sent_and_each_of_its_pieces_is_seen_at_once()
    {
        ReplayReading replay = Replay("kelpline", """
            2026-12-01T02:00:00.000Z < mole-1 :: helm ::\x20
            2026-12-01T02:00:01.000Z > refit unit 1 from 192.0.2.5 at 69 with kelp.img\r
            2026-12-01T02:00:01.100Z < refit unit 1 from 192.0.2.5 at 69 with kelp.img\r\nUnit 1 goes dark while it is refitted. Cast off? (yes/no)\x20
            2026-12-01T02:00:01.300Z > yes\r
            2026-12-01T02:00:01.400Z < yes\r\nHauling the image aboard.\r\n\rHauled:   1 %\rHauled:   9 %
            2026-12-01T02:00:05.400Z < \rHauled:  50 %\r\n~ a \\ gull\r\n[ more to tell: space goes on, q stops ]
            2026-12-01T02:00:06.000Z > \x20
            2026-12-01T02:00:09.000Z < \r     \rRefit of unit 1 stopped: the image is dam
            2026-12-01T02:00:09.001Z < aged.\r\nmole-1 :: helm ::\x20
            2026-12-01T02:00:10.000Z > ashore\r
            2026-12-01T02:00:10.100Z < ashore\r\nHauled:  60 %\r\n
            """);
        Assert.Empty(Told.Of(replay.Problems));
        Assert.Equal(
            [
                "2 0 Command 'refit unit 1 from 192.0.2.5 at 69 with kelp.img'",
                "3 0.1 Question 'Unit 1 goes dark while it is refitted. Cast off? (yes/no) '",
                "4 0.3 Answer 'yes'",
                "5 0.4 StageBegan Transfer 'Hauling the image aboard.'",
                "5 0.4 Progress Transfer 9 'Hauled:   9 %'",
                "6 4.4 Progress Transfer 50 'Hauled:  50 %'",
                "6 4.4 Other '~ a \\ gull'",
                "6 4.4 Pager '[ more to tell: space goes on, q stops ]'",
                "9 8.001 Failed 'Refit of unit 1 stopped: the image is damaged.' the image is damaged",
                "9 8.001 PromptBack 'mole-1 :: helm :: '",
            ],
            replay.Rows.Select(Say));
    }

    [Fact]
    public void Nothing_escapes_from_a_log_that_is_spoilt()
    {
        const string Noise = "\r\n\b\\x>< 0Z%:\u001b[";
        Random random = new(20261201);
        string[] logs = [Kelpline, string.Concat(Kelpline.Split('\n').Select(line => $"2026-12-01T02:00:00.000Z {(line.Contains("refit unit", StringComparison.Ordinal) ? '>' : '<')} {line[9..]}\\r\\n\n"))];
        Dialect dialect = DialectFile.Read(Repository.Path("module", "dialects", "kelpline.dialect.json")).Dialect!;
        string path = _folder.Path("spoilt.log");
        TimeStampRule stamp = TimeStampRule.Parse(@"(?<Time>\d\d:\d\d:\d\d) ", [], out _)!;
        for (int round = 0; round < 400; round++)
        {
            byte[] bytes = System.Text.Encoding.UTF8.GetBytes(logs[round % 2]);
            for (int i = random.Next(1, 20); i > 0; i--)
            {
                bytes[random.Next(bytes.Length)] = (byte)Noise[random.Next(Noise.Length)];
            }

            File.WriteAllBytes(path, bytes[..random.Next(1, bytes.Length + 1)]);
            ReplayReading replay = RefreshReplay.Of(dialect, path, stamp);
            Assert.Equal(replay.Rows.Select(row => row.Line).Order(), replay.Rows.Select(row => row.Line));
            Assert.Equal(replay.Rows.Select(row => row.Refresh).Distinct(), replay.Refreshes.Select(one => one.Refresh));
        }
    }

    [Theory]
    [InlineData("(x", "PatternInvalid")]
    [InlineData("x", "PropertyUnknown")]
    public void A_stamp_that_is_no_pattern_of_a_time_is_told(string pattern, string id)
    {
        Assert.Null(TimeStampRule.Parse(pattern, [], out Problem? problem));
        Assert.Equal(id, problem!.Id.ToString());
    }

    private static string Say(ReplayRow row) =>
        string.Join(" ", new[] { row.Line.ToString(CultureInfo.InvariantCulture), row.AtSeconds?.ToString(CultureInfo.InvariantCulture), row.Event.ToString(), row.Stage?.ToString(), row.Percent?.ToString(CultureInfo.InvariantCulture), $"'{row.Text}'", row.Because }.Where(part => !string.IsNullOrEmpty(part)));

    private ReplayReading Replay(string family, string log, string? stamp = null, params string[] formats)
    {
        Dialect dialect = DialectFile.Read(Repository.Path("module", "dialects", family + ".dialect.json")).Dialect!;
        return Replay(dialect, log, stamp, formats);
    }

    private ReplayReading Replay(Dialect dialect, string log, string? stamp = null, params string[] formats)
    {
        Problem? problem = null;
        TimeStampRule? rule = stamp is null ? null : TimeStampRule.Parse(stamp, formats, out problem);
        Assert.Null(problem);
        return RefreshReplay.Of(dialect, _folder.Write("refresh.log", log), rule);
    }
}
