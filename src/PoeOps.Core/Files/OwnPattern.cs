namespace PoeOps.Files;

/// <summary>Patterns that are written in this code, not in a file of a user.</summary>
internal static class OwnPattern
{
    /// <summary>
    /// How long one may take. None comes near it; a machine that is held up must not make one fail, and a mistake in one must not hang.
    /// </summary>
    public static readonly TimeSpan Longest = TimeSpan.FromSeconds(30);
}
