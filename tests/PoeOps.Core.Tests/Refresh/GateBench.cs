using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A night in which something stands in the way of a unit.</summary>
public abstract class GateBench : IDisposable
{
    private static readonly string[] Asking = ["Busy?", "Read", "Reopen", "Dispose"];

    private protected OneNight Night { get; } = new();

    public void Dispose()
    {
        Night.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected UnitResult Refused(StageOutcome outcome, ProblemId id, string? reason)
    {
        UnitResult result = Assert.Single(Night.Run());
        Assert.Equal((outcome, id), (result.Outcome, result.ProblemId));
        Assert.Equal(reason ?? result.Reason, result.Reason);
        Assert.All(Night.Link.Calls, call => Assert.Contains(call, Asking));
        Assert.Equal("RunBegan Passed RunEnded", Night.Kinds());
        Assert.Equal([], Listing().Where(line => line.EndsWith(".lock", StringComparison.Ordinal)));
        return result;
    }

    private protected List<string> Listing() =>
        [.. new DirectoryInfo(Night.Folder).EnumerateFileSystemInfos("*", SearchOption.AllDirectories).Select(file => $"{file.LastWriteTimeUtc:O} {file.FullName}").Order(StringComparer.Ordinal)];
}
