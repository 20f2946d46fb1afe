using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>The named groups of patterns, worked out once a pattern: a row asks for them on every line.</summary>
internal static class GroupNames
{
    private static readonly ConditionalWeakTable<Regex, string[]> Known = new();

    /// <summary>The groups of a pattern that have names, in order.</summary>
    public static string[] Of(Regex pattern) =>
        Known.GetValue(pattern, one => [.. one.GetGroupNames().Where(name => !char.IsDigit(name[0]))]);
}
