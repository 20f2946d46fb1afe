namespace PoeOps.Dialects;

/// <summary>A block that a draft guesses.</summary>
internal sealed class DraftBlock
{
    /// <summary>What reports call it.</summary>
    public string Name { get; set; } = string.Empty;

    /// <summary>What it tells of, or null where nobody can say.</summary>
    public RecordKind? Kind { get; set; }

    /// <summary>What it rests on.</summary>
    public string Why { get; set; } = string.Empty;

    /// <summary>The pattern of its first line, with what it fills by now.</summary>
    public Func<string> Begins { get; set; } = () => string.Empty;

    /// <summary>Patterns for its last line, the best first; empty for none.</summary>
    public List<string> Ends { get; } = [];

    /// <summary>What its last line rests on.</summary>
    public string EndsWhy { get; set; } = string.Empty;

    /// <summary>A pattern for its header where another line begins it, or null.</summary>
    public string? Header { get; set; }

    /// <summary>A pattern for its ruler, or null.</summary>
    public string? Ruler { get; set; }

    /// <summary>True where its lines make one record.</summary>
    public bool OneRecord { get; set; }

    /// <summary>Its columns or names, in order; in a block of one record that its first line fills, that one first.</summary>
    public List<DraftField> Fields { get; } = [];

    /// <summary>The patterns of its rows.</summary>
    public Func<IEnumerable<string>> Rows { get; set; } = () => [];

    /// <summary>Lines that a row must read, and what it must fill.</summary>
    public List<(DraftLine Line, Func<string> Fields)> Expected { get; } = [];

    /// <summary>Why it is left in comments; null where it is read.</summary>
    public string? WhyNot { get; set; }

    /// <summary>Takes away guesses that cannot be, and says why the block cannot be read where nothing is left.</summary>
    public void Settle()
    {
        foreach (IGrouping<string, DraftField> twice in Fields.Where(field => field.Property is not null).GroupBy(field => field.Property!, StringComparer.Ordinal).Where(one => one.Count() > 1).ToList())
        {
            foreach (DraftField field in twice)
            {
                field.Drop($"it could fill {twice.Key}, and so could another");
            }
        }

        HashSet<string> filled = new(Fields.Select(field => field.Property).OfType<string>(), StringComparer.Ordinal);
        bool keyed = Kind == RecordKind.Switch || (Kind == RecordKind.Controller && filled.Contains("Unit")) || filled.Contains("PortName") || (filled.Contains("Unit") && filled.Contains("Port"));
        bool tells = filled.Any(name => name is not "Unit" and not "Port" and not "PortName" and not "Host");
        WhyNot ??= Kind is null || !keyed ? "no unit or port is named that it could be about" : !tells ? "nothing that it tells could be guessed" : null;
    }
}

/// <summary>A column or a name of a block.</summary>
internal sealed class DraftField
{
    private const int MostValues = 200;

    private readonly HashSet<string> _values = new(StringComparer.Ordinal);

    /// <summary>Takes its name.</summary>
    public DraftField(string name, string? property) => (Name, Property) = (name, property);

    /// <summary>What the device calls it.</summary>
    public string Name { get; }

    /// <summary>What the guess rests on.</summary>
    public string Reason { get; init; } = "by its name";

    /// <summary>What it is guessed to fill, or null.</summary>
    public string? Property { get; set; }

    /// <summary>The unit that its name says, or null.</summary>
    public string? Unit => Property is not null && RecordProperties.IsWatts(Property) ? DraftWords.UnitIn(Name) : null;

    /// <summary>Why it fills nothing though it could; or null.</summary>
    public string? Dropped { get; private set; }

    /// <summary>Different values that were seen, up to a bound.</summary>
    public IReadOnlyCollection<string> Values => _values;

    /// <summary>Takes a value.</summary>
    public void See(string value)
    {
        if (_values.Count < MostValues)
        {
            _values.Add(value.Trim());
        }
    }

    /// <summary>Lets it fill nothing.</summary>
    public void Drop(string why) => (Property, Dropped) = (null, why);
}
