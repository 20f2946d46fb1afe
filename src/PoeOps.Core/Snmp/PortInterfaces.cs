using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>How an interface was found for a PSE port, as no standard joins the two (RFC 3621).</summary>
internal enum InterfaceRule
{
    /// <summary>It was not found.</summary>
    None,
    /// <summary>The port's index is the place of a port's entity in its unit, and that entity names the interface (RFC 6933).</summary>
    EntityPosition,
    /// <summary>The port's index is the place of the interface among those of its unit, in the order of their names.</summary>
    NameOrder,
    /// <summary>Somebody said so.</summary>
    Given,
}

/// <summary>An interface that was found for a PSE port.</summary>
/// <param name="Index">ifIndex.</param>
/// <param name="Rule">By which rule.</param>
internal readonly record struct PortInterface(uint Index, InterfaceRule Rule);

/// <summary>Finds the interfaces of the PSE ports of one unit. The rules are tried in order; each port says by which one it was found.</summary>
internal sealed class PortInterfaces
{
    private static readonly Regex Number = new(@"\d+", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly EntityTables _entities;
    private readonly InterfaceTables _interfaces;
    private readonly IReadOnlyDictionary<string, uint> _given;
    private readonly bool _manyGroups;

    /// <summary>Prepares to find.</summary>
    /// <param name="entities">What units are made of.</param>
    /// <param name="interfaces">The interfaces.</param>
    /// <param name="given">Interfaces that somebody gave, by unit and port with a slash between, such as <c>1/17</c>.</param>
    /// <param name="manyGroups">True where the agent has several units, so that a name says its unit.</param>
    public PortInterfaces(EntityTables entities, InterfaceTables interfaces, IReadOnlyDictionary<string, uint> given, bool manyGroups) =>
        (_entities, _interfaces, _given, _manyGroups) = (entities, interfaces, given, manyGroups);

    /// <summary>The interfaces of the ports of a unit, by the ports' indexes; ports that none was found for are not among them.</summary>
    public IReadOnlyDictionary<uint, PortInterface> Of(PseGroup group, Entity? unit, IReadOnlyList<PsePort> ports)
    {
        Dictionary<uint, PortInterface> found = unit is null ? [] : ByEntity(unit, ports);
        if (found.Count == 0)
        {
            found = ByName(group, ports);
        }

        foreach (PsePort port in ports.Where(port => !found.ContainsKey(port.Index)))
        {
            if (_given.TryGetValue(group.Unit + "/" + port.Name, out uint given))
            {
                found[port.Index] = new PortInterface(given, InterfaceRule.Given);
            }
        }

        return found;
    }

    // Another module of the unit may have ports at the same places; the one that has a place for every PSE port is meant.
    private Dictionary<uint, PortInterface> ByEntity(Entity unit, IReadOnlyList<PsePort> ports)
    {
        ILookup<uint, Entity> byHolder = _entities.Inside(unit).Where(entity => entity.Class == EntityTables.PortClass && entity.Position >= 0).ToLookup(entity => entity.ContainedIn);
        ILookup<long, Entity>[] holders = [.. byHolder.Select(holder => holder.ToLookup(place => (long)place.Position)).Where(places => ports.All(port => places[port.Index].Count() == 1))];
        Dictionary<uint, PortInterface> found = [];
        if (holders.Length != 1)
        {
            return found;
        }

        foreach (PsePort port in ports)
        {
            if (_entities.InterfaceOf(holders[0][port.Index].First()) is { } index)
            {
                found[port.Index] = new PortInterface(index, InterfaceRule.EntityPosition);
            }
        }

        return found;
    }

    // A stack names its interfaces with the member's number in front, and only such ones are the unit's where there are any; a device that is one unit, group 1 (RFC 3621),
    // may number its line cards so.
    private Dictionary<uint, PortInterface> ByName(PseGroup group, IReadOnlyList<PsePort> ports)
    {
        uint last = ports.Count == 0 ? 0 : ports.Max(port => port.Index);
        IReadOnlyList<Interface> all = _interfaces.EthernetByName();
        Interface[] ofUnit = [.. all.Where(one => FirstOfSeveral(one.Name!) == group.Unit)];
        Interface[] places = Places(ofUnit, last);
        if (places.Length == 0 && !_manyGroups && (ofUnit.Length == 0 || group.Index == 1))
        {
            places = Places(all, last);
        }

        return places.Length == 0 ? [] : ports.Where(port => port.Index >= 1).ToDictionary(port => port.Index, port => new PortInterface(places[port.Index - 1].Index, InterfaceRule.NameOrder));
    }

    // Interfaces of a kind have names that differ in numbers alone. Of the kinds that reach to the last PSE port there must be one.
    private static Interface[] Places(IReadOnlyList<Interface> interfaces, uint last)
    {
        IGrouping<string, Interface>[] kinds = [.. interfaces.GroupBy(one => Number.Replace(one.Name!, "#"), StringComparer.OrdinalIgnoreCase).Where(kind => kind.Count() >= last)];
        return kinds.Length == 1 && last > 0 ? [.. kinds[0]] : [];
    }

    private static string? FirstOfSeveral(string name) => Number.Matches(name) is { Count: > 1 } numbers ? numbers[0].Value.TrimStart('0') : null;
}
