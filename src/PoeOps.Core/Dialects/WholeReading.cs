using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Finds what should have been read and was not. A row that never came is seen in no line; but it is missed where another block names its object,
/// where the units beside it have ports, or where power is drawn by nobody.
/// </summary>
internal sealed class WholeReading
{
    // As many ports are named in a sentence; the others are counted.
    private const int MostNamed = 10;

    private const string ReadAgain = "The row or the answer that tells it may be missing; read the device again.";

    private readonly bool _hasControllers;
    private readonly bool _hasPorts;
    private readonly Block? _condition;
    private readonly Block? _status;
    private readonly HashSet<string> _withPorts;

    /// <summary>Checks a reading.</summary>
    /// <param name="dialect">Says what there is to read, and what is required.</param>
    /// <param name="records">Everything that was read, what contradicts itself as well.</param>
    public WholeReading(Dialect dialect, IReadOnlyList<ReadRecord> records)
    {
        _hasControllers = dialect.Blocks.Any(block => block.Of == RecordKind.Controller);
        _hasPorts = dialect.Blocks.Any(block => block.Of == RecordKind.Port);
        _condition = Requiring(dialect, RecordKind.Controller, "Condition");
        _status = Requiring(dialect, RecordKind.Port, "Status");
        _withPorts = new(records.Where(record => record.Kind == RecordKind.Port).Select(record => record.Unit), StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Adds a problem for each thing that is missing, and for names that may be one.</summary>
    /// <param name="units">The units in natural order.</param>
    /// <param name="problems">Where problems are added.</param>
    public void Check(IReadOnlyList<UnitRead> units, List<Problem> problems)
    {
        foreach (UnitRead unit in units)
        {
            CheckController(unit, problems);
            CheckStatus(unit, problems);
            CheckPorts(unit, problems);
            CheckPortNames(unit, problems);
        }

        for (int i = 1; i < units.Count; i++)
        {
            CheckUnitNames(units[i - 1], units[i], problems);
        }
    }

    private static Block? Requiring(Dialect dialect, RecordKind kind, string property) =>
        dialect.Blocks.FirstOrDefault(block => block.Of == kind && block.Required.Contains(property));

    private void CheckController(UnitRead unit, List<Problem> problems)
    {
        if (unit.Record is null)
        {
            if (_hasControllers)
            {
                problems.Add(Told(ProblemId.RowIncomplete, $"Ports of unit {unit.Name} were read, and its controller was not.", ReadAgain, unit.Begun, unit.Name));
            }
        }
        else if (_condition is not null && unit.Record["Condition"] is null)
        {
            problems.Add(Told(ProblemId.RowIncomplete, $"Unit {unit.Name} came out without Condition, which the block '{_condition.Name}' requires.", ReadAgain, unit.Begun, unit.Name));
        }
    }

    private void CheckStatus(UnitRead unit, List<Problem> problems)
    {
        if (_status is null)
        {
            return;
        }

        List<ReadRecord>? without = null;
        foreach (ReadRecord port in unit.Ports)
        {
            if (port["Status"] is null)
            {
                (without ??= []).Add(port);
            }
        }

        if (without is not null)
        {
            problems.Add(Told(ProblemId.RowIncomplete, $"{Named(without)} came out without Status, which the block '{_status.Name}' requires.", ReadAgain, without[0].Begun, unit.Name));
        }
    }

    private static string Named(List<ReadRecord> ports)
    {
        string names = string.Join(", ", ports.Take(MostNamed).Select(port => $"{port.Unit}/{port.Port}"));
        string more = ports.Count > MostNamed ? $" and {(ports.Count - MostNamed).ToString(CultureInfo.InvariantCulture)} more" : string.Empty;
        return (ports.Count == 1 ? "Port " : "Ports ") + names + more;
    }

    private void CheckPorts(UnitRead unit, List<Problem> problems)
    {
        Controller controller = unit.Controller;
        if (!_hasPorts || controller.Condition == ControllerCondition.Absent || _withPorts.Contains(unit.Name))
        {
            return;
        }

        string? though = controller.DrawWatts > 0 ? $"it draws {Watts(controller.DrawWatts)} W"
            : controller.AllocatedWatts > 0 ? $"it has set {Watts(controller.AllocatedWatts)} W aside"
            : _withPorts.Count > 0 ? $"ports of unit {_withPorts.First()} were"
            : null;
        if (though is not null)
        {
            problems.Add(Told(ProblemId.PortsMissing, $"No port of unit {unit.Name} was read, though {though}.", "The answer that tells of its ports may be missing; read the device again.", unit.Begun, unit.Name));
        }
    }

    private static string Watts(decimal? watts) => watts!.Value.ToString(CultureInfo.InvariantCulture);

    // Names that differ in zeros have different lengths, which is soon seen.
    private static void CheckPortNames(UnitRead unit, List<Problem> problems)
    {
        IReadOnlyList<Port> ports = unit.Controller.Ports;
        for (int i = 1; i < ports.Count; i++)
        {
            (string first, string second) = (ports[i - 1].Name, ports[i].Name);
            if (first.Length != second.Length && NaturalOrder.AreOneButForZeros(first, second))
            {
                CaptureLine line = unit.Ports.First(port => port.Port == second).Begun;
                problems.Add(Told(ProblemId.ReadingsDisagree, $"The ports '{first}' and '{second}' of unit {unit.Name} differ in zeros alone.", SkipZeros("Port"), line, unit.Name));
            }
        }
    }

    private static void CheckUnitNames(UnitRead first, UnitRead second, List<Problem> problems)
    {
        if (NaturalOrder.AreOneButForZeros(first.Name, second.Name))
        {
            string sentence = $"The units '{first.Name}' and '{second.Name}' differ in zeros alone.";
            problems.Add(Told(ProblemId.ReadingsDisagree, sentence, SkipZeros("Unit"), first.Begun, first.Name));
            problems.Add(Told(ProblemId.ReadingsDisagree, sentence, SkipZeros("Unit"), second.Begun, second.Name));
        }
    }

    private static string SkipZeros(string group) => $@"If they are one, let every pattern skip the zeros, as 0*(?<{group}>\d+) does.";

    private static Problem Told(ProblemId id, string sentence, string advice, CaptureLine line, string unit) =>
        new(id, sentence, advice) { File = line.Source, Line = line.Number, Text = Excerpt.Of(line.Text), Target = unit };
}
