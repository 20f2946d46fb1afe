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

    private readonly IReadOnlyList<Problem> _cuts;
    private readonly UnitProblems _told;
    private readonly bool _hasControllers;
    private readonly bool _hasPorts;
    private readonly Block? _condition;
    private readonly Block? _status;
    private readonly HashSet<string> _withPorts;

    /// <summary>Checks a reading.</summary>
    /// <param name="dialect">Says what there is to read, and what is required.</param>
    /// <param name="records">Everything that was read, what contradicts itself as well.</param>
    /// <param name="cuts">The problems that say that the text stops: what is missing then is told by them, and counts for its units.</param>
    /// <param name="told">Where problems are added.</param>
    public WholeReading(Dialect dialect, IReadOnlyList<ReadRecord> records, IReadOnlyList<Problem> cuts, UnitProblems told)
    {
        _cuts = cuts;
        _told = told;
        _hasControllers = dialect.Blocks.Any(block => block.Of == RecordKind.Controller);
        _hasPorts = dialect.Blocks.Any(block => block.Of == RecordKind.Port);
        _condition = Requiring(dialect, RecordKind.Controller, "Condition");
        _status = Requiring(dialect, RecordKind.Port, "Status");
        _withPorts = new(records.Where(record => record.Kind == RecordKind.Port).Select(record => record.Unit), StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Adds a problem for each kind of thing that is missing, and for names that may be one.</summary>
    /// <param name="units">The units in natural order.</param>
    public void Check(IReadOnlyList<UnitRead> units)
    {
        CheckControllers([.. units.Where(unit => unit.Record is null && _hasControllers)]);
        CheckConditions([.. units.Where(unit => unit.Record is { } record && _condition is not null && record["Condition"] is null)]);
        CheckStatus(units);
        CheckPorts([.. units.Where(LacksPorts)]);
        foreach (UnitRead unit in units)
        {
            CheckPortNames(unit);
        }

        for (int i = 1; i < units.Count; i++)
        {
            CheckUnitNames(units[i - 1], units[i]);
        }
    }

    private static Block? Requiring(Dialect dialect, RecordKind kind, string property) =>
        dialect.Blocks.FirstOrDefault(block => block.Of == kind && block.Required.Contains(property));

    private void CheckControllers(IReadOnlyList<UnitRead> units)
    {
        string were = units.Count == 1 ? "its controller was not" : "their controllers were not";
        TellMissing(ProblemId.RowIncomplete, () => $"Ports of {UnitProblems.Named(units)} were read, and {were}.", ReadAgain, units);
    }

    private void CheckConditions(IReadOnlyList<UnitRead> units) =>
        TellMissing(ProblemId.RowIncomplete, () => $"{Capital(UnitProblems.Named(units))} came out without Condition, which the block '{_condition!.Name}' requires.", ReadAgain, units);

    private void CheckStatus(IReadOnlyList<UnitRead> units)
    {
        if (_status is null)
        {
            return;
        }

        List<ReadRecord> without = [];
        List<UnitRead> of = [];
        foreach (UnitRead unit in units)
        {
            int before = without.Count;
            foreach (ReadRecord port in unit.Ports)
            {
                if (port["Status"] is null)
                {
                    without.Add(port);
                }
            }

            if (without.Count > before)
            {
                of.Add(unit);
            }
        }

        TellMissing(ProblemId.RowIncomplete, () => $"{Named(without)} came out without Status, which the block '{_status.Name}' requires.", ReadAgain, of, without.FirstOrDefault()?.Begun);
    }

    private static string Named(List<ReadRecord> ports)
    {
        string names = string.Join(", ", ports.Take(MostNamed).Select(port => $"{port.Unit}/{port.Port}"));
        string more = ports.Count > MostNamed ? $" and {(ports.Count - MostNamed).ToString(CultureInfo.InvariantCulture)} more" : string.Empty;
        return (ports.Count == 1 ? "Port " : "Ports ") + names + more;
    }

    private bool LacksPorts(UnitRead unit) =>
        _hasPorts && unit.Controller.Condition != ControllerCondition.Absent && !_withPorts.Contains(unit.Name)
        && (_withPorts.Count > 0 || unit.Controller.DrawWatts > 0 || unit.Controller.AllocatedWatts > 0);

    private void CheckPorts(IReadOnlyList<UnitRead> units) =>
        TellMissing(ProblemId.PortsMissing, () => $"No port of {UnitProblems.Named(units)} was read, though {Sign(units)}.", "The answer that tells of its ports may be missing; read the device again.", units);

    // What shows that there are some.
    private string Sign(IReadOnlyList<UnitRead> units)
    {
        UnitRead? drawing = units.FirstOrDefault(unit => unit.Controller.DrawWatts > 0);
        UnitRead? keeping = units.FirstOrDefault(unit => unit.Controller.AllocatedWatts > 0);
        return drawing is not null ? $"{Subject(drawing, units)} draws {Watts(drawing.Controller.DrawWatts)} W"
            : keeping is not null ? $"{Subject(keeping, units)} has set {Watts(keeping.Controller.AllocatedWatts)} W aside"
            : $"ports of unit {_withPorts.First()} were";
    }

    private static string Subject(UnitRead unit, IReadOnlyList<UnitRead> units) => units.Count == 1 ? "it" : $"unit {unit.Name}";

    private static string Watts(decimal? watts) => watts!.Value.ToString(CultureInfo.InvariantCulture);

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text.Substring(1);

    private void TellMissing(ProblemId id, Func<string> sentence, string advice, IReadOnlyList<UnitRead> units, CaptureLine? line = null)
    {
        if (units.Count == 0)
        {
            return;
        }

        if (_cuts.Count > 0)
        {
            _told.CountFor(_cuts, units);
        }
        else
        {
            Tell(id, sentence(), advice, line ?? units[0].Begun, units);
        }
    }

    // Names that differ in zeros have different lengths, which is soon seen.
    private void CheckPortNames(UnitRead unit)
    {
        IReadOnlyList<Port> ports = unit.Controller.Ports;
        for (int i = 1; i < ports.Count; i++)
        {
            (string first, string second) = (ports[i - 1].Name, ports[i].Name);
            if (first.Length != second.Length && NaturalOrder.AreOneButForZeros(first, second))
            {
                CaptureLine line = unit.Ports.First(port => port.Port == second).Begun;
                Tell(ProblemId.ReadingsDisagree, $"The ports '{first}' and '{second}' of unit {unit.Name} differ in zeros alone.", SkipZeros("Port"), line, [unit]);
            }
        }
    }

    private void CheckUnitNames(UnitRead first, UnitRead second)
    {
        if (NaturalOrder.AreOneButForZeros(first.Name, second.Name))
        {
            Tell(ProblemId.ReadingsDisagree, $"The units '{first.Name}' and '{second.Name}' differ in zeros alone.", SkipZeros("Unit"), second.Begun, [first, second]);
        }
    }

    private static string SkipZeros(string group) => $@"If they are one, let every pattern skip the zeros, as 0*(?<{group}>\d+) does.";

    private void Tell(ProblemId id, string sentence, string advice, CaptureLine line, IReadOnlyList<UnitRead> units) =>
        _told.Add(new Problem(id, sentence, advice) { File = line.Source, Line = line.Number, Text = Excerpt.Of(line.Text) }, units);
}
