namespace PoeOps.Dialects;

/// <summary>
/// Adds problems that may be about several units of a reading. What has one cause is told once: a problem names one unit, or none where it is about
/// all of them; in between, the units that it does not name are counted beside it.
/// </summary>
internal sealed class UnitProblems
{
    private readonly List<Problem> _problems;
    private readonly IReadOnlyList<UnitRead> _all;
    private readonly List<string> _beside = [];

    /// <summary>Adds to the problems of a reading.</summary>
    /// <param name="problems">Those that it has so far.</param>
    /// <param name="all">Its units.</param>
    public UnitProblems(List<Problem> problems, IReadOnlyList<UnitRead> all)
    {
        _problems = problems;
        _all = all;
    }

    /// <summary>Adds a problem about some units.</summary>
    public void Add(Problem problem, IReadOnlyList<UnitRead> units)
    {
        bool everywhere = units.Count == _all.Count && units.Count > 1;
        _problems.Add(problem with { Target = everywhere ? null : units[0].Name });
        if (!everywhere)
        {
            _beside.AddRange(units.Skip(1).Select(unit => unit.Name));
        }
    }

    /// <summary>Counts units for a problem that has been told, where it is not about them already.</summary>
    /// <param name="told">The problems that have been told.</param>
    /// <param name="units">The units.</param>
    public void CountFor(IReadOnlyList<Problem> told, IReadOnlyList<UnitRead> units) =>
        _beside.AddRange(units.Select(unit => unit.Name).Where(name => !_beside.Contains(name) && !told.Any(problem => IsAbout(problem, name))));

    /// <summary>How many problems the reading of a unit has.</summary>
    public int Count(string unit) => _problems.Count(problem => IsAbout(problem, unit)) + _beside.Count(one => one == unit);

    /// <summary>The units' names in a sentence.</summary>
    public static string Named(IReadOnlyList<UnitRead> units) =>
        units.Count == 1 ? $"unit {units[0].Name}" : $"units {string.Join(", ", units.Select(unit => unit.Name))}";

    // A problem that names no unit, or one that did not come out, may be about any of them: what was misread may be the unit.
    private bool IsAbout(Problem problem, string unit) =>
        problem.Target is not { } target || string.Equals(target, unit, StringComparison.OrdinalIgnoreCase)
        || !_all.Any(one => string.Equals(one.Name, target, StringComparison.OrdinalIgnoreCase));
}
