namespace PoeOps.Outages;

/// <summary>
/// One row of a list of ports as somebody typed or exported it: the text of each column, null where the list has no such column. What is true of a unit
/// may stand in each of its rows, or in one of them.
/// </summary>
public sealed record PortRow
{
    /// <summary>The row's number; the first is 1.</summary>
    public int Number { get; init; }

    /// <summary>The texts by column, without regard to case.</summary>
    public IReadOnlyDictionary<string, string?> Columns { get; init; } = new Dictionary<string, string?>(StringComparer.OrdinalIgnoreCase);

    /// <summary>Columns of the list that mean nothing here.</summary>
    public IReadOnlyList<string> Others { get; init; } = [];

    /// <summary>Every column that is read. <c>Name</c> stands for <c>Port</c>, as in the rows of <c>Get-PsePort</c>.</summary>
    public static IReadOnlyList<string> Known { get; } =
    [
        "Site", "Switch", "Unit", "Port", "Status", "Delivering", "AdminEnabled", "PdClass", "PdClassA", "PdClassB", "Priority", "AllocatedWatts", "AllocatedPdWatts", "AllocatedBy", "DrawWatts",
        "LimitWatts", "Load", "Role", "LifeSafety", "RestartSeconds", "NegotiateSeconds", "Model", "Serial", "Release", "Firmware", "Dialect", "BudgetWatts", "GuardBandWatts", "PseType", "RestartPolicy",
        "StaggerSeconds", "Demotes",
    ];

    /// <summary>The columns without which nobody can say what would be loaded.</summary>
    public static IReadOnlyList<string> OfBaseline { get; } = ["Model", "Release", "Firmware"];

    /// <summary>The columns without which a row belongs to nothing.</summary>
    public static IReadOnlyList<string> Keys { get; } = ["Switch", "Unit", "Port"];

    /// <summary>The columns without which something cannot be said, each with what that is.</summary>
    public static IReadOnlyList<KeyValuePair<string, string>> Wanted { get; } =
    [
        new("Status", "every port counts as powered"),
        new("PdClass", "every port counts as class 0"),
        new("Priority", "every port counts as low"),
        new("DrawWatts", "the energy that is not delivered is not known"),
        new("LifeSafety", "whether somebody can come to harm is not known"),
        new("RestartSeconds", "when a load serves again is not known"),
        new("BudgetWatts", "whether the loads come back is not known"),
    ];

    /// <summary>The text of a column; null where there is no such column or nothing stands there.</summary>
    /// <param name="column">The column.</param>
    public string? this[string column] => Columns.TryGetValue(column, out string? text) && !string.IsNullOrWhiteSpace(text) ? text!.Trim() : null;
}
