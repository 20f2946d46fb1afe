using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Journal;

/// <summary>The names that stand in a journal, to be offered while somebody writes a line.</summary>
public static class JournalNames
{
    /// <summary>The switches and units of a journal; none where it cannot be read.</summary>
    /// <param name="path">The file.</param>
    public static EstateNames Read(string path)
    {
        List<UnitId> units = [.. Lines(path).Select(line => JournalLine.Read(line, 1, out _)?.Unit ?? string.Empty).Distinct().SelectMany(Ids).Distinct()];
        return new EstateNames
        {
            Switches = EstateNames.Once(units.Select(unit => unit.Switch)),
            Units = EstateNames.Once(units.Select(unit => unit.ToString())),
        };
    }

    private static IEnumerable<string> Lines(string path) => TextFile.Read(path).Text?.Split('\n').Where(line => line.Length > 0) ?? [];

    private static IEnumerable<UnitId> Ids(string text) => UnitId.TryParse(text, out UnitId id) ? [id] : [];
}
