using System.Globalization;
using PoeOps.Estate;

namespace PoeOps.Refresh;

/// <summary>A setting of a port that is not what it was.</summary>
/// <param name="Before">The port as it was.</param>
/// <param name="Property">The setting.</param>
/// <param name="Text">Both values, for people.</param>
internal sealed record PortDifference(Port Before, string Property, string Text)
{
    /// <summary>Tells it from every other of the unit.</summary>
    public string Key => $"{Before.Name} {Property}";

    /// <summary>True for what can be set; a class is what the load and the controller found out between them.</summary>
    public bool IsSetting => Property != Class;

    internal const string Class = "PdClass";
}

/// <summary>Compares the ports of a unit with what they were.</summary>
internal static class PortDifferences
{
    private static readonly string[] Compared = ["AdminEnabled", "Priority", "LimitWatts"];

    /// <summary>
    /// The classes and settings that differ. One that the unit never says, before or after, cannot be compared. A limit may be absent; the other two are absent only
    /// where they could not be read, and one that could be before is missed.
    /// </summary>
    /// <param name="before">The unit as it was.</param>
    /// <param name="after">The unit as it is.</param>
    public static IReadOnlyList<PortDifference> Of(Controller before, Controller after)
    {
        List<PortDifference> differences = [];
        bool limits = before.Ports.Concat(after.Ports).Any(port => port.LimitWatts is not null);
        foreach (Port port in before.Ports)
        {
            Port? now = PowerBack.In(after, port);
            if (now is not null && ClassDiffers(port, now))
            {
                differences.Add(new PortDifference(port, PortDifference.Class, $"the class of {port.PortId} is {now.Signature} and was {port.Signature}"));
            }

            foreach (string property in now is null ? [] : Compared)
            {
                (string? was, string? found) = (Text(port, property), Text(now!, property));
                bool read = property == "LimitWatts" ? limits : was is not null;
                if (read && was != found)
                {
                    differences.Add(new PortDifference(port, property, $"{property} of {port.PortId} is {found ?? "not set"} and was {was ?? "not set"}"));
                }
            }
        }

        return differences;
    }

    /// <summary>The ports that are no longer listed, each in a few words.</summary>
    public static IEnumerable<string> Missing(Controller before, Controller after) =>
        before.Ports.Where(port => PowerBack.In(after, port) is null).Select(port => $"port {port.PortId} is no longer listed");

    // Valid only while power is delivered.
    private static bool ClassDiffers(Port before, Port now) =>
        before.Delivering && now.Delivering && before.Signature != now.Signature && before.Signature != default && now.Signature != default;

    private static string? Text(Port port, string property) => property switch
    {
        "AdminEnabled" => port.AdminEnabled?.ToString(),
        "Priority" => port.Priority?.ToString(),
        _ => port.LimitWatts?.ToString("0.###", CultureInfo.InvariantCulture),
    };
}
