using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class TranscriptTests
{
    // Speed 1/1000000: a clock that stands still for the length of a test.
    private static readonly ScaledClock Still = new(0.000001, SystemClock.Instance.UtcNow, new DateTime(2026, 11, 25, 21, 30, 0, 250, DateTimeKind.Utc));

    [Fact]
    public void Every_piece_is_a_line_with_time_direction_and_bytes()
    {
        using ScratchFolder folder = new();
        string path;
        using (Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", Lantern.Secrets, Still))
        {
            path = transcript.Path;
            Say(transcript, "Name? ");
            transcript.Sent(Encoding.ASCII.GetBytes("mate\r"), secret: false);
            transcript.Said([0x1b, (byte)'[', (byte)'m', 0, 0xff, (byte)'\\', (byte)'\t', (byte)'\r', (byte)'\n'], 9);
        }

        Assert.Equal("pier-1.20261125T213000.1.transcript.txt", Path.GetFileName(path));
        Assert.Equal(
            string.Concat(
                "2026-11-25T21:30:00.250Z < Name? \n",
                "2026-11-25T21:30:00.250Z > mate\\r\n",
                "2026-11-25T21:30:00.250Z < \\x1b[m\\x00\\xff\\\\\\t\\r\\n\n"),
            File.ReadAllText(path));
    }

    [Fact]
    public void What_was_said_is_on_disk_while_the_dialogue_goes_on()
    {
        using ScratchFolder folder = new();
        using Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", LogInSecrets.None, Still);
        Say(transcript, "half a li");
        using FileStream file = new(transcript.Path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        using StreamReader reader = new(file);

        Assert.Equal("2026-11-25T21:30:00.250Z < half a li\n", reader.ReadToEnd());
    }

    [Fact]
    public void A_second_transcript_of_the_same_second_has_a_file_of_its_own()
    {
        using ScratchFolder folder = new();
        using Transcript first = Transcript.Create(folder.FullPath, "pier/1", LogInSecrets.None, Still);
        using Transcript second = Transcript.Create(folder.FullPath, "pier/1", LogInSecrets.None, Still);

        Assert.Equal(["pier_1.20261125T213000.1.transcript.txt", "pier_1.20261125T213000.2.transcript.txt"], new[] { first, second }.Select(one => Path.GetFileName(one.Path)));
    }

    [Fact]
    public void A_folder_that_does_not_exist_is_told()
    {
        string folder = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName());

        Problem problem = Assert.Throws<PoeOpsException>(() => Transcript.Create(folder, "pier-1", LogInSecrets.None, Still)).Problem;

        Assert.Equal((ProblemId.FileNotWritable, folder), (problem.Id, problem.File));
        Assert.StartsWith($"No transcript can be written in '{folder}': ", problem.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(100)]
    public void A_secret_that_the_device_echoes_in_pieces_of_any_size_is_struck_out(int piece)
    {
        const string Text = "Word? Tide\\77\r\nTide\\7 Tide\\77Tide\\77 Helm+8.";
        using ScratchFolder folder = new();
        string path;
        using (Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", Lantern.Secrets, Still))
        {
            path = transcript.Path;
            foreach (char[] part in Text.Chunk(piece))
            {
                Say(transcript, new string(part));
            }
        }

        Assert.Equal(@"Word? [secret]\r\nTide\\7 [secret][secret] [secret].", Said(path));
    }

    [Fact]
    public void What_is_sent_does_not_break_a_secret_that_comes_in_pieces_in_two()
    {
        using ScratchFolder folder = new();
        string path;
        using (Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", Lantern.Secrets, Still))
        {
            path = transcript.Path;
            Say(transcript, "echo Tide\\7");
            transcript.Sent(Encoding.ASCII.GetBytes("Helm+8 and Tide\\77\r"), secret: false);
            Say(transcript, "7\r\n");
        }

        Assert.Equal(@"echo [secret]\r\n", Said(path));
        Assert.Contains(@"> [secret] and [secret]\r", File.ReadAllText(path), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("at Ti", @"at Ti")]
    [InlineData("at Tide\\7", "at [secret]")]
    public void The_beginning_of_a_secret_at_a_broken_end_is_not_given_away(string text, string wanted)
    {
        using ScratchFolder folder = new();
        string path;
        using (Transcript transcript = Transcript.Create(folder.FullPath, "pier-1", Lantern.Secrets, Still))
        {
            path = transcript.Path;
            Say(transcript, text);
        }

        Assert.Equal(wanted, Said(path));
    }

    [Theory]
    [InlineData("utf-8")]
    [InlineData("iso-8859-1")]
    public void A_log_in_leaves_no_secret_in_the_transcript_in_any_encoding(string encoding)
    {
        Encoding device = Encoding.GetEncoding(encoding);
        LogInSecrets secrets = new("mate", "Jetée!9", "Höhe#4");
        using ScratchFolder folder = new();
        using ScriptedConsole console = new(peer =>
        {
            foreach (string question in new[] { "Word? ", "Helm? " })
            {
                peer.Write(question);
                string heard = peer.ReadLine();
                peer.Write(heard + "\r\n");
            }

            peer.Write(Lantern.Prompt);
            peer.Hang();
        });
        string path;
        using (TerminalLink link = Lantern.Link(console, Lantern.Dialect(Lantern.LogIn, encoding: encoding), secrets, transcripts: () => Transcript.Create(folder.FullPath, "pier-1", secrets, Still)))
        {
            path = link.TranscriptPath!;
        }

        string raw = File.ReadAllText(path);
        foreach (string secret in new[] { "Jetée!9", "Höhe#4" })
        {
            string escaped = string.Concat(device.GetBytes(secret).Select(b => b < 0x7f ? ((char)b).ToString() : $"\\x{b:x2}"));
            Assert.DoesNotContain(secret, raw, StringComparison.Ordinal);
            Assert.DoesNotContain(escaped, raw, StringComparison.Ordinal);
        }

        Assert.Equal(@"Word? [secret]\r\nHelm? [secret]\r\npier-1 awaits: ", Said(path));
    }

    private static void Say(Transcript transcript, string text)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(text);
        transcript.Said(bytes, bytes.Length);
    }

    /// <summary>What the device said, without times and pieces.</summary>
    private static string Said(string path) =>
        string.Concat(File.ReadAllText(path).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' ', 3)).Where(parts => parts[1] == "<").Select(parts => parts[2]));
}
