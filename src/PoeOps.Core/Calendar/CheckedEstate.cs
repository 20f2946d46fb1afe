using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>
/// Reads estates and lists of switches as <see cref="EstateFile"/> does, and asks of what stands in them whether it is there: a time zone that nobody knows
/// is told with its place, together with all other mistakes.
/// </summary>
public static class CheckedEstate
{
    /// <summary>Reads an estate.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <returns>The estate, or every mistake that the file has, <see cref="ProblemId.ZoneUnknown"/> among them.</returns>
    public static EstateResult Read(string path) => EstateFile.Read(path, new EstateChecks { Zone = Zones.Check });

    /// <summary>Reads a list of switches; see <see cref="EstateFile.ReadCsv(string, double)"/>.</summary>
    /// <param name="path">The CSV file; problems name it as it is given here.</param>
    /// <param name="defaultRestartSeconds">Seconds from power to serving again of every load.</param>
    /// <param name="dialects">Files with dialects, and folders that hold some; null where dialects are not asked about.</param>
    /// <returns>An estate without windows, or every mistake that the file has, <see cref="ProblemId.ZoneUnknown"/> and <see cref="ProblemId.DialectUnknown"/> among them.</returns>
    public static EstateResult ReadCsv(string path, double defaultRestartSeconds, IEnumerable<string>? dialects = null)
    {
        DialectShelf? shelf = dialects is null ? null : new DialectShelf(dialects);
        return EstateFile.ReadCsv(path, defaultRestartSeconds, new EstateChecks { Zone = Zones.Check, Dialect = shelf is null ? null : name => Unknown(shelf.Find(name)) });
    }

    // A dialect that is there and has mistakes is told by whoever reads with it.
    private static Problem? Unknown(DialectResult found) => found.Problems.FirstOrDefault(problem => problem.Id == ProblemId.DialectUnknown);
}
