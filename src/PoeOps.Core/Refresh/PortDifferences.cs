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

    /// <summary>True for what can be set; class and draw are what came of it.</summary>
    public bool IsSetting => Property is not Class and not Draw;

    internal const string Class = "PdClass";
    internal const string Draw = "DrawWatts";
}

/// <summary>Compares the ports of a unit with what they were.</summary>
internal static class PortDifferences
{
    private static readonly string[] Compared = ["AdminEnabled", "Priority", "LimitWatts"];
    private const decimal LeastDraw = 2;

    /// <summary>
    /// The classes, draws and settings that differ. A draw moves by itself, so that only its end is a difference: power is there and nothing takes it.
    /// A setting that the unit never says, before or after, cannot be compared. A limit may be absent; the other two are absent only
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

            if (now is not null && DrawsNothing(port, now))
            {
                differences.Add(new PortDifference(port, PortDifference.Draw, $"{port.Load ?? port.Role} on {port.PortId} has power and draws nothing; it drew {Watts(port.DrawWatts)} W"));
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

    /// <summary>
    /// The loads that draw something else than before: more than half as much again or less than half, and by more than 2 W, which is common practice and
    /// no standard's. They are told and are no outcome, for a radio that nobody uses at night draws less than it did.
    /// </summary>
    public static IEnumerable<(Port Before, decimal? Now)> Draws(Controller before, Controller after) =>
        from port in before.Ports
        let now = PowerBack.In(after, port)
        where port.Delivering && now is { Delivering: true, DrawWatts: > 0 } && port.DrawWatts > 0
            && Math.Abs(now.DrawWatts.Value - port.DrawWatts.Value) > Math.Max(LeastDraw, port.DrawWatts.Value / 2)
        select (port, now.DrawWatts);

    // Valid only while power is delivered.
    private static bool ClassDiffers(Port before, Port now) =>
        before.Delivering && now.Delivering && before.Signature != now.Signature && before.Signature != default && now.Signature != default;

    private static bool DrawsNothing(Port before, Port now) => before.Delivering && now.Delivering && before.DrawWatts > 0 && now.DrawWatts == 0;

    private static string? Watts(decimal? watts) => watts?.ToString("0.###", CultureInfo.InvariantCulture);

    private static string? Text(Port port, string property) => property switch
    {
        "AdminEnabled" => port.AdminEnabled?.ToString(),
        "Priority" => port.Priority?.ToString(),
        _ => Watts(port.LimitWatts),
    };
}
