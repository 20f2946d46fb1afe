using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A night whose run broke off, and the run that goes on with it.</summary>
public abstract class ResumeBench : IDisposable
{
    private protected OneNight Night { get; } = new();

    public void Dispose()
    {
        Night.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected int Starts => Night.Link.Calls.Count(call => call.StartsWith("Start", StringComparison.Ordinal));

    // Every command that comes loads the unit that it names.
    private protected void Loads() => Night.Link.OnStart = order =>
    {
        Night.Fetch(order);
        Night.Link.Say(LinkEventKind.Succeeded, "all done", before: () => Night.Link.Units = [.. Night.Link.Units.Select(unit => unit.Unit == order.Unit ? unit with { Firmware = "3.0" } : unit)]);
    };

    // A run goes well to its end, and its journal is cut behind an entry, as a crash leaves it.
    private protected void BreakOff(string after)
    {
        Night.GoesWell();
        Night.Run();
        Night.Link.Calls.Clear();
        string[] texts = [.. JournalReplay.Read(Night.JournalPath).Entries.Select(entry => $"{entry.Kind} {entry.Text}")];
        int at = Array.FindIndex(texts, text => text.StartsWith(after, StringComparison.Ordinal));
        Assert.True(at > 0);
        File.WriteAllLines(Night.JournalPath, File.ReadAllLines(Night.JournalPath)[..(at + 1)]);
        Night.Link.Units = [Sample.Unit()];
    }

    private protected RunPast Past() => JournalResume.Past(JournalReplay.Read(Night.JournalPath), "f00d");

    private protected List<UnitResult> Resume(out RefreshRun run)
    {
        using JournalFile journal = JournalFile.Open(Night.JournalPath);
        run = new RefreshRun(Night.Options(journal) with { Past = Past() });
        return All(run);
    }

    private protected static List<UnitResult> All(RefreshRun run)
    {
        List<UnitResult> results = [];
        while (run.Next() is { } result)
        {
            results.Add(result);
        }

        return results;
    }

    // What the journal says from the last entry of a kind on.
    private protected string Last(string kind)
    {
        string[] lines = [.. Night.Journal().Split('\n').Select(line => line.TrimStart().Split(' ', 2)[1])];
        return string.Join("\n", lines[Array.FindLastIndex(lines, line => line.StartsWith(kind, StringComparison.Ordinal))..]);
    }
}
