namespace PoeOps.Refresh;

/// <summary>How often a device is asked that could not be asked before.</summary>
internal static class Asking
{
    // Many a device locks a user out that it refused too often, and then nobody can look at the unit.
    private static readonly TimeSpan AfterRefusal = TimeSpan.FromSeconds(60);

    /// <summary>How long to wait before the next attempt.</summary>
    /// <param name="trouble">Why the last one failed; null where it did not.</param>
    /// <param name="usual">The usual wait.</param>
    public static TimeSpan PauseAfter(Problem? trouble, TimeSpan usual) => trouble?.Id == ProblemId.LogInRefused ? AfterRefusal : usual;
}
