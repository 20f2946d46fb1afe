using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Snmp;

/// <summary>
/// A row of entPhysicalTable (RFC 6933). What is shown of it is read when somebody asks, so that fans and supplies with nonsense in their texts are no problem of anybody's.
/// </summary>
internal sealed class Entity(SnmpFindings findings, uint index)
{
    public const uint Descr = 2, ContainedInColumn = 4, ClassColumn = 5, ParentRelPos = 6, NameColumn = 7, FirmwareRev = 9, SoftwareRev = 10, SerialNum = 11, ModelName = 13;

    public static readonly Oid Entry = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1");

    private readonly Lazy<string?> _firmware = new(() => findings.Text(Entry.Then(FirmwareRev, index), "entPhysicalFirmwareRev"));
    private readonly Lazy<string?> _software = new(() => findings.Text(Entry.Then(SoftwareRev, index), "entPhysicalSoftwareRev"));
    private readonly Lazy<string?> _serial = new(() => findings.Text(Entry.Then(SerialNum, index), "entPhysicalSerialNum"));
    private readonly Lazy<string?> _model = new(() => findings.Text(Entry.Then(ModelName, index), "entPhysicalModelName"));

    /// <summary>entPhysicalIndex.</summary>
    public uint Index { get; } = index;

    /// <summary>chassis(3), module(9), port(10) and so on; 0 where not said.</summary>
    public int Class { get; } = (int)(findings.Number(Entry.Then(ClassColumn, index), "entPhysicalClass", null, 0, int.MaxValue) ?? 0);

    /// <summary>The entity that it is in; 0 for none.</summary>
    public uint ContainedIn { get; } = (uint)(findings.Number(Entry.Then(ContainedInColumn, index), "entPhysicalContainedIn", null, 0, int.MaxValue) ?? 0);

    /// <summary>Its place among its siblings; -1 where not said.</summary>
    public int Position { get; } = (int)(findings.Number(Entry.Then(ParentRelPos, index), "entPhysicalParentRelPos", null, -1, int.MaxValue) ?? -1);

    /// <summary>entPhysicalName, not to be shown.</summary>
    public string? Name { get; } = findings.Loose(Entry.Then(NameColumn, index));

    /// <summary>entPhysicalDescr, not to be shown.</summary>
    public string? Description { get; } = findings.Loose(Entry.Then(Descr, index));

    /// <summary>entPhysicalFirmwareRev; null where empty.</summary>
    public string? Firmware => _firmware.Value;

    /// <summary>entPhysicalSoftwareRev; null where empty.</summary>
    public string? Software => _software.Value;

    /// <summary>entPhysicalSerialNum; null where empty.</summary>
    public string? Serial => _serial.Value;

    /// <summary>entPhysicalModelName; null where empty.</summary>
    public string? Model => _model.Value;
}

/// <summary>Reads ENTITY-MIB (RFC 6933): what the units are made of, and which interface a port is.</summary>
internal sealed class EntityTables
{
    public const int Stack = 11, Chassis = 3, Module = 9, PortClass = 10;

    private static readonly Oid Alias = Oid.Parse("1.3.6.1.2.1.47.1.3.2.1.2");
    private static readonly Oid IfIndex = Oid.Parse("1.3.6.1.2.1.2.2.1.1");

    private readonly SortedDictionary<uint, Entity> _entities = [];
    private readonly ILookup<uint, Entity> _children;
    private readonly Dictionary<uint, uint?> _interfaces = [];

    /// <summary>Reads the tables.</summary>
    public EntityTables(SnmpFindings findings)
    {
        foreach (uint[] index in findings.Indexes(Entity.Entry, 1, Entity.ClassColumn, Entity.NameColumn, Entity.ContainedInColumn))
        {
            _entities[index[0]] = new Entity(findings, index[0]);
        }

        _children = _entities.Values.Where(entity => entity.ContainedIn != 0 && entity.ContainedIn != entity.Index).ToLookup(entity => entity.ContainedIn);
        foreach (VarBind alias in findings.Rows.Within(Alias))
        {
            ReadAlias(alias);
        }
    }

    /// <summary>The columns that are read.</summary>
    public static IReadOnlyList<Oid> Columns { get; } =
    [
        .. new[] { Entity.Descr, Entity.ContainedInColumn, Entity.ClassColumn, Entity.ParentRelPos, Entity.NameColumn, Entity.FirmwareRev, Entity.SoftwareRev, Entity.SerialNum, Entity.ModelName }
            .Select(column => Entity.Entry.Then(column)),
        Alias,
    ];

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
    private static readonly Regex PoeWord = new(@"\b(poe|pse|power[ -]over[ -]ethernet|power[ -]sourcing)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex ControllerWord = new(@"\b(controller|processor|mcu|microcontroller|manager|firmware)\b", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex PoeAlone = new(@"^(poe|pse)\W*\d*$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Numbers = new(@"\d+", RegexOptions.CultureInvariant, OwnPattern.Longest);

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
