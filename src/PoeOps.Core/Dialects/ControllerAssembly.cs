using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

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
    /// <param name="problems">What could not be; versions that no spelling reads are added.</param>
    public IReadOnlyList<Controller> Build(RecordSet records, List<Problem> problems)
    {
        List<ReadRecord> whole = [.. records.All.Where(record => !record.Contradicted)];
        string? release = ReleaseIn(records);
        ILookup<string, ReadRecord> ports = whole.Where(record => record.Kind == RecordKind.Port).ToLookup(record => record.Unit, StringComparer.OrdinalIgnoreCase);
        Dictionary<string, ReadRecord> units = whole.Where(record => record.Kind == RecordKind.Controller).ToDictionary(record => record.Unit, StringComparer.OrdinalIgnoreCase);
        IEnumerable<string> names = units.Keys.Concat(ports.Select(group => group.Key)).Distinct(StringComparer.OrdinalIgnoreCase);

        List<Controller> controllers = [];
        foreach (string unit in names.OrderBy(name => name, NaturalOrder.Instance))
        {
            units.TryGetValue(unit, out ReadRecord? record);
            controllers.Add(Make(unit, record, release, InOrder(ports[unit])));
        }

        CheckVersions(controllers, problems);
        HashSet<string> known = new(controllers.Select(controller => controller.Unit), StringComparer.OrdinalIgnoreCase);
        return [.. controllers.Select(controller => controller with { ReadingProblems = Count(controller.Unit, known, problems) })];
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
        Dialect = _dialect.Name,
        DialectPath = _dialect.SourcePath,
        Source = _context.Source,
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
        PdClass = record["PdClass"] is { } pdClass ? int.Parse(pdClass, CultureInfo.InvariantCulture) : null,
        Priority = record["Priority"] is { } priority ? Name<PortPriority>(priority) : null,
        AllocatedWatts = Watts(record["AllocatedWatts"]),
        DrawWatts = Watts(record["DrawWatts"]),
        LimitWatts = Watts(record["LimitWatts"]),
        Description = record["Description"],
        Neighbour = record["Neighbour"],
        Load = record["Neighbour"] ?? record["Description"],
    };

    private void CheckVersions(List<Controller> controllers, List<Problem> problems)
    {
        foreach (Controller controller in controllers)
        {
            Check(_dialect.Firmware, controller.Firmware, "firmware", controller.Unit, problems);
            Check(_dialect.Release, controller.Release, "release", controller.Unit, problems);
        }
    }

    private void Check(VersionRule rule, string? text, string what, string unit, List<Problem> problems)
    {
        if (text is null || rule.Read(text, out Regex? slow) is not null)
        {
            return;
        }

        if (slow is not null)
        {
            problems.Add(new Problem(ProblemId.PatternTooSlow, $"A spelling of versions did not come to an end on the {what} '{Excerpt.Of(text)}' of unit {unit}: the pattern is '{Excerpt.Of(slow.ToString())}'.", "Write the pattern so that no part can match the same text in many ways.")
            { File = _context.Source, Target = unit });
        }
        else
        {
            problems.Add(new Problem(ProblemId.VersionUnreadable, $"The {what} '{Excerpt.Of(text)}' of unit {unit} is no version in any spelling of the dialect '{_dialect.Name}'.", "Add its spelling under 'versions' of the dialect.")
            { File = _context.Source, Target = unit });
        }
    }

    // A problem that names no unit, or one that did not come out, may be about any of them: what was misread may be the unit.
    private static int Count(string unit, HashSet<string> known, List<Problem> problems) =>
        problems.Count(problem => problem.Target is null || !known.Contains(problem.Target) || string.Equals(problem.Target, unit, StringComparison.OrdinalIgnoreCase));

    private static T Name<T>(string text)
        where T : struct => Names<T>.Known.TryGetValue(text, out T value) ? value : (T)Enum.Parse(typeof(T), text, ignoreCase: true);

    private static decimal? Watts(string? text) => text is null ? null : decimal.Parse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);

    private static class Names<T>
        where T : struct
    {
        public static readonly Dictionary<string, T> Known = Enum.GetValues(typeof(T)).Cast<T>().ToDictionary(value => value.ToString()!, StringComparer.Ordinal);
    }
}
