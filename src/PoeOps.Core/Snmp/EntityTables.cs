using System.Globalization;
using System.Text.RegularExpressions;

namespace PoeOps.Snmp;

/// <summary>A row of entPhysicalTable (RFC 6933).</summary>
/// <param name="Index">entPhysicalIndex.</param>
internal sealed record Entity(uint Index)
{
    /// <summary>chassis(3), module(9), port(10) and so on; 0 where not said.</summary>
    public int Class { get; init; }

    /// <summary>The entity that it is in; 0 for none.</summary>
    public uint ContainedIn { get; init; }

    /// <summary>Its place among its siblings; -1 where not said.</summary>
    public int Position { get; init; } = -1;

    /// <summary>entPhysicalName.</summary>
    public string? Name { get; init; }

    /// <summary>entPhysicalDescr.</summary>
    public string? Description { get; init; }

    /// <summary>entPhysicalFirmwareRev.</summary>
    public string? Firmware { get; init; }

    /// <summary>entPhysicalSoftwareRev.</summary>
    public string? Software { get; init; }

    /// <summary>entPhysicalSerialNum.</summary>
    public string? Serial { get; init; }

    /// <summary>entPhysicalModelName.</summary>
    public string? Model { get; init; }
}

/// <summary>Reads ENTITY-MIB (RFC 6933): what the units are made of, and which interface a port is.</summary>
internal sealed class EntityTables
{
    public const int Stack = 11, Chassis = 3, Module = 9, PortClass = 10;

    private const uint Descr = 2, ContainedIn = 4, Class = 5, ParentRelPos = 6, NameColumn = 7, FirmwareRev = 9, SoftwareRev = 10, SerialNum = 11, ModelName = 13;

    private static readonly Oid Entry = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1");
    private static readonly Oid Alias = Oid.Parse("1.3.6.1.2.1.47.1.3.2.1.2");
    private static readonly Oid IfIndex = Oid.Parse("1.3.6.1.2.1.2.2.1.1");

    private readonly SortedDictionary<uint, Entity> _entities = [];
    private readonly ILookup<uint, Entity> _children;
    private readonly Dictionary<uint, uint?> _interfaces = [];

    /// <summary>Reads the tables.</summary>
    public EntityTables(SnmpFindings findings)
    {
        foreach (uint[] index in findings.Indexes(Entry, 1, Class, NameColumn, ContainedIn))
        {
            _entities[index[0]] = Read(findings, index[0]);
        }

        _children = _entities.Values.Where(entity => entity.ContainedIn != 0 && entity.ContainedIn != entity.Index).ToLookup(entity => entity.ContainedIn);
        foreach (VarBind alias in findings.Rows.Within(Alias))
        {
            ReadAlias(alias);
        }
    }

    /// <summary>The columns that are read.</summary>
    public static IReadOnlyList<Oid> Columns { get; } =
        [.. new[] { Descr, ContainedIn, Class, ParentRelPos, NameColumn, FirmwareRev, SoftwareRev, SerialNum, ModelName }.Select(column => Entry.Then(column)), Alias];

    /// <summary>The entities in order of their indexes.</summary>
    public IReadOnlyCollection<Entity> All => _entities.Values;

    /// <summary>The interface that a port's entity names; null where it names none, or several.</summary>
    public uint? InterfaceOf(Entity port) => _interfaces.TryGetValue(port.Index, out uint? found) ? found : null;

    /// <summary>Everything inside an entity, level by level; what contains itself is gone through once.</summary>
    public IReadOnlyList<Entity> Inside(Entity outer)
    {
        List<Entity> inside = [];
        HashSet<uint> seen = [outer.Index];
        Queue<uint> open = new([outer.Index]);
        while (open.Count > 0)
        {
            foreach (Entity child in _children[open.Dequeue()].Where(child => seen.Add(child.Index)))
            {
                inside.Add(child);
                open.Enqueue(child.Index);
            }
        }

        return inside;
    }

    private static Entity Read(SnmpFindings findings, uint index)
    {
        string? Text(uint column, string what) => findings.Text(Entry.Then(column, index), what);
        return new Entity(index)
        {
            Class = (int)(findings.Number(Entry.Then(Class, index), "entPhysicalClass", null, 0, int.MaxValue) ?? 0),
            ContainedIn = (uint)(findings.Number(Entry.Then(ContainedIn, index), "entPhysicalContainedIn", null, 0, int.MaxValue) ?? 0),
            Position = (int)(findings.Number(Entry.Then(ParentRelPos, index), "entPhysicalParentRelPos", null, -1, int.MaxValue) ?? -1),
            Name = Text(NameColumn, "entPhysicalName"),
            Description = Text(Descr, "entPhysicalDescr"),
            Firmware = Text(FirmwareRev, "entPhysicalFirmwareRev"),
            Software = Text(SoftwareRev, "entPhysicalSoftwareRev"),
            Serial = Text(SerialNum, "entPhysicalSerialNum"),
            Model = Text(ModelName, "entPhysicalModelName"),
        };
    }

    // A pointer to an interface is written with ifIndex (RFC 6933, entAliasMappingIdentifier); some agents point at another column of its row.
    private void ReadAlias(VarBind alias)
    {
        uint[] index = alias.Name.After(Alias.Length);
        Oid target = alias.Value.ObjectId;
        Oid row = IfIndexRow(target);
        if (index.Length != 2 || row.Length == 0)
        {
            return;
        }

        uint found = row[row.Length - 1];
        _interfaces[index[0]] = _interfaces.TryGetValue(index[0], out uint? known) && known != found ? null : found;
    }

    private static Oid IfIndexRow(Oid target) => target.IsWithin(IfIndex) && target.Length == IfIndex.Length + 1 ? target : Oid.Empty;
}

/// <summary>Which entity is a group's, and what of it is the PSE controller's.</summary>
internal sealed class UnitEntities
{
    // A controller's own entity says so; a chassis or line card that merely feeds PDs says more than that.
    private static readonly Regex PoeWord = new(@"\b(poe|pse|power[ -]over[ -]ethernet|inline[ -]power|power[ -]sourcing)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);
    private static readonly Regex ControllerWord = new(@"\b(controller|processor|mcu|microcontroller|manager|firmware)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);
    private static readonly Regex PoeAlone = new(@"^(poe|pse)\W*\d*$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);
    private static readonly Regex Numbers = new(@"\d+", RegexOptions.CultureInvariant);

    private readonly EntityTables _tables;
    private readonly Dictionary<uint, Entity> _ofGroup;

    /// <summary>Joins groups and entities: all groups by one rule, or none.</summary>
    public UnitEntities(EntityTables tables, IReadOnlyList<PseGroup> groups)
    {
        _tables = tables;
        uint[] indexes = [.. groups.Select(group => group.Index)];
        Entity[] chassis = [.. tables.All.Where(entity => entity.Class == EntityTables.Chassis)];
        Entity[] modules = [.. tables.All.Where(entity => entity.Class == EntityTables.Module)];
        _ofGroup = ByName(indexes, chassis) ?? Only(indexes, chassis) ?? ByAll(indexes, chassis, entity => entity.Position) ?? ByAll(indexes, chassis, entity => (int)entity.Index)
            ?? ByName(indexes, modules) ?? [];
    }

    /// <summary>The entity of a group; null where no rule says it.</summary>
    public Entity? Of(PseGroup group) => _ofGroup.TryGetValue(group.Index, out Entity? entity) ? entity : null;

    /// <summary>The firmware of a group's PSE controller.</summary>
    /// <param name="group">The group.</param>
    /// <param name="why">Why it is not known; null where it is.</param>
    public string? Firmware(PseGroup group, out string? why)
    {
        if (Of(group) is not { } unit)
        {
            why = _tables.All.Count == 0 ? "the agent has no ENTITY-MIB" : $"no entity of the agent can be told to be that of group {group.Unit}";
            return null;
        }

        Entity[] controllers = [.. _tables.Inside(unit).Where(IsController)];
        string[] versions = [.. controllers.Select(entity => entity.Firmware ?? string.Empty).Where(text => text.Length > 0).Distinct(StringComparer.Ordinal)];
        why = controllers.Length == 0 ? $"the agent lists no PSE controller in entity {Say(unit.Index)}; the revisions of that entity are the switch's own"
            : versions.Length == 0 ? $"the agent says no firmware of entity {Say(controllers[0].Index)}"
            : versions.Length > 1 ? $"the agent lists {Say(versions.Length)} different ones in entity {Say(unit.Index)}"
            : versions[0] == unit.Software ? $"the agent says of entity {Say(controllers[0].Index)} what is the switch's own release"
            : null;
        return why is null ? versions[0] : null;
    }

    private static bool IsController(Entity entity) =>
        entity.Class is not (EntityTables.Chassis or EntityTables.PortClass or EntityTables.Stack or 5 or 6 or 7 or 8) && (Says(entity.Name) || Says(entity.Description));

    private static bool Says(string? text) => text is not null && ((PoeWord.IsMatch(text) && ControllerWord.IsMatch(text)) || PoeAlone.IsMatch(text));

    // The name is the group's number, or has it as its only number: "3", "Unit 3".
    private static Dictionary<uint, Entity>? ByName(uint[] groups, Entity[] entities)
    {
        ILookup<uint?, Entity> byNumber = entities.ToLookup(entity => NumberIn(entity.Name));
        return Join(groups, group => byNumber[group]);
    }

    private static uint? NumberIn(string? name)
    {
        MatchCollection numbers = Numbers.Matches(name ?? string.Empty);
        return numbers.Count == 1 && uint.TryParse(numbers[0].Value, NumberStyles.None, CultureInfo.InvariantCulture, out uint number) ? number : null;
    }

    private static Dictionary<uint, Entity>? Only(uint[] groups, Entity[] entities) => groups.Length == 1 && entities.Length == 1 ? new() { [groups[0]] = entities[0] } : null;

    // A place among siblings may count from 0 or 1, so that it says something only where every group and every entity find each other.
    private static Dictionary<uint, Entity>? ByAll(uint[] groups, Entity[] entities, Func<Entity, int> number)
    {
        ILookup<long, Entity> byNumber = entities.ToLookup(entity => (long)number(entity));
        return groups.Length == entities.Length ? Join(groups, group => byNumber[group]) : null;
    }

    private static Dictionary<uint, Entity>? Join(uint[] groups, Func<uint, IEnumerable<Entity>> candidates)
    {
        Dictionary<uint, Entity> joined = [];
        foreach (uint group in groups)
        {
            Entity[] found = [.. candidates(group)];
            if (found.Length != 1)
            {
                return null;
            }

            joined[group] = found[0];
        }

        return joined.Values.Select(entity => entity.Index).Distinct().Count() == groups.Length ? joined : null;
    }

    private static string Say(long number) => number.ToString(CultureInfo.InvariantCulture);
}
