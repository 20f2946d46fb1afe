using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>The named groups of patterns, worked out once a pattern: a row asks for them on every line.</summary>
internal static class GroupNames
{
    private static readonly ConditionalWeakTable<Regex, NamedGroup[]> Known = new();

    /// <summary>The groups of a pattern that have names, in order.</summary>
    public static IEnumerable<string> Of(Regex pattern) => In(pattern).Select(group => group.Name);

    /// <summary>The same with their numbers, by which a match gives them soonest.</summary>
    public static NamedGroup[] In(Regex pattern) =>
        Known.GetValue(pattern, one => [.. one.GetGroupNames().Where(name => !char.IsDigit(name[0])).Select(name => new NamedGroup(name, one.GroupNumberFromName(name)))]);
}

/// <summary>A group of a pattern.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Number">Its number.</param>
internal readonly record struct NamedGroup(string Name, int Number);
