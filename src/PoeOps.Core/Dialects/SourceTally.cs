namespace PoeOps.Dialects;

/// <summary>What became of the lines of one file or answer, counted.</summary>
internal sealed class SourceTally
{
    /// <summary>Counts from zero.</summary>
    /// <param name="source">The file or answer.</param>
    public SourceTally(string source) => Source = source;

    /// <summary>The file or answer.</summary>
    public string Source { get; }

    /// <summary>How many lines it has; lines that could not be made out are not among them.</summary>
    public int Lines { get; set; }

    /// <summary>How many of them were written over from their start.</summary>
    public int Overwritten { get; set; }

    /// <summary>How many a block read.</summary>
    public int Read { get; set; }

    /// <summary>How many a rule ignores, or are prompts.</summary>
    public int Known { get; set; }

    /// <summary>How many nobody read.</summary>
    public int Unread { get; set; }

    /// <summary>True once a pattern came to no end on one of them: nobody knows then what they are.</summary>
    public bool Slow { get; set; }

    /// <summary>True once JSON stood there in which a block finds its rows, or which cannot be read, as has been told: no sign of another family.</summary>
    public bool Json { get; set; }

    /// <summary>All together, of a text that is one.</summary>
    public static SourceTally Sum(string source, IReadOnlyList<SourceTally> tallies) => new(source)
    {
        Lines = tallies.Sum(one => one.Lines),
        Overwritten = tallies.Sum(one => one.Overwritten),
        Read = tallies.Sum(one => one.Read),
        Known = tallies.Sum(one => one.Known),
        Unread = tallies.Sum(one => one.Unread),
        Slow = tallies.Any(one => one.Slow),
        Json = tallies.Any(one => one.Json),
    };
}
