using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Finds the versions of a reading that no spelling reads. Each text is told once, however many units have it.</summary>
internal sealed class VersionCheck
{
    private readonly Dialect _dialect;
    private readonly CaptureLine? _releaseLine;
    private readonly List<string> _beside = [];

    /// <summary>Checks by the spellings of a dialect.</summary>
    /// <param name="dialect">The dialect.</param>
    /// <param name="records">Everything that was read.</param>
    public VersionCheck(Dialect dialect, IReadOnlyList<ReadRecord> records)
    {
        _dialect = dialect;
        _releaseLine = records.FirstOrDefault(record => record.Kind == RecordKind.Switch)?.LineOf("Release");
    }

    /// <summary>Adds a problem for each text.</summary>
    public void Check(IReadOnlyList<UnitRead> units, List<Problem> problems)
    {
        Check(_dialect.Firmware, "Firmware", units, unit => unit.Controller.Firmware, problems);
        Check(_dialect.Release, "Release", units, unit => unit.Controller.Release, problems);
    }

    /// <summary>How many of the problems are about a unit that they do not name as their own.</summary>
    public int CountBeside(string unit) => _beside.Count(one => one == unit);

    private void Check(VersionRule rule, string property, IReadOnlyList<UnitRead> units, Func<UnitRead, string?> text, List<Problem> problems)
    {
        foreach (IGrouping<string, UnitRead> same in units.Where(unit => text(unit) is not null).GroupBy(unit => text(unit)!, StringComparer.Ordinal))
        {
            if (rule.Read(same.Key, out Regex? slow) is null)
            {
                problems.Add(Told(property, same.Key, slow, [.. same], units.Count));
            }
        }
    }

    // One problem names one unit or, where all have the text, none; in between the others are counted beside it.
    private Problem Told(string property, string text, Regex? slow, UnitRead[] units, int all)
    {
        CaptureLine line = units[0].Record?.LineOf(property) ?? _releaseLine ?? units[0].Begun;
        string whose = units.Length == 1 ? $"unit {units[0].Name}" : $"units {string.Join(", ", units.Select(unit => unit.Name))}";
        string what = $"{property.ToLowerInvariant()} '{Excerpt.Of(text)}' of {whose}";
        bool everywhere = units.Length == all && all > 1;
        if (!everywhere)
        {
            _beside.AddRange(units.Skip(1).Select(unit => unit.Name));
        }

        Problem problem = slow is null
            ? new Problem(ProblemId.VersionUnreadable, $"The {what} is no version in any spelling of the dialect '{_dialect.Name}'.", "Add its spelling under 'versions' of the dialect.")
            : new Problem(ProblemId.PatternTooSlow, $"A spelling of versions did not come to an end on the {what}: the pattern is '{Excerpt.Of(slow.ToString())}'.", "Write the pattern so that no part can match the same text in many ways.");
        return problem with { File = line.Source, Line = line.Number, Text = Excerpt.Of(line.Text), Target = everywhere ? null : units[0].Name };
    }
}
