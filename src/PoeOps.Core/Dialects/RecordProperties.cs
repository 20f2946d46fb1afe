namespace PoeOps.Dialects;

/// <summary>The properties that a named group may fill, per kind of record. They are the properties of the objects that come out.</summary>
internal static class RecordProperties
{
    private static readonly string[] OfSwitch = ["Host", "Release"];

    private static readonly string[] OfController =
        ["Unit", "Model", "Serial", "Firmware", "Release", "Condition", "BudgetWatts", "GuardBandWatts", "AllocatedWatts", "DrawWatts", "PseType"];

    private static readonly string[] OfPort =
    [
        "Unit", "Port", "PortName", "AdminEnabled", "Status", "PdClass", "Priority", "AllocatedWatts", "DrawWatts", "LimitWatts", "Description",
        "Neighbour", "PdClassA", "PdClassB", "AllocatedPdWatts", "AllocatedBy",
    ];

    private static readonly string[] KeyOfController = ["Unit"];
    private static readonly string[] KeyOfPort = ["Unit", "Port"];

    /// <summary>All properties of a kind.</summary>
    public static IReadOnlyList<string> Of(RecordKind kind) => kind switch
    {
        RecordKind.Switch => OfSwitch,
        RecordKind.Controller => OfController,
        _ => OfPort,
    };

    /// <summary>The properties of all kinds.</summary>
    public static IReadOnlyList<string> All { get; } = [.. OfSwitch.Concat(OfController).Concat(OfPort).Distinct(StringComparer.Ordinal)];

    /// <summary>True for amounts of power.</summary>
    public static bool IsWatts(string property) => property is "BudgetWatts" or "GuardBandWatts" or "AllocatedWatts" or "DrawWatts" or "LimitWatts" or "AllocatedPdWatts";

    /// <summary>Without these a record belongs to nothing.</summary>
    public static IReadOnlyList<string> Keys(RecordKind kind) => kind switch
    {
        RecordKind.Switch => [],
        RecordKind.Controller => KeyOfController,
        _ => KeyOfPort,
    };
}
