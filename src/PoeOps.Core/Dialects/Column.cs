namespace PoeOps.Dialects;

/// <summary>A column of a table whose rows are cut where the words of its header stand.</summary>
/// <param name="Header">The column's words in the header, exactly as they are printed; they may hold spaces.</param>
/// <param name="Property">The property that its values fill, or null for a column that nobody wants.</param>
/// <param name="Align">On which side its values stand beneath the header.</param>
public sealed record Column(string Header, string? Property, ColumnAlign Align);

/// <summary>On which side of a column its values stand.</summary>
public enum ColumnAlign
{
    /// <summary>They begin where the words of the header begin.</summary>
    Left,
    /// <summary>They end where the words of the header end.</summary>
    Right,
}
