using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using Newtonsoft.Json.Linq;
using PoeOps.Core.Tests.Files;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>What a journal shows when it is read back, and what it proves.</summary>
public sealed class JournalTests : JournalBench
{
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

        // What nobody sees is an escape of JSON in the file, and shown as one.
        const string Shown = "ü 灯 \ud83d\ude80 \\u2028 \\u0000 \\u001b[31m \\r\\n \"quoted\" \\ ; =";
        string line = File.ReadAllText(Path).TrimEnd('\n');
        Assert.Equal(PlainText.Of(line), line);
        Assert.Equal(odd, (string?)JObject.Parse(line)["facts"]!["text"]);
        JournalReading reading = JournalReplay.Read(Path);
        Assert.True(reading.ChainHolds);
        JournalEntry entry = Assert.Single(reading.Entries);
        Assert.Equal((Noon.AddTicks(1), Shown), (entry.Utc, entry.Unit));
        Assert.Equal(
            [Shown, "a, " + Shown, "", "true", "60", "0.125", "15.4", "2026-12-01T12:00:00Z", "NaN", "\ufffd"],
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
        Assert.Equal(ProblemId.FileUnreadable, Assert.Single(JournalReplay.Read(Folder.FullPath).Problems).Id);
    }

    private void AssertFound(int at)
    {
        JournalReading reading = JournalReplay.Read(Path);
        Assert.False(reading.ChainHolds, $"A change of byte {at} was not found.");
        Assert.All(reading.Problems, problem => Assert.Contains(problem.Id, new[] { ProblemId.JournalChainBroken, ProblemId.JournalUnreadable, ProblemId.JournalTorn }));
    }
}
