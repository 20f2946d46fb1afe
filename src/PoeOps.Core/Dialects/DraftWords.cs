using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>The few plain words by which a draft guesses what a column or a name tells.</summary>
internal static class DraftWords
{
    private static readonly Regex Amount = new(@"^(?<name>.*?)[ (\[]*\b(?<unit>kW|W|mW|dW)[)\]]*$", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private static readonly Dictionary<string, string> OfSwitch = Table(
        "Host: host, hostname, node, switch, system name; Release: release, software, software release, system, edition, version");

    private static readonly Dictionary<string, string> OfController = Table(
        "Unit: unit, slot, member, module, shelf, house, stack unit; Model: model, type, product, hardware; Serial: serial, serial number, serial no; " +
        "Firmware: firmware, code, microcode, controller firmware; Release: release, software; Condition: condition, health, state, status, mood; " +
        "BudgetWatts: budget, supply, capacity, available, may give; GuardBandWatts: guard band, guard, reserve, kept, kept back; " +
        "AllocatedWatts: allocated, granted, set aside, assigned; DrawWatts: draw, drawn, used, consumed, consumption, given, gives");

    private static readonly Dictionary<string, string> OfPort = Table(
        "Unit: unit, slot, member, module, shelf, house; Port: port, outlet, socket, interface, jack; AdminEnabled: admin, enabled, admin state; " +
        "Status: status, state, operation; PdClass: class, pd class; Priority: priority, rank, tier; AllocatedWatts: allocated, granted, set aside, assigned; " +
        "DrawWatts: draw, drawn, used, consumed, consumption, gives; LimitWatts: limit, cap, maximum; Description: description, label, alias, comment; " +
        "Neighbour: neighbour, neighbor, peer");

    private static readonly Dictionary<string, Dictionary<string, string>> Meanings = new(StringComparer.Ordinal)
    {
        ["AdminEnabled"] = Table("true: on, yes, enabled, open, up; false: off, no, disabled, shut, down"),
        ["Status"] = Table("DeliveringPower: delivering, feeding, powered, powering, giving, on; Searching: seeking, waiting, looking; Disabled: off, shut; Fault: faulty, error"),
        ["Priority"] = Table("Critical: first; High: middle; Low: last"),
        ["Condition"] = Table("Healthy: ok, good, well, fine, sound, fit, normal, content; Faulted: fault, faulty, bad, failed, error, broken, ill; Refreshing: updating, loading; Absent: none, empty, missing"),
    };

    /// <summary>The property that a name stands for in a record of a kind, or null.</summary>
    public static string? Property(RecordKind kind, string name)
    {
        string word = Plain(name);
        return (kind == RecordKind.Switch ? OfSwitch : kind == RecordKind.Controller ? OfController : OfPort).TryGetValue(word, out string? property) ? property : null;
    }

    /// <summary>The unit that stands behind a name, or null.</summary>
    public static string? UnitIn(string name) => Amount.Match(name) is { Success: true } match && match.Groups["name"].Length > 0 ? match.Groups["unit"].Value : null;

    /// <summary>What a device's word means for a property that has words, or null.</summary>
    public static string? Meaning(string property, string word) =>
        Meanings.TryGetValue(property, out Dictionary<string, string>? words) && words.TryGetValue(word.Trim().ToLowerInvariant(), out string? meaning) ? meaning : null;

    /// <summary>What names can belong to: a port's key makes it a port, a unit's a controller; null where there is neither, nor a release.</summary>
    public static RecordKind? KindOf(IReadOnlyCollection<string> names) =>
        names.Any(name => Property(RecordKind.Port, name) == "Port") ? RecordKind.Port
        : names.Any(name => Property(RecordKind.Controller, name) == "Unit") ? RecordKind.Controller
        : names.Any(name => Property(RecordKind.Switch, name) == "Release") ? RecordKind.Switch
        : null;

    private static string Plain(string name)
    {
        string word = UnitIn(name) is null ? name : Amount.Match(name).Groups["name"].Value;
        return word.Trim().TrimEnd('.', ':').ToLowerInvariant();
    }

    private static Dictionary<string, string> Table(string text) => text.Split(';')
        .Select(line => line.Split(':')).SelectMany(line => line[1].Split(','), (line, word) => (Word: word.Trim(), Means: line[0].Trim()))
        .ToDictionary(one => one.Word, one => one.Means, StringComparer.Ordinal);
}
