using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>
/// Makes one reading of two of the same switch: SNMP for power and ports, the console for what runs and for what no standard table says. Units are the same where their
/// serial numbers are, or where neither contradicts the other and their names are; ports are the same where their names are.
/// </summary>
public static class MergedReading
{
    /// <summary>Merges.</summary>
    /// <param name="console">The controllers as the console gave them.</param>
    /// <param name="snmp">The controllers as SNMP gave them.</param>
    /// <param name="problems">Where units are added whose two readings cannot be of one (<see cref="ProblemId.ReadingsDisagree"/>).</param>
    /// <returns>Each unit once, under the console's name where it has one; what only one of them has is as it is there.</returns>
    public static IReadOnlyList<Controller> Of(IReadOnlyList<Controller> console, IReadOnlyList<Controller> snmp, IList<Problem> problems)
    {
        List<Controller> left = [.. snmp];
        List<Controller> merged = [];
        foreach (Controller unit in console)
        {
            Controller? other = left.FirstOrDefault(one => one.Serial is not null && Same(one.Serial, unit.Serial)) ?? left.FirstOrDefault(one => Same(one.Unit, unit.Unit));
            if (other is not null && other.Serial is not null && unit.Serial is not null && !Same(other.Serial, unit.Serial))
            {
                problems.Add(new Problem(
                    ProblemId.ReadingsDisagree,
                    $"Unit {unit.UnitId} has the serial number '{Excerpt.Of(unit.Serial)}' on the console and '{Excerpt.Of(other.Serial)}' over SNMP, so the two readings were not put together.",
                    "Check that both addresses are of the same switch.") { Target = unit.UnitId.ToString() });
                left.Remove(other);
                merged.Add(unit with { ReadingProblems = unit.ReadingProblems + 1 });
                continue;
            }

            merged.Add(other is null ? unit : Merge(unit, other));
            _ = other is not null && left.Remove(other);
        }

        Controller[] all = [.. merged.Concat(left).OrderBy(one => one.Unit, NaturalOrder.Instance)];
        return [.. all.Select(one => one with { SwitchUnits = all.Length })];
    }

    private static Controller Merge(Controller console, Controller snmp) => console with
    {
        Model = console.Model ?? snmp.Model,
        Serial = console.Serial ?? snmp.Serial,
        Firmware = console.Firmware ?? snmp.Firmware,
        FirmwareUnread = (console.Firmware ?? snmp.Firmware) is null ? snmp.FirmwareUnread : null,
        Release = console.Release ?? snmp.Release,
        Condition = console.Condition == ControllerCondition.Unknown ? snmp.Condition : console.Condition,
        ConditionText = console.Condition == ControllerCondition.Unknown ? snmp.ConditionText ?? console.ConditionText : console.ConditionText,
        BudgetWatts = snmp.BudgetWatts ?? console.BudgetWatts,
        DrawWatts = snmp.DrawWatts ?? console.DrawWatts,
        AllocatedWatts = console.AllocatedWatts ?? snmp.AllocatedWatts,
        GuardBandWatts = console.GuardBandWatts ?? snmp.GuardBandWatts,
        ReadingProblems = console.ReadingProblems + snmp.ReadingProblems,
        Source = Both(console.Source, snmp.Source),
        ReadUtc = console.ReadUtc < snmp.ReadUtc ? console.ReadUtc : snmp.ReadUtc,
        Ports = Ports(console, snmp),
    };

    private static Port[] Ports(Controller console, Controller snmp)
    {
        Dictionary<string, Port> left = snmp.Ports.ToDictionary(port => port.Name, StringComparer.OrdinalIgnoreCase);
        List<Port> ports = [];
        foreach (Port port in console.Ports)
        {
            ports.Add(left.TryGetValue(port.Name, out Port? other) ? Merge(port, other) : port);
            left.Remove(port.Name);
        }

        ports.AddRange(left.Values.Select(port => port with { Unit = console.Unit }));
        return [.. ports.OrderBy(port => port.Name, NaturalOrder.Instance)];
    }

    private static Port Merge(Port console, Port snmp) => console with
    {
        Interface = snmp.Interface ?? console.Interface,
        AdminEnabled = snmp.AdminEnabled ?? console.AdminEnabled,
        Status = snmp.Status ?? console.Status,
        PdClass = snmp.PdClass ?? (snmp.Delivering ? console.PdClass : null),
        PdClassA = snmp.Delivering || snmp.Status is null ? console.PdClassA : null,
        PdClassB = snmp.Delivering || snmp.Status is null ? console.PdClassB : null,
        Priority = snmp.Priority ?? console.Priority,
        AllocatedPdWatts = snmp.AllocatedPdWatts ?? console.AllocatedPdWatts,
        AllocatedBy = console.AllocatedBy ?? snmp.AllocatedBy,
        DrawWatts = snmp.DrawWatts ?? console.DrawWatts,
        EnergyWattHours = snmp.EnergyWattHours,
        Description = console.Description ?? snmp.Description,
        Neighbour = console.Neighbour ?? snmp.Neighbour,
        NeighbourCapabilities = snmp.NeighbourCapabilities,
        Load = console.Neighbour ?? snmp.Neighbour ?? console.Description ?? snmp.Description,
        Source = Both("console", snmp.Source),
    };

    private static string Both(string console, string snmp) => console.Length == 0 ? snmp : snmp.Length == 0 ? console : console + ", " + snmp;

    private static bool Same(string? left, string? right) => string.Equals(left, right, StringComparison.OrdinalIgnoreCase);
}
