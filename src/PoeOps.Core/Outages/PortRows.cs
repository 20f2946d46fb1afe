using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>
/// Makes controllers out of a list of ports, as a CSV file gives it. A unit of which a row cannot be read is left out whole: without the row its restart
/// would be that of another unit.
/// </summary>
public static class PortRows
{
    private const string PutOnce = "Let all rows of a unit say the same, or leave the field empty in all but one.";

    /// <summary>Says which columns the list lacks.</summary>
    /// <param name="rows">The rows.</param>
    /// <param name="withBaseline">True where they are held against a baseline.</param>
    /// <returns>A sentence; null where it lacks none that is wanted.</returns>
    public static string? Lacks(IReadOnlyList<PortRow> rows, bool withBaseline = false)
    {
        IEnumerable<KeyValuePair<string, string>> wanted = withBaseline
            ? PortRow.Wanted.Concat(PortRow.OfBaseline.Select(column => new KeyValuePair<string, string>(column, "what would be loaded, and for how long, is not known")))
            : PortRow.Wanted;
        KeyValuePair<string, string>[] lacking = [.. wanted.Where(column => !rows.Any(row => row[column.Key] is not null || (column.Key == "Status" && row["Delivering"] is not null)))];
        return lacking.Length == 0 || rows.Count == 0 ? null
            : $"The list of ports lacks {string.Join(", ", lacking.Select(column => $"{column.Key} ({column.Value})"))}.";
    }

    /// <summary>Says which columns of the list may be misspelled: they mean nothing, and are near to one that the list does not have.</summary>
    /// <param name="rows">The rows.</param>
    /// <returns>A sentence; null where there is none.</returns>
    public static string? Misspelled(IReadOnlyList<PortRow> rows)
    {
        string[] absent = [.. PortRow.Known.Where(known => !rows.Any(row => row.Columns.ContainsKey(known)))];
        string[] told = [.. rows.SelectMany(row => row.Others).Distinct(StringComparer.OrdinalIgnoreCase)
            .Select(other => (Other: other, Near: Nearest.Close(other, absent))).Where(one => one.Near is not null).Select(one => $"'{Excerpt.Of(one.Other)}' (is '{one.Near}' meant?)")];
        return told.Length == 0 ? null : $"The list of ports has columns that are not read: {string.Join(", ", told)}.";
    }

    /// <summary>Says of which units the list gives no budget, where it gives one of others.</summary>
    /// <param name="controllers">The units.</param>
    /// <returns>A sentence; null where there are none, or no unit has one.</returns>
    public static string? WithoutBudget(IReadOnlyList<Controller> controllers)
    {
        Controller[] without = [.. controllers.Where(one => one.BudgetWatts is null)];
        return without.Length == 0 || without.Length == controllers.Count ? null
            : $"The list of ports gives no BudgetWatts of {string.Join(", ", without.Select(one => one.UnitId.ToString()))}, so whether their loads come back is not known.";
    }

    /// <summary>Reads a list of ports.</summary>
    /// <param name="rows">The rows in order.</param>
    /// <returns>The controllers in natural order, and what is wrong; nothing throws.</returns>
    public static (IReadOnlyList<Controller> Controllers, IReadOnlyList<Problem> Problems) Read(IReadOnlyList<PortRow> rows)
    {
        List<Problem> problems = [];
        string[] missing = [.. PortRow.Keys.Where(key => !rows.Any(row => row.Columns.ContainsKey(key)))];
        if (missing.Length > 0 && rows.Count > 0)
        {
            problems.Add(new Problem(
                ProblemId.PortRowUnreadable, $"The list of ports lacks the {(missing.Length == 1 ? "column" : "columns")} {string.Join(", ", missing)}, without which no row belongs to a port.",
                Advice(rows[0])));
            return ([], problems);
        }

        List<Controller> controllers = [];
        foreach (IGrouping<string, PortRow> unit in rows.Where(row => HasKeys(row, problems)).GroupBy(row => $"{row["Switch"]}/{row["Unit"]}", StringComparer.OrdinalIgnoreCase))
        {
            List<Problem> ofUnit = [];
            Controller? controller = Unit([.. unit], ofUnit);
            problems.AddRange(ofUnit);
            if (controller is not null)
            {
                controllers.Add(controller);
            }
        }

        return ([.. controllers.OrderBy(controller => controller.UnitId)], problems);
    }

    private static string Advice(PortRow row) => row.Others.Count == 1 && row.Others[0].IndexOfAny([';', '\t']) is >= 0 and int at
        ? $"Its one column is '{Excerpt.Of(row.Others[0])}': read the file with -Delimiter '{(row.Others[0][at] == ';' ? ";" : "`t")}'."
        : $"Name the columns {string.Join(", ", PortRow.Keys)} in its first line; drifts and controllers that went through a file must be read and compared anew.";

    private static bool HasKeys(PortRow row, List<Problem> problems)
    {
        string[] empty = [.. PortRow.Keys.Where(key => row[key] is null)];
        var reader = new PortRowReader(row, problems);
        if (empty.Length > 0)
        {
            reader.Report(ProblemId.PortRowUnreadable, null, $"Nothing stands under {string.Join(", ", empty)}, so the row belongs to no port.", "Fill the row, or take it out.");
        }
        else if (!UnitId.TryParse($"{row["Switch"]}/{row["Unit"]}", out _))
        {
            reader.Report(ProblemId.UnitIdUnreadable, null, $"'{Excerpt.Of($"{row["Switch"]}/{row["Unit"]}")}' is no unit of a switch.", "Names have no slash and no control character.");
        }
        else
        {
            return true;
        }

        return false;
    }

    private static Controller? Unit(PortRow[] rows, List<Problem> problems)
    {
        (PortRowReader Reader, Port Port)[] read = [.. rows.Select(row => new PortRowReader(row, problems)).Select(reader => (reader, reader.Port()))];
        foreach (IGrouping<string, (PortRowReader Reader, Port Port)> same in read.GroupBy(one => one.Port.Name, StringComparer.OrdinalIgnoreCase).Where(group => group.Count() > 1))
        {
            same.Last().Reader.Report(ProblemId.NameTwice, "Port", $"The port stands twice; the first is {same.First().Reader.Name.ToLowerInvariant()}.", "Let each port stand in one row.");
        }

        PortRowReader[] readers = [.. read.Select(one => one.Reader)];
        var controller = new Controller
        {
            Site = read[0].Port.Site,
            Switch = read[0].Port.Switch,
            Unit = read[0].Port.Unit,
            Model = One(readers, "Model", reader => reader.Text("Model")),
            Serial = One(readers, "Serial", reader => reader.Text("Serial")),
            Release = One(readers, "Release", reader => reader.Text("Release")),
            Firmware = One(readers, "Firmware", reader => reader.Text("Firmware")),
            Dialect = One(readers, "Dialect", reader => reader.Text("Dialect")) ?? string.Empty,
            Condition = ControllerCondition.Healthy,
            BudgetWatts = One(readers, "BudgetWatts", reader => reader.Watts("BudgetWatts")),
            GuardBandWatts = One(readers, "GuardBandWatts", reader => reader.Watts("GuardBandWatts")),
            PseType = (PseType)(One(readers, "PseType", reader => Type(reader)) ?? 0),
            RestartPolicy = One(readers, "RestartPolicy", reader => reader.Word<RestartPolicy>("RestartPolicy")) ?? RestartPolicy.ByClass,
            StaggerSeconds = (decimal)(One(readers, "StaggerSeconds", reader => reader.Seconds("StaggerSeconds")) ?? 1),
            Demotes = One(readers, "Demotes", reader => reader.Flag("Demotes")) ?? false,
            Source = "list of ports",
            Ports = [.. read.Select(one => one.Port).OrderBy(port => port.Name, NaturalOrder.Instance)],
        };
        if (problems.Count == 0)
        {
            return controller;
        }

        string count = problems.Count == 1 ? "a problem" : problems.Count.ToString(CultureInfo.InvariantCulture) + " problems";
        problems.Add(new Problem(ProblemId.ReadingNotClean, $"{controller.UnitId} is not measured: its rows have {count}.", "Correct the rows that are named.") { Target = controller.UnitId.ToString() });
        return null;
    }

    private static int? Type(PortRowReader reader) => reader.Text("PseType") is { } text && Enum.GetNames(typeof(PseType)).FirstOrDefault(name => string.Equals(name, text, StringComparison.OrdinalIgnoreCase)) is { } name
        ? (int)(PseType)Enum.Parse(typeof(PseType), name)
        : reader.Digit("PseType", 1, 4, ProblemId.PortRowUnreadable);

    private static T? One<T>(PortRowReader[] readers, string column, Func<PortRowReader, T?> read)
    {
        T? first = default;
        bool found = false;
        foreach (PortRowReader reader in readers)
        {
            if (reader.Text(column) is null || read(reader) is not { } value)
            {
                continue;
            }

            if (found && !EqualityComparer<T>.Default.Equals(first!, value))
            {
                reader.Report(ProblemId.ReadingsDisagree, column, $"'{Excerpt.Of(reader.Text(column))}' is another value than in a row of the same unit before.", PutOnce);
                return first;
            }

            (first, found) = (value, true);
        }

        return first;
    }
}
