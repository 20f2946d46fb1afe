using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>A block whose end has not come yet: what its first line handed down, and in a block of one record what its lines gave.</summary>
internal sealed class OpenBlock
{
    /// <summary>Opens a block at its first line.</summary>
    public OpenBlock(Block block, CaptureLine begun)
    {
        Block = block;
        Begun = begun;
        Needed = [.. RecordProperties.Keys(block.Of).Concat(block.Required).Where(property => property != "PortName").Distinct(StringComparer.Ordinal)];
        foreach (KeyValuePair<string, string> value in block.Fixed)
        {
            Texts.Assume(value.Key, value.Value);
        }

        if (begun.Unit is { } asked && block.Of != RecordKind.Switch && !block.Fixed.ContainsKey("Unit"))
        {
            Texts.Assume("Unit", asked);
        }

        if (begun.Port is { } port && block.Of == RecordKind.Port && !block.Fixed.ContainsKey("Port"))
        {
            Texts.Assume("Port", port);
        }
    }

    /// <summary>The block.</summary>
    public Block Block { get; }

    /// <summary>Its first line.</summary>
    public CaptureLine Begun { get; }

    /// <summary>Properties without which a record of it is not whole: those that say what it belongs to, and the required ones.</summary>
    public IReadOnlyList<string> Needed { get; }

    /// <summary>Where its columns stand, once the header was read that says so; else null.</summary>
    public ColumnLayout? Layout { get; set; }

    /// <summary>Why the line that was just tried does not stand in the columns, or null where it does.</summary>
    public string? Misfit { get; set; }

    /// <summary>True once a row of it was read.</summary>
    public bool HasRows { get; set; }

    /// <summary>A row of several lines that has begun, or null.</summary>
    public OpenRow? Row { get; set; }

    /// <summary>True once a row was lost that belongs to the one record of the block, which is then not whole.</summary>
    public bool Torn { get; set; }

    /// <summary>True once it was told that the text stops within the block, which its missing end would only tell again.</summary>
    public bool IsCutTold { get; set; }

    /// <summary>How many different records its rows gave.</summary>
    public int Given { get; set; }

    /// <summary>How many the block itself says that there are, as it stood, and where; empty where it says nothing.</summary>
    public IReadOnlyList<GatheredText> Told { get; private set; } = [];

    /// <summary>What the block has handed down or gathered.</summary>
    public GatheredTexts Texts { get; } = new();

    /// <summary>The unit that the block is about as a whole, or null.</summary>
    public string? Unit => Texts["Unit"]?.Trim();

    /// <summary>Opens a block at a line that one of its beginnings matched.</summary>
    public static OpenBlock At(Block block, Regex begin, Match match, CaptureLine line)
    {
        var open = new OpenBlock(block, line);
        open.Take(begin, match, line);
        return open;
    }

    /// <summary>Takes its first or last line.</summary>
    public void Take(Regex pattern, Match match, CaptureLine line)
    {
        Texts.Take(pattern, match, line);
        foreach (NamedGroup group in GroupNames.In(pattern))
        {
            if (group.Counts && match.Groups[group.Number] is { Success: true } part)
            {
                Told = [.. Told, new GatheredText(group.Name, part.Value.Trim(), line)];
            }
        }
    }

    /// <summary>True where a line that begins such a block says nothing other than this one's first line.</summary>
    public bool BeganWith(Regex begin, Match match)
    {
        foreach (NamedGroup group in GroupNames.In(begin))
        {
            Group part = match.Groups[group.Number];
            bool same = group.Counts ? Told.Any(told => told.Text == part.Value.Trim()) : Texts[group.Name] == part.Value;
            if (part.Success && !same)
            {
                return false;
            }
        }

        return true;
    }
}

/// <summary>A row of one or several lines, as far as it has come.</summary>
internal sealed class OpenRow
{
    private readonly List<CaptureLine> _lines = new(1);

    /// <summary>Begins a row.</summary>
    public OpenRow(RowPattern pattern, CaptureLine begun)
    {
        Pattern = pattern;
        Begun = begun;
    }

    /// <summary>Begins another row in the place of one that is done with.</summary>
    public OpenRow Anew(RowPattern pattern, CaptureLine begun)
    {
        Pattern = pattern;
        Begun = begun;
        _lines.Clear();
        Texts.Clear();
        return this;
    }

    /// <summary>How the row is read.</summary>
    public RowPattern Pattern { get; private set; }

    /// <summary>Its first line.</summary>
    public CaptureLine Begun { get; private set; }

    /// <summary>The lines that have come.</summary>
    public IReadOnlyList<CaptureLine> Lines => _lines;

    /// <summary>How many of its lines have come.</summary>
    public int Taken => _lines.Count;

    /// <summary>True once all have.</summary>
    public bool IsWhole => Taken == Pattern.Lines.Count;

    /// <summary>The pattern of the line that must come next.</summary>
    public Regex Next => Pattern.Lines[Taken];

    /// <summary>What its lines gave.</summary>
    public GatheredTexts Texts { get; } = new();

    /// <summary>Takes the next line.</summary>
    public void Take(Match match, CaptureLine line)
    {
        Texts.Take(Next, match, line);
        _lines.Add(line);
    }

    /// <summary>The same lines as a row of another pattern, or null where they are none.</summary>
    public OpenRow? Instead(RowPattern pattern, PatternTries tries)
    {
        var row = new OpenRow(pattern, Begun);
        foreach (CaptureLine line in _lines)
        {
            if (tries.Try(row.Next, line.Text, out _) is not { } match)
            {
                return null;
            }

            row.Take(match, line);
        }

        return row;
    }
}
