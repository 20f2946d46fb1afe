using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>A part of an answer: where it begins and ends, and how its lines are read. A named group is the name of the property that it fills.</summary>
public sealed record Block
{
    /// <summary>What the block is called in a report.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>What its rows tell of.</summary>
    public RecordKind Of { get; init; }

    /// <summary>Its first line. Groups hand their values down to every row of the block.</summary>
    public IReadOnlyList<Regex> Begins { get; init; } = [];

    /// <summary>Its last line; where empty, the block ends at the first blank line, prompt, or beginning of another block.</summary>
    public IReadOnlyList<Regex> Ends { get; init; } = [];

    /// <summary>How a row is read, the first that fits. A row of several lines has several patterns, one a line.</summary>
    public IReadOnlyList<RowPattern> Rows { get; init; } = [];

    /// <summary>True where all lines of the block together make one record (name and value on each), false where each row makes its own.</summary>
    public bool OneRecord { get; init; }

    /// <summary>Properties that every record of the block must have; a record without one is reported and left out.</summary>
    public IReadOnlyList<string> Required { get; init; } = [];

    /// <summary>Values that the device does not print because they are always the same, such as the unit of a switch that has only one.</summary>
    public IReadOnlyDictionary<string, string> Fixed { get; init; } = new Dictionary<string, string>(StringComparer.Ordinal);

    /// <summary>Lines of the block that carry nothing.</summary>
    public IReadOnlyList<IgnoreRule> Ignore { get; init; } = [];

    /// <summary>The columns at which its rows are cut, in place of <see cref="Rows"/>; none where patterns read them.</summary>
    public IReadOnlyList<Column> Columns { get; init; } = [];

    /// <summary>The line whose words give the places of <see cref="Columns"/>; where empty, the first line of the block does.</summary>
    public IReadOnlyList<Regex> Header { get; init; } = [];

    /// <summary>How wide the screen is, in characters, at which the device breaks its lines; null where it breaks none.</summary>
    public int? Wrap { get; init; }

    /// <summary>True where lines are broken at the width that a line of the console said last.</summary>
    public bool WrapsAtScreen { get; init; }

    /// <summary>How it finds its rows in an answer that is JSON, in place of patterns; null where the answer is lines.</summary>
    public JsonRule? Json { get; init; }
}

/// <summary>A row: one pattern for each of its lines.</summary>
/// <param name="Name">What the rule is called in a report.</param>
/// <param name="Lines">One pattern for each line of the row, in order; most rows have one.</param>
public sealed record RowPattern(string Name, IReadOnlyList<Regex> Lines);

/// <summary>What a record tells of.</summary>
public enum RecordKind
{
    /// <summary>The switch as a whole: its release.</summary>
    Switch,
    /// <summary>A unit and its controller.</summary>
    Controller,
    /// <summary>A PSE port.</summary>
    Port,
}
