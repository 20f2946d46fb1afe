using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Estate;

namespace PoeOps.Refresh;

/// <summary>
/// A unit's ports as they stand in a record before the unit is begun, so that a later run can hold against them what came back: a text a port, such as
/// <c>17: powered on High 15.4 4 6.2</c>, which is its name, power, administrative state, priority, limit in watts, class (<c>3+4</c> where each pairset has
/// one) and draw in watts; <c>-</c> for what was not read. A record
/// without the last two is read as well.
/// </summary>
public static class PortSnapshot
{
    private const string Nothing = "-";

    private static readonly Regex Form = new(
        @"^(?<name>.+): (?<power>powered|unpowered) (?<admin>on|off|-) (?<priority>[A-Za-z]+|-) (?<limit>[0-9.]+|-)( (?<class>[0-8]|[1-5-]\+[1-5-]|-) (?<draw>[0-9.]+|-))?$", RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1));

    /// <summary>Writes the ports.</summary>
    /// <param name="ports">The unit's, as they were just read.</param>
    public static IReadOnlyList<string> Write(IReadOnlyList<Port> ports) => [.. ports.Select(Write)];

    /// <summary>
    /// The unit as it was: how it is now, with the power and the settings that its ports had. Ports that the unit does not list any more are known by
    /// their name alone.
    /// </summary>
    /// <param name="texts">What was written; null where nothing was.</param>
    /// <param name="now">The unit as it was just read.</param>
    /// <returns>The unit; null where a text cannot be read.</returns>
    public static Controller? Before(IReadOnlyList<string>? texts, Controller now)
    {
        if (texts is null)
        {
            return null;
        }

        List<Port> ports = [];
        foreach (string text in texts)
        {
            Match match = Form.Match(text);
            if (!match.Success)
            {
                return null;
            }

            ports.Add(Read(match, now));
        }

        return now with { Ports = ports };
    }

    private static string Write(Port port)
    {
        string admin = port.AdminEnabled is { } enabled ? enabled ? "on" : "off" : Nothing;
        string pd = port.Signature.IsDual ? $"{Text(port.PdClassA)}+{Text(port.PdClassB)}" : Text(port.PdClass);
        return $"{port.Name}: {(port.Delivering ? "powered" : "unpowered")} {admin} {port.Priority?.ToString() ?? Nothing} {Text(port.LimitWatts)} {pd} {Text(port.DrawWatts)}";
    }

    private static string Text(decimal? number) => number?.ToString("0.###", CultureInfo.InvariantCulture) ?? Nothing;

    private static Port Read(Match match, Controller now)
    {
        string name = match.Groups["name"].Value;
        Port port = now.Ports.FirstOrDefault(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase)) ?? new Port { Site = now.Site, Switch = now.Switch, Unit = now.Unit, Name = name };
        string admin = match.Groups["admin"].Value;
        string[] classes = match.Groups["class"].Value.Split('+');
        return port with
        {
            Status = match.Groups["power"].Value == "powered" ? DetectionStatus.DeliveringPower : DetectionStatus.Searching,
            AdminEnabled = admin == Nothing ? null : admin == "on",
            Priority = Enum.TryParse(match.Groups["priority"].Value, out PortPriority priority) ? priority : null,
            LimitWatts = Number(match.Groups["limit"].Value),
            PdClass = classes.Length == 1 ? (int?)Number(classes[0]) : null,
            PdClassA = classes.Length == 2 ? (int?)Number(classes[0]) : null,
            PdClassB = classes.Length == 2 ? (int?)Number(classes[1]) : null,
            DrawWatts = Number(match.Groups["draw"].Value),
        };
    }

    private static decimal? Number(string text) => decimal.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal number) ? number : null;
}
