using PoeOps.Estate;

namespace PoeOps.Refresh;

/// <summary>Which ports of a unit, as it was read, are those of another reading of it, and whether they have power.</summary>
internal static class PowerBack
{
    /// <summary>The same port in a later reading; null where it is not listed, or nothing was read.</summary>
    public static Port? In(Controller? now, Port before) => now?.Ports.FirstOrDefault(port => string.Equals(port.Name, before.Name, StringComparison.OrdinalIgnoreCase));

    /// <summary>True where the port has power in a later reading.</summary>
    public static bool Has(Controller? now, Port before) => In(now, before) is { Delivering: true };

    /// <summary>How many of the ports that had power have it in a later reading.</summary>
    public static int Count(Controller before, Controller? now) => before.Ports.Count(port => port.Delivering && Has(now, port));
}
