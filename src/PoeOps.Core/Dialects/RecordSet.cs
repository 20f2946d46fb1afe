using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>The records of a reading by their keys. Several blocks may fill one record; they must not contradict each other.</summary>
internal sealed class RecordSet
{
    private readonly Dictionary<(RecordKind, string, string), ReadRecord> _records = new(new KeyComparer());
    private readonly List<ReadRecord> _order = [];
    private readonly Dialect _dialect;

    /// <summary>Keeps the records of a reading.</summary>
    /// <param name="dialect">Says which versions are one.</param>
    public RecordSet(Dialect dialect) => _dialect = dialect;

    /// <summary>All records that were filled, in order of their first line.</summary>
    public IReadOnlyList<ReadRecord> All => _order;

    /// <summary>Adds values to a record.</summary>
    /// <param name="kind">What the record tells of.</param>
    /// <param name="values">Property names and values; null for blank.</param>
    /// <param name="within">The open block: within one, not even a draw may be told twice and differently.</param>
    /// <param name="contradiction">What contradicts an earlier line, or null.</param>
    /// <returns>The record.</returns>
    public ReadRecord Add(RecordKind kind, IReadOnlyList<ReadValue> values, OpenBlock within, out Problem? contradiction)
    {
        string unit = kind == RecordKind.Switch ? string.Empty : RowReader.ValueOf(values, "Unit")!;
        string port = kind == RecordKind.Port ? RowReader.ValueOf(values, "Port")! : string.Empty;
        if (!_records.TryGetValue((kind, unit, port), out ReadRecord? record))
        {
            record = new ReadRecord(_dialect, kind, unit, port);
            _records.Add((kind, unit, port), record);
            _order.Add(record);
        }

        // A row that is printed again on the next page is no other record; a switch is always the same.
        within.Given += kind == RecordKind.Switch || !record.WasLastFilledIn(within) ? 1 : 0;
        contradiction = record.Fill(values, within);
        return record;
    }

    private sealed class KeyComparer : IEqualityComparer<(RecordKind Kind, string Unit, string Port)>
    {
        public bool Equals((RecordKind Kind, string Unit, string Port) x, (RecordKind Kind, string Unit, string Port) y) =>
            x.Kind == y.Kind && StringComparer.OrdinalIgnoreCase.Equals(x.Unit, y.Unit) && StringComparer.OrdinalIgnoreCase.Equals(x.Port, y.Port);

        public int GetHashCode((RecordKind Kind, string Unit, string Port) key) =>
            (StringComparer.OrdinalIgnoreCase.GetHashCode(key.Unit) * 397) ^ StringComparer.OrdinalIgnoreCase.GetHashCode(key.Port) ^ (int)key.Kind;
    }
}

/// <summary>One record: what the lines of a text said of one switch, controller or port.</summary>
internal sealed class ReadRecord
{
    // What a PD draws moves between two answers; of two readings the later one holds.
    private static readonly string[] Moving = ["DrawWatts", "AllocatedWatts", "AllocatedPdWatts", "AllocatedBy"];

    private readonly Dialect _dialect;
    private readonly List<ReadValue> _values = [];
    private object? _lastWithin;

    /// <summary>Makes an empty record.</summary>
    public ReadRecord(Dialect dialect, RecordKind kind, string unit, string port)
    {
        _dialect = dialect;
        Kind = kind;
        Unit = unit;
        Port = port;
    }

    /// <summary>What it tells of.</summary>
    public RecordKind Kind { get; }

    /// <summary>The unit's name; empty for a switch.</summary>
    public string Unit { get; }

    /// <summary>The port's name within the unit; empty for others.</summary>
    public string Port { get; }

    /// <summary>True once two places said different things, or a percentage is of nothing that was read: it is left out.</summary>
    public bool Contradicted { get; private set; }

    /// <summary>A percentage and an amount that two places gave for one property: whether they say the same can be told once all is read.</summary>
    public IReadOnlyList<(ReadValue Earlier, ReadValue Here)> Undecided { get; private set; } = [];

    /// <summary>All values, in the order of their first lines.</summary>
    public IReadOnlyList<ReadValue> Values => _values;

    /// <summary>What it is, for a report.</summary>
    public string Label => Kind switch
    {
        RecordKind.Switch => "switch",
        RecordKind.Controller => $"controller {Unit}",
        _ => $"port {Unit}/{Port}",
    };

    /// <summary>A value, or null where nothing was said.</summary>
    public string? this[string property] => Find(property) is >= 0 and int at ? _values[at].Value : null;

    /// <summary>Its first line.</summary>
    public CaptureLine Begun => _values[0].Line;

    /// <summary>The line that gave a property, or null where nothing was said.</summary>
    public CaptureLine? LineOf(string property) => Find(property) is >= 0 and int at ? _values[at].Line : null;

    /// <summary>True where the last values came from that block.</summary>
    public bool WasLastFilledIn(OpenBlock block) => ReferenceEquals(_lastWithin, block);

    /// <summary>Adds values; says so where one contradicts an earlier one.</summary>
    public Problem? Fill(IReadOnlyList<ReadValue> values, OpenBlock within)
    {
        Problem? problem = null;
        bool sameBlock = ReferenceEquals(_lastWithin, within);
        _lastWithin = within;
        _values.Capacity = Math.Max(_values.Capacity, values.Count);
        for (int i = 0; i < values.Count; i++)
        {
            ReadValue value = values[i];
            if (value.Value is null)
            {
                continue;
            }

            int at = Find(value.Property);
            if (at < 0)
            {
                _values.Add(value);
                continue;
            }

            ReadValue earlier = _values[at];
            if (Contradicts(value.Property, value.Value, earlier.Value!, sameBlock))
            {
                if (IsSameVersion(value.Property, value.Value, earlier.Value!))
                {
                    continue;
                }

                if (RecordProperties.IsWatts(value.Property) && AmountText.IsPercentage(value.Value) != AmountText.IsPercentage(earlier.Value!))
                {
                    Undecided = [.. Undecided, (earlier, value)];
                }
                else
                {
                    problem ??= Disagreeing(earlier, value);
                }
            }

            _values[at] = value;
        }

        return problem;
    }

    /// <summary>Gives a property another value, of the same line.</summary>
    public void Put(string property, string value)
    {
        int at = Find(property);
        _values[at] = _values[at] with { Value = value };
    }

    /// <summary>Leaves the record out, for one of its values is of nothing that was read.</summary>
    public void LeaveOut() => Contradicted = true;

    /// <summary>Leaves the record out, for two places give one property different values.</summary>
    public Problem Disagreeing(ReadValue earlier, ReadValue here)
    {
        Contradicted = true;
        return new Problem(
            ProblemId.ReadingsDisagree, $"{here.Property} of {Label} is '{Excerpt.Of(here.Value)}' here and '{Excerpt.Of(earlier.Value)}' {earlier.Line.SeenFrom(here.Line)}.",
            "Ask the device again; where it really prints both, correct the dialect.")
        { File = here.Line.Source, Line = here.Line.Number, Text = Excerpt.Of(here.Line.Text), Target = Kind == RecordKind.Switch ? null : Unit };
    }

    private int Find(string property)
    {
        for (int i = 0; i < _values.Count; i++)
        {
            if (string.Equals(_values[i].Property, property, StringComparison.Ordinal))
            {
                return i;
            }
        }

        return -1;
    }

    // Of two spellings of one version the first holds.
    private bool IsSameVersion(string property, string value, string earlier) =>
        (property is "Firmware" ? _dialect.Firmware : property is "Release" ? _dialect.Release : null) is { } rule
        && rule.Read(value, out _) is { } version && version == rule.Read(earlier, out _);

    // Two words of one meaning, such as 'ok' and 'good', are no contradiction.
    private static bool Contradicts(string property, string value, string earlier, bool sameBlock) =>
        property != "ConditionText" && (sameBlock || !Moving.Contains(property)) && !string.Equals(earlier, value, StringComparison.OrdinalIgnoreCase);
}

/// <summary>The value of a property.</summary>
/// <param name="Property">The property's name.</param>
/// <param name="Value">The value in its normal spelling; null for blank.</param>
/// <param name="Line">The line that gave it.</param>
internal readonly record struct ReadValue(string Property, string? Value, CaptureLine Line);
