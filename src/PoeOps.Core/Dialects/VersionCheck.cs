using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Finds the versions of a reading that no spelling reads. Each text is told once, however many units have it.</summary>
internal sealed class VersionCheck
{
    private readonly Dialect _dialect;
    private readonly CaptureLine? _releaseLine;
    private readonly UnitProblems _told;

    /// <summary>Checks by the spellings of a dialect.</summary>
    /// <param name="dialect">The dialect.</param>
    /// <param name="records">Everything that was read.</param>
    /// <param name="told">Where problems are added.</param>
    public VersionCheck(Dialect dialect, IReadOnlyList<ReadRecord> records, UnitProblems told)
    {
        _dialect = dialect;
        _told = told;
        _releaseLine = records.FirstOrDefault(record => record.Kind == RecordKind.Switch)?.LineOf("Release");
    }

    /// <summary>Adds a problem for each text.</summary>
    public void Check(IReadOnlyList<UnitRead> units)
    {
        Check(_dialect.Firmware, "Firmware", units, unit => unit.Controller.Firmware);
        Check(_dialect.Release, "Release", units, unit => unit.Controller.Release);
    }

    private void Check(VersionRule rule, string property, IReadOnlyList<UnitRead> units, Func<UnitRead, string?> text)
    {
        foreach (IGrouping<string, UnitRead> same in units.Where(unit => text(unit) is not null).GroupBy(unit => text(unit)!, StringComparer.Ordinal))
        {
            if (rule.Read(same.Key, out Regex? slow) is null)
            {
                Tell(property, same.Key, slow, [.. same]);
            }
        }
    }

    private void Tell(string property, string text, Regex? slow, UnitRead[] units)
    {
        CaptureLine line = units[0].Record?.LineOf(property) ?? _releaseLine ?? units[0].Begun;
        string what = $"{property.ToLowerInvariant()} '{Excerpt.Of(text)}' of {UnitProblems.Named(units)}";
        Problem problem = slow is null
            ? new Problem(ProblemId.VersionUnreadable, $"The {what} is no version in any spelling of the dialect '{_dialect.Name}'.", "Add its spelling under 'versions' of the dialect.")
            : new Problem(ProblemId.PatternTooSlow, $"A spelling of versions did not come to an end on the {what}: the pattern is '{Excerpt.Of(slow.ToString())}'.", "Write the pattern so that no part can match the same text in many ways.");
        _told.Add(problem with { File = line.Source, Line = line.Number, Text = Excerpt.Of(line.Text) }, units);
    }
}
