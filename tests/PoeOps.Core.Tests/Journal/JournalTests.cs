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

    private static RunEntry Entry(RunEntryKind kind, string unit, int n) => new(kind, Noon, unit, [new("n", n)]);

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
