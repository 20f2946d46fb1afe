using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

public sealed class JournalTests : IDisposable
{
    private static readonly DateTime Noon = new(2026, 12, 1, 12, 0, 0, DateTimeKind.Utc);
    private readonly ScratchFolder _folder = new();

    private string Path => _folder.Path("night.journal.jsonl");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void What_was_written_is_read_back()
    {
        WriteThree();
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        Assert.Equal(["1 RunBegan  n=0", "2 Begin north-1/2 n=1", "3 End north-1/2 n=2"], reading.Entries.Select(entry => $"{entry.Line} {entry.Kind} {entry.Unit} {entry.Text}"));
    }

    [Fact]
    public void Each_line_holds_the_digest_of_the_one_before()
    {
        WriteThree();
        string previous = new('0', 64);
        foreach (string line in File.ReadLines(Path))
        {
            Assert.Contains($"\"previous\":\"{previous}\"", line, StringComparison.Ordinal);
            string body = line[..line.LastIndexOf(",\"sha256\"", StringComparison.Ordinal)];
            previous = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(body)));
            Assert.EndsWith($",\"sha256\":\"{previous}\"}}", line, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void What_was_begun_and_has_no_end_is_told()
    {
        WriteThree();
        JournalReading reading = JournalReplay.Read(Path);
        Assert.Equal((1, 0), (reading.OpenRunLine, reading.OpenUnits.Count));
        using (JournalFile journal = JournalFile.Open(Path))
        {
            journal.Write(new RunEntry(RunEntryKind.RunEnded, Noon, string.Empty, []));
            Assert.Null(JournalReplay.Read(Path).OpenRunLine);
            journal.Write(new RunEntry(RunEntryKind.RunBegan, Noon, string.Empty, []));
            journal.Write(new RunEntry(RunEntryKind.Begin, Noon, "north-1/2", []));
        }

        reading = JournalReplay.Read(Path);
        Assert.Equal((5, "north-1/2"), (reading.OpenRunLine, Assert.Single(reading.OpenUnits)));
    }

    [Fact]
    public void A_changed_line_is_found() => Assert.Equal(["JournalChainBroken 2"], Forge(lines => lines[1] = lines[1].Replace("\"n\":1", "\"n\":7", StringComparison.Ordinal)));

    [Fact]
    public void A_line_that_was_taken_out_is_found() => Assert.Equal(["JournalChainBroken 2"], Forge(lines => lines.RemoveAt(1)));

    [Fact]
    public void Lines_that_were_swapped_are_found() => Assert.Equal(["JournalChainBroken 1", "JournalChainBroken 2", "JournalChainBroken 3"], Forge(lines => (lines[0], lines[1]) = (lines[1], lines[0])));

    [Fact]
    public void A_torn_last_line_is_set_aside_and_the_journal_goes_on()
    {
        WriteThree();
        File.AppendAllText(Path, "{\"line\":4,\"utc");
        Assert.Equal(ProblemId.JournalTorn, Assert.Single(JournalReplay.Read(Path).Problems).Id);
        using (JournalFile journal = JournalFile.Open(Path))
        {
            journal.Write(Entry(RunEntryKind.RunEnded, "", 4));
        }

        Assert.True(JournalReplay.Read(Path).ChainHolds);
        Assert.Equal("{\"line\":4,\"utc\n", File.ReadAllText(Path + ".torn"));
    }

    [Fact]
    public void A_journal_that_got_no_entry_leaves_no_file()
    {
        JournalFile.Open(Path).Dispose();
        Assert.Empty(Directory.GetFileSystemEntries(_folder.FullPath));
    }

    [Fact]
    public void A_journal_that_was_there_stays_though_nothing_is_added()
    {
        WriteThree();
        JournalFile.Open(Path).Dispose();
        Assert.Equal(3, JournalReplay.Read(Path).Entries.Count);
    }

    [Theory]
    [InlineData("none/night.jsonl", "JournalNotWritable")]
    [InlineData("", "JournalNotWritable")]
    [InlineData("poem.txt", "JournalUnreadable")]
    [InlineData("night.journal.jsonl", null)]
    [InlineData("torn.jsonl", null)]
    [InlineData("new.jsonl", null)]
    public void A_check_tells_what_the_opening_would_and_writes_nothing(string name, string? id)
    {
        WriteThree();
        _folder.Write("poem.txt", "The tide is out.\n");
        _folder.Write("torn.jsonl", "{\"line\":1,\"utc");
        string[] before = [.. Directory.GetFiles(_folder.FullPath).Order(StringComparer.Ordinal)];
        string path = name.Length == 0 ? _folder.FullPath : _folder.Path(name);

        Problem? problem = JournalFile.Check(path);

        Assert.Equal(id, problem?.Id.ToString());
        Assert.Equal(before, Directory.GetFiles(_folder.FullPath).Order(StringComparer.Ordinal));
        Problem? thrown = Record.Exception(() => JournalFile.Open(path).Dispose()) is PoeOpsException exception ? exception.Problem : null;
        Assert.Equal(thrown, problem);
    }

    [Theory]
    [InlineData("/dev/full")]
    [InlineData("/dev/null")]
    [InlineData("/dev/zero")]
    [InlineData("link to /dev/full")]
    [InlineData("link to /dev/null")]
    [InlineData("link to /dev/zero")]
    [InlineData("pipe")]
    public void What_is_no_file_is_refused_at_once_and_leaves_no_lock(string what)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        string path = what[0] == '/' ? what : _folder.Path("night");
        if (what == "pipe")
        {
            using Process made = Process.Start("mkfifo", [path]);
            made.WaitForExit();
        }
        else if (path != what)
        {
            File.CreateSymbolicLink(path, what["link to ".Length..]);
        }

        Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(path)).Problem;
        Assert.Equal(ProblemId.JournalNotWritable, problem.Id);
        Assert.StartsWith($"The journal '{path}' cannot be written: {(what == "link to /dev/null" ? "Invalid argument" : "it is a device or a pipe, and a file was expected.")}", problem.Sentence, StringComparison.Ordinal);
        Assert.False(File.Exists(path + ".lock"));

        // An empty file and a link to what swallows everything look alike until something is done to them.
        Assert.Equal(what == "link to /dev/null" ? null : problem, JournalFile.Check(path));
    }

    [Fact]
    public void A_folder_that_is_not_there_is_told()
    {
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => JournalFile.Open(_folder.Path("none/night.jsonl")));
        Assert.Equal(ProblemId.JournalNotWritable, exception.Problem.Id);
    }

    [Fact]
    public void Two_runs_do_not_write_one_journal()
    {
        using JournalFile journal = JournalFile.Open(Path);
        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
    }

    [Fact]
    public void The_lock_of_a_journal_names_who_writes_it_and_goes_with_it()
    {
        using (JournalFile journal = JournalFile.Open(Path))
        {
            Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem;
            Assert.StartsWith($"The journal '{Path}' cannot be written: it is being written by {Environment.UserName} on {Environment.MachineName}, process ", problem.Sentence, StringComparison.Ordinal);
            journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        }

        Assert.Equal([Path], Directory.GetFiles(_folder.FullPath));
    }

    [Fact]
    public void A_journal_can_be_read_while_it_is_being_written()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        Assert.Equal(RunEntryKind.RunBegan, Assert.Single(reading.Entries).Kind);
    }

    [Fact]
    public void A_journal_that_was_taken_away_under_the_run_is_told_and_not_written_into_nothing()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        File.Delete(Path);
        PoeOpsException exception = Assert.Throws<PoeOpsException>(() => journal.Write(Entry(RunEntryKind.Begin, "north-1/2", 1)));
        Assert.Equal($"The journal '{Path}' cannot be written: The file is no longer there.", exception.Problem.Sentence);
    }

    [Fact]
    public void A_path_beneath_a_file_is_told_in_one_sentence()
    {
        string file = _folder.Write("plan.json", "{}");
        Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(System.IO.Path.Combine(file, "night.jsonl"))).Problem;
        Assert.Equal(ProblemId.JournalNotWritable, problem.Id);
        Assert.EndsWith("cannot be written: its folder does not exist.", problem.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("not a journal, and no line end")]
    [InlineData("{ \"plan\": 1 }")]
    [InlineData("one\ntwo\n")]
    [InlineData("one\ntwo")]
    public void A_file_that_is_no_journal_is_left_as_it_is(string text)
    {
        File.WriteAllText(Path, text);
        Assert.Equal(ProblemId.JournalUnreadable, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
        Assert.Equal(text, File.ReadAllText(Path));
        Assert.Equal([Path], Directory.GetFiles(_folder.FullPath));
    }

    [Theory]
    [InlineData("{")]
    [InlineData("{\"line\":1,\"utc\":\"2026-12-01T1")]
    public void The_beginning_of_a_first_line_is_set_aside_as_well(string torn)
    {
        File.WriteAllText(Path, torn);
        using (JournalFile journal = JournalFile.Open(Path))
        {
            Assert.Equal(Path + ".torn", journal.TornPath);
            journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        }

        Assert.True(JournalReplay.Read(Path).ChainHolds);
        Assert.Equal(torn + "\n", File.ReadAllText(Path + ".torn"));
    }

    [Fact]
    public void A_broken_journal_is_not_continued()
    {
        Forge(lines => lines.RemoveAt(1));
        byte[] before = File.ReadAllBytes(Path);
        Assert.Equal(ProblemId.JournalChainBroken, Assert.Throws<PoeOpsException>(() => JournalFile.Open(Path)).Problem.Id);
        Assert.Equal(before, File.ReadAllBytes(Path));
    }

    [Fact]
    public void A_changed_byte_is_found_wherever_it_is()
    {
        WriteThree();
        byte[] whole = File.ReadAllBytes(Path);
        for (int at = 0; at < whole.Length; at++)
        {
            byte[] changed = [.. whole];
            changed[at] ^= 0x80;
            File.WriteAllBytes(Path, changed);
            AssertFound(at);
            changed[at] = (byte)(whole[at] == (byte)'7' ? '8' : '7');
            File.WriteAllBytes(Path, changed);
            AssertFound(at);
        }
    }

    [Fact]
    public void A_byte_order_mark_or_other_line_ends_are_changes()
    {
        WriteThree();
        string text = File.ReadAllText(Path);
        File.WriteAllText(Path, text, new UTF8Encoding(encoderShouldEmitUTF8Identifier: true));
        Assert.Equal(1, Assert.Single(JournalReplay.Read(Path).Problems).Line);
        File.WriteAllText(Path, text.Replace("\n", "\r\n", StringComparison.Ordinal));
        Assert.Equal([1, 2, 3], JournalReplay.Read(Path).Problems.Select(problem => problem.Line!.Value));
    }

    [Fact]
    public void A_line_that_was_put_in_is_found_although_its_own_digest_is_right() =>
        Assert.Equal(["JournalChainBroken 3"], Forge(lines => lines.Insert(2, lines[1])));

    [Fact]
    public void A_forger_who_makes_the_lines_digest_anew_breaks_the_chain_at_the_next()
    {
        Assert.Equal(["JournalChainBroken 3"], Forge(lines =>
        {
            string body = lines[1][..lines[1].LastIndexOf(",\"sha256\"", StringComparison.Ordinal)].Replace("\"n\":1", "\"n\":7", StringComparison.Ordinal);
            lines[1] = $"{body},\"sha256\":\"{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(body)))}\"}}";
        }));
    }

    [Theory]
    [InlineData("")]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("{\"line\":2,\"utc\":{},\"kind\":[],\"unit\":1,\"facts\":{},\"previous\":{},\"sha256\":[]}")]
    [InlineData("{\"line\":2,\"utc\":\"2026-12-01T12:00:00Z\",\"kind\":\"77\",\"unit\":\"\",\"facts\":{},\"previous\":\"\",\"sha256\":\"\"}")]
    public void A_line_that_is_no_entry_is_told_and_the_others_are_read(string line)
    {
        Assert.Equal(["JournalUnreadable 2"], Forge(lines => lines[1] = line));
        Assert.Equal([1, 3], JournalReplay.Read(Path).Entries.Select(entry => entry.Line));
    }

    [Fact]
    public void A_large_file_that_is_no_journal_is_told_once()
    {
        File.WriteAllLines(Path, Enumerable.Repeat("pier 7 is quiet tonight", 100_000));
        Problem problem = Assert.Single(JournalReplay.Read(Path).Problems);
        Assert.Equal((ProblemId.JournalUnreadable, $"The file '{Path}' is no journal: no line at its start is an entry."), (problem.Id, problem.Sentence));
    }

    [Fact]
    public void A_journal_that_is_longer_than_any_other_file_may_be_is_read_to_its_end()
    {
        using (JournalFile journal = JournalFile.Open(Path))
        {
            for (int i = 0; i < 40; i++)
            {
                journal.Write(new RunEntry(RunEntryKind.Note, Noon, "", [new("text", new string('w', 500_000))]));
            }
        }

        Assert.True(new FileInfo(Path).Length > PoeOps.Files.TextFile.MostBytes);
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        Assert.Equal(40, reading.Entries.Count);
    }

    [Fact]
    public void Every_kind_of_value_and_any_text_comes_back()
    {
        string odd = "ü 灯 \ud83d\ude80 \u2028 \u0000 \u001b[31m \r\n \"quoted\" \\ ; =";
        using (JournalFile journal = JournalFile.Open(Path))
        {
            journal.Write(new RunEntry(RunEntryKind.Note, Noon.AddTicks(1), odd,
            [
                new("text", odd), new("list", new[] { "a", odd }), new("none", null), new("yes", true), new("whole", 60.0), new("part", 0.125),
                new("watts", 15.4m), new("utc", Noon), new("odd", double.NaN), new("lone", "\ud83d"),
            ]));
        }

        Assert.Equal(1, File.ReadAllBytes(Path).Count(octet => octet == (byte)'\n'));
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        JournalEntry entry = Assert.Single(reading.Entries);
        Assert.Equal((Noon.AddTicks(1), odd), (entry.Utc, entry.Unit));
        Assert.Equal(
            [odd, "a, " + odd, "", "true", "60", "0.125", "15.4", "2026-12-01T12:00:00Z", "NaN", "\ufffd"],
            entry.Facts.Values);
    }

    [Theory]
    [InlineData(null, ProblemId.FileNotFound)]
    [InlineData("", ProblemId.FileEmpty)]
    public void A_journal_that_is_not_there_or_empty_is_told(string? text, ProblemId id)
    {
        if (text is not null)
        {
            File.WriteAllText(Path, text);
        }

        Assert.Equal(id, Assert.Single(JournalReplay.Read(Path).Problems).Id);
        Assert.Equal(ProblemId.FileUnreadable, Assert.Single(JournalReplay.Read(_folder.FullPath).Problems).Id);
    }

    private static RunEntry Entry(RunEntryKind kind, string unit, int n) => new(kind, Noon, unit, [new("n", n)]);

    private void AssertFound(int at)
    {
        JournalReading reading = JournalReplay.Read(Path);
        Assert.False(reading.ChainHolds, $"A change of byte {at} was not found.");
        Assert.All(reading.Problems, problem => Assert.Contains(problem.Id, new[] { ProblemId.JournalChainBroken, ProblemId.JournalUnreadable, ProblemId.JournalTorn }));
    }

    private void WriteThree()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        journal.Write(Entry(RunEntryKind.Begin, "north-1/2", 1));
        journal.Write(Entry(RunEntryKind.End, "north-1/2", 2));
    }

    private string[] Forge(Action<List<string>> change)
    {
        WriteThree();
        List<string> lines = [.. File.ReadLines(Path)];
        change(lines);
        File.WriteAllText(Path, string.Join("\n", lines) + "\n");
        return [.. JournalReplay.Read(Path).Problems.Select(problem => $"{problem.Id} {problem.Line}")];
    }
}
