using PoeOps.Files;

namespace PoeOps.Refresh;

/// <summary>The gates that may be skipped by name, and those that never are.</summary>
public static class GateNames
{
    /// <summary>
    /// The gates that somebody may skip, each time in the journal. Never the image's digest, the fresh reading, the lock that keeps a switch to one run, or
    /// the journal itself.
    /// </summary>
    public static IReadOnlyList<string> Skippable { get; } = ["Window", "Coverage", "Disk", "Busy", "Healthy", "Budget", "LifeSafety", "Pilot"];

    /// <summary>Checks names of gates to skip.</summary>
    /// <param name="names">The names, without regard to case.</param>
    /// <returns>The problem that one is none that may be skipped (<see cref="ProblemId.GateNotSkippable"/>); or null.</returns>
    public static Problem? Check(IEnumerable<string> names) =>
        names.FirstOrDefault(name => !Skippable.Contains(name, StringComparer.OrdinalIgnoreCase)) is { } wrong
            ? new Problem(
                ProblemId.GateNotSkippable, $"'{Excerpt.Of(wrong)}' is no gate that may be skipped{Nearest.Hint(wrong, Skippable)}.",
                $"Those that may be are {string.Join(", ", Skippable)}; digest, fresh reading, lock and journal never are.")
            : null;
}
