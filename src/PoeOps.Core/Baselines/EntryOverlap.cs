using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Finds entries that say two things of one controller.</summary>
internal static class EntryOverlap
{
    private const string Advice = "Let the releases of one entry end where those of the other begin ('before' is not included).";

    /// <summary>Reports overlaps and empty ranges, as far as the order of the releases is plain.</summary>
    public static void Report(IReadOnlyList<JsonObjectReader> readers, IReadOnlyList<BaselineEntry> entries)
    {
        for (int i = 0; i < entries.Count; i++)
        {
            BaselineEntry entry = entries[i];
            if (!IsBelow(entry.ReleaseFrom, entry.ReleaseBefore))
            {
                readers[i].Report(
                    ProblemId.JsonBadValue, "releases", $"No release is from {entry.ReleaseFrom} and before {entry.ReleaseBefore}.", "Let 'before' be newer than 'from'.");
            }

            if (entries.Take(i).FirstOrDefault(other => Overlap(entry, other)) is { } first)
            {
                string line = first.Line.ToString(CultureInfo.InvariantCulture);
                readers[i].Report(
                    ProblemId.BaselineEntriesOverlap, "model",
                    $"The entry for model '{Excerpt.Of(entry.Model)}', {Releases(entry)}, overlaps the one in line {line}, {Releases(first)}.", Advice);
            }
        }
    }

    /// <summary>The releases of an entry, in words.</summary>
    public static string Releases(BaselineEntry entry) => (entry.ReleaseFrom, entry.ReleaseBefore) switch
    {
        (null, null) => "all releases",
        ({ } from, null) => $"releases from {from}",
        (null, { } before) => $"releases before {before}",
        ({ } from, { } before) => $"releases from {from} before {before}",
    };

    private static bool Overlap(BaselineEntry left, BaselineEntry right) =>
        left.Model.Length > 0 && string.Equals(left.Model, right.Model, StringComparison.OrdinalIgnoreCase)
        && IsKnown(left) && IsKnown(right)
        && IsBelow(left.ReleaseFrom, right.ReleaseBefore) && IsBelow(right.ReleaseFrom, left.ReleaseBefore);

    private static bool IsKnown(BaselineEntry entry) => new[] { entry.ReleaseFrom, entry.ReleaseBefore }.All(bound => bound is null || PlainVersion.Read(bound) is not null);

    // A bound that is missing lies beyond every release; one whose order is not plain is not judged here.
    private static bool IsBelow(string? from, string? before) =>
        from is null || before is null || PlainVersion.Read(from) is not { } low || PlainVersion.Read(before) is not { } high || low < high;
}
