namespace PoeOps.Planning;

/// <summary>
/// Watches the file of a plan that is being run. The plan that was approved is the one that runs; where somebody changes or takes away its file meanwhile,
/// nothing more of it is begun, for it may be just what they no longer want.
/// </summary>
public sealed class PlanWatch
{
    private readonly string _path;
    private readonly string? _digest;

    /// <summary>Remembers the file as it is.</summary>
    /// <param name="path">The plan's file.</param>
    public PlanWatch(string path)
    {
        _path = path;
        _digest = PlanDigest.OfFile(path);
    }

    /// <summary>What became of the file, in a few words that go on from <c>because</c>; null where it is as it was.</summary>
    public string? Changed
    {
        get
        {
            string? now = PlanDigest.OfFile(_path);
            return now == _digest ? null : $"the plan '{_path}' {(now is null ? "cannot be read any more" : "was changed under the run")}";
        }
    }
}
