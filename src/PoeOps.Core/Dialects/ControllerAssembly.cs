using System.Globalization;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Dialects;

/// <summary>Makes controllers with their ports out of the records of a reading.</summary>
internal sealed class ControllerAssembly
{
    private readonly Dialect _dialect;
    private readonly ReadingContext _context;

    /// <summary>Assembles for a reading.</summary>
    public ControllerAssembly(Dialect dialect, ReadingContext context)
    {
        _dialect = dialect;
        _context = context;
    }

    /// <summary>Makes the controllers; a record that contradicts itself has been reported and is left out.</summary>
    /// <param name="records">What was read.</param>
    /// <param name="problems">What could not be; what should be there and is not, and versions that no spelling reads, are added.</param>
    /// <param name="cuts">Those of the problems that say that the text stops.</param>
    public IReadOnlyList<Controller> Build(RecordSet records, List<Problem> problems, IReadOnlyList<Problem> cuts)
    {
        Percentages.ToWatts(_dialect, records.All, problems);
        List<ReadRecord> whole = [.. records.All.Where(record => !record.Contradicted)];
        string? release = ReleaseIn(records);
        ILookup<string, ReadRecord> ports = whole.Where(record => record.Kind == RecordKind.Port).ToLookup(record => record.Unit, StringComparer.OrdinalIgnoreCase);
        Dictionary<string, ReadRecord> units = whole.Where(record => record.Kind == RecordKind.Controller).ToDictionary(record => record.Unit, StringComparer.OrdinalIgnoreCase);
        IEnumerable<string> names = units.Keys.Concat(ports.Select(group => group.Key)).Distinct(StringComparer.OrdinalIgnoreCase);

        List<UnitRead> read = [];
        foreach (string unit in names.OrderBy(name => name, NaturalOrder.Instance))
        {
            units.TryGetValue(unit, out ReadRecord? record);
            ReadRecord[] ofUnit = [.. ports[unit]];
            read.Add(new UnitRead(Make(unit, record, release, InOrder(ofUnit)), record, ofUnit));
        }

        var told = new UnitProblems(problems, read);
        new WholeReading(_dialect, records.All, cuts, told).Check(read);
        new VersionCheck(_dialect, records.All, told).Check(read);
        return [.. read.Select(one => one.Controller with { ReadingProblems = told.Count(one.Name), SwitchUnits = read.Count })];
    }

    /// <summary>The release of the switch software, or null.</summary>
    public static string? ReleaseIn(RecordSet records) => records.All.FirstOrDefault(record => record.Kind == RecordKind.Switch && !record.Contradicted)?["Release"];

    // Devices print their ports in order as a rule, and to see that is much quicker than to sort.
    private List<Port> InOrder(IEnumerable<ReadRecord> records)
    {
        List<Port> ports = [.. records.Select(Port)];
        for (int i = 1; i < ports.Count; i++)
        {
            if (NaturalOrder.Instance.Compare(ports[i - 1].Name, ports[i].Name) > 0)
            {
                return [.. ports.OrderBy(port => port.Name, NaturalOrder.Instance)];
            }
        }

        return ports;
    }

    private Controller Make(string unit, ReadRecord? record, string? release, IReadOnlyList<Port> ports) => new()
    {
        Switch = _context.Switch,
        Unit = unit,
        Model = record?["Model"],
        Serial = record?["Serial"],
        Firmware = record?["Firmware"],
        Release = record?["Release"] ?? release,
        Condition = record?["Condition"] is { } condition ? Name<ControllerCondition>(condition) : ControllerCondition.Unknown,
        ConditionText = record?["ConditionText"],
        BudgetWatts = Watts(record?["BudgetWatts"]),
        GuardBandWatts = Watts(record?["GuardBandWatts"]),
        AllocatedWatts = Watts(record?["AllocatedWatts"]),
        DrawWatts = Watts(record?["DrawWatts"]),
        PseType = (PseType)(Whole(record?["PseType"]) ?? 0),
        Dialect = PlainText.Of(_dialect.Name),
        DialectPath = PlainText.Of(_dialect.SourcePath),
        Source = PlainText.Of(_context.Source),
        ReadUtc = _context.ReadUtc,
        Ports = ports,
    };

    private Port Port(ReadRecord record) => new()
    {
        Switch = _context.Switch,
        Unit = record.Unit,
        Name = record.Port,
        AdminEnabled = record["AdminEnabled"] is { } enabled ? enabled == "true" : null,
        Status = record["Status"] is { } status ? Name<DetectionStatus>(status) : null,
        PdClass = Whole(record["PdClass"]),
        PdClassA = Whole(record["PdClassA"]),
        PdClassB = Whole(record["PdClassB"]),
        Priority = record["Priority"] is { } priority ? Name<PortPriority>(priority) : null,
        AllocatedWatts = Watts(record["AllocatedWatts"]),
        AllocatedPdWatts = Watts(record["AllocatedPdWatts"]),
        AllocatedBy = record["AllocatedBy"] is { } by ? Name<AllocationSource>(by) : null,
        DrawWatts = Watts(record["DrawWatts"]),
        LimitWatts = Watts(record["LimitWatts"]),
        Description = record["Description"],
        Neighbour = record["Neighbour"],
        Load = record["Neighbour"] ?? record["Description"],
    };

    private static T Name<T>(string text)
        where T : struct => Names<T>.Known.TryGetValue(text, out T value) ? value : (T)Enum.Parse(typeof(T), text, ignoreCase: true);

    private static int? Whole(string? digit) => digit is null ? null : int.Parse(digit, CultureInfo.InvariantCulture);

    private static decimal? Watts(string? text) => text is null ? null : decimal.Parse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);

    private static class Names<T>
        where T : struct
    {
        public static readonly Dictionary<string, T> Known = Enum.GetValues(typeof(T)).Cast<T>().ToDictionary(value => value.ToString()!, StringComparer.Ordinal);
    }
}

/// <summary>A unit as it came out, and the records that it was made of.</summary>
/// <param name="Controller">The unit.</param>
/// <param name="Record">What was read of its controller; null where nothing was, or what was read contradicts itself.</param>
/// <param name="Ports">What was read of its ports, in the order of their first lines.</param>
internal sealed record UnitRead(Controller Controller, ReadRecord? Record, IReadOnlyList<ReadRecord> Ports)
{
    /// <summary>The unit's name.</summary>
    public string Name => Controller.Unit;

    /// <summary>The first line that tells of it.</summary>
    public CaptureLine Begun => (Record ?? Ports[0]).Begun;
}
