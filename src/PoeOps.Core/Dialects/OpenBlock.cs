using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>A block whose end has not come yet: what its first line handed down, and in a block of one record what its lines gave.</summary>
internal sealed class OpenBlock
{
    private readonly Dictionary<string, string> _values = new(StringComparer.Ordinal);

    /// <summary>Opens a block at its first line.</summary>
    public OpenBlock(Block block, CaptureLine begun)
    {
        Block = block;
        Begun = begun;
        foreach (KeyValuePair<string, string> value in block.Fixed)
        {
            _values[value.Key] = value.Value;
        }

        if (begun.Unit is { } asked && !_values.ContainsKey("Unit"))
        {
            _values["Unit"] = asked;
        }
    }

    /// <summary>The block.</summary>
    public Block Block { get; }

    /// <summary>Its first line.</summary>
    public CaptureLine Begun { get; }

    /// <summary>A row of several lines that has begun, or null.</summary>
    public OpenRow? Row { get; set; }

    /// <summary>The unit that the block is about as a whole, or null.</summary>
    public string? Unit => _values.TryGetValue("Unit", out string? unit) ? unit.Trim() : null;

    /// <summary>What the block has handed down or gathered.</summary>
    public IReadOnlyDictionary<string, string> Values => _values;

    /// <summary>Takes what a line of the block gave.</summary>
    public void Take(Regex pattern, Match match) => OpenRow.Copy(pattern, match, _values);

    /// <summary>Takes what a row of a block of one record gave.</summary>
    public void Take(OpenRow row)
    {
        foreach (KeyValuePair<string, string> value in row.Values)
        {
            _values[value.Key] = value.Value;
        }
    }

    /// <summary>What was handed down and what a row gave; the row's own word counts.</summary>
    public IReadOnlyDictionary<string, string> With(OpenRow row)
    {
        Dictionary<string, string> all = new(_values, StringComparer.Ordinal);
        foreach (KeyValuePair<string, string> value in row.Values)
        {
            all[value.Key] = value.Value;
        }

        return all;
    }
}

/// <summary>A row of one or several lines, as far as it has come.</summary>
internal sealed class OpenRow
{
    private readonly Dictionary<string, string> _values = new(StringComparer.Ordinal);

    /// <summary>Begins a row.</summary>
    public OpenRow(RowPattern pattern, CaptureLine begun)
    {
        Pattern = pattern;
        Begun = begun;
    }

    /// <summary>How the row is read.</summary>
    public RowPattern Pattern { get; }

    /// <summary>Its first line.</summary>
    public CaptureLine Begun { get; }

    /// <summary>How many of its lines have come.</summary>
    public int Taken { get; private set; }

    /// <summary>True once all have.</summary>
    public bool IsWhole => Taken == Pattern.Lines.Count;

    /// <summary>The pattern of the line that must come next.</summary>
    public Regex Next => Pattern.Lines[Taken];

    /// <summary>What its lines gave.</summary>
    public IReadOnlyDictionary<string, string> Values => _values;

    /// <summary>Takes the next line.</summary>
    public void Take(Match match)
    {
        Copy(Next, match, _values);
        Taken++;
    }

    /// <summary>Copies the named groups that took part in a match.</summary>
    public static void Copy(Regex pattern, Match match, IDictionary<string, string> values)
    {
        foreach (string name in GroupNames.Of(pattern))
        {
            if (match.Groups[name] is { Success: true } group)
            {
                values[name] = group.Value;
            }
        }
    }
}
