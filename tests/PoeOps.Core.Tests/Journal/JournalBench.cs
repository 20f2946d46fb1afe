using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Journal;

/// <summary>A journal in a folder of its own.</summary>
public abstract class JournalBench : IDisposable
{
    private protected static readonly DateTime Noon = new(2026, 12, 1, 12, 0, 0, DateTimeKind.Utc);
    private protected readonly ScratchFolder Folder = new();

    private protected string Path => Folder.Path("night.journal.jsonl");

    public void Dispose()
    {
        Folder.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected static RunEntry Entry(RunEntryKind kind, string unit, int n) => new(kind, Noon, unit, [new("n", n)]);

    private protected void WriteThree()
    {
        using JournalFile journal = JournalFile.Open(Path);
        journal.Write(Entry(RunEntryKind.RunBegan, "", 0));
        journal.Write(Entry(RunEntryKind.Begin, "north-1/2", 1));
        journal.Write(Entry(RunEntryKind.End, "north-1/2", 2));
    }

    private protected string[] Forge(Action<List<string>> change)
    {
        WriteThree();
        List<string> lines = [.. File.ReadLines(Path)];
        change(lines);
        File.WriteAllText(Path, string.Join("\n", lines) + "\n");
        return [.. JournalReplay.Read(Path).Problems.Select(problem => $"{problem.Id} {problem.Line}")];
    }
}
