using PoeOps.Estate;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>The unit that these tests refresh: a phone, a help point and a camera with power, and one port without.</summary>
internal static class Sample
{
    public static Controller Unit(string firmware = "2.1", string unit = "2") => new()
    {
        Site = "north",
        Switch = "north-1",
        Unit = unit,
        Model = "BR-4",
        Serial = "S" + unit,
        Firmware = firmware,
        Release = "7.2",
        Condition = ControllerCondition.Healthy,
        ConditionText = "well",
        Ports =
        [
            Port(unit, "1", "desk phone", "phone", PortPriority.Low, 15.4m, 60),
            Port(unit, "2", "help point A", "help point", PortPriority.Critical, null, 45) with { LifeSafety = true },
            Port(unit, "3", null, "phone", PortPriority.Low, null, 60) with { Status = DetectionStatus.Searching },
            Port(unit, "4", null, "camera", PortPriority.High, null, 30),
        ],
    };

    /// <summary>Changes ports by name.</summary>
    public static Controller With(this Controller unit, Func<Port, Port> change, params string[] names) =>
        unit with { Ports = [.. unit.Ports.Select(port => names.Length == 0 || names.Contains(port.Name) ? change(port) : port)] };

    /// <summary>The unit without power at its ports.</summary>
    public static Controller Dark(this Controller unit, params string[] names) =>
        unit.With(port => port with { Status = port.Delivering ? DetectionStatus.Searching : port.Status }, names);

    private static Port Port(string unit, string name, string? load, string role, PortPriority priority, decimal? limit, double restart) => new()
    {
        Site = "north",
        Switch = "north-1",
        Unit = unit,
        Name = name,
        AdminEnabled = true,
        Status = DetectionStatus.DeliveringPower,
        Priority = priority,
        LimitWatts = limit,
        Load = load,
        Role = role,
        RestartSeconds = restart,
    };
}
