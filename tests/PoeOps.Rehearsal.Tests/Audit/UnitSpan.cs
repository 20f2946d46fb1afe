using System.Globalization;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>A unit from its Begin to its End, as one journal tells it.</summary>
/// <param name="Journal">Which journal.</param>
/// <param name="Run">Which run of it.</param>
/// <param name="Begin">The entry.</param>
internal sealed record UnitSpan(int Journal, int Run, JournalEntry Begin)
{
    /// <summary>The unit as its id prints.</summary>
    public string Unit => Begin.Unit;

    /// <summary>Its switch.</summary>
    public string Switch => UnitId.Parse(Begin.Unit).Switch;

    /// <summary>The gates that were open, since the unit was looked at the last time in this run.</summary>
    public IReadOnlyList<JournalEntry> Gates { get; init; } = [];

    /// <summary>What was written of the unit in between.</summary>
    public List<JournalEntry> Within { get; } = [];

    /// <summary>Null where the run broke off, or the journal could not be written any more.</summary>
    public JournalEntry? End { get; set; }

    /// <summary>When nothing more of this span can be: its end, or the beginning of the journal's next run.</summary>
    public DateTime Until { get; set; } = DateTime.MaxValue;

    /// <summary>How it ended; null where that is not written.</summary>
    public StageOutcome? Outcome => End is null ? null : Enum.Parse<StageOutcome>(Fact(End, "outcome"));

    /// <summary>True where entries are missing, as the journal says.</summary>
    public bool HasGap => Within.Exists(entry => Fact(entry, "unwritten").Length > 0);

    /// <summary>What an entry says under a name; empty where it says nothing.</summary>
    public static string Fact(JournalEntry entry, string name) => entry.Facts.TryGetValue(name, out string? value) ? value : string.Empty;

    /// <summary>The same as a number; null where it is none.</summary>
    public static double? Number(JournalEntry entry, string name) =>
        double.TryParse(Fact(entry, name), NumberStyles.Float, CultureInfo.InvariantCulture, out double number) ? number : null;

    /// <summary>The gate of an id, where it was open.</summary>
    public JournalEntry? Gate(string id) => Gates.LastOrDefault(gate => Fact(gate, "gate") == id && Fact(gate, "passed") == "true");

    /// <inheritdoc/>
    public override string ToString() => $"{Unit} of line {Begin.Line} in journal {Journal + 1}";
}
