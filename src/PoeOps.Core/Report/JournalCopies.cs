namespace PoeOps.Report;

/// <summary>Tells journals apart from their copies: of several that hold the same entries from the first on, the longest counts.</summary>
internal sealed class JournalCopies
{
    private readonly Dictionary<JournalSource, JournalSource> _copies = [];

    /// <summary>Looks at journals.</summary>
    /// <param name="journals">The journals.</param>
    public JournalCopies(IReadOnlyList<JournalSource> journals)
    {
        List<JournalSource> whole = [];
        foreach (JournalSource journal in journals.OrderByDescending(journal => journal.Reading.Entries.Count).ThenByDescending(journal => journal.Reading.ChainHolds).ThenBy(journal => journal.Path, StringComparer.Ordinal))
        {
            if (whole.FirstOrDefault(longer => Begins(longer, journal)) is { } original)
            {
                _copies[journal] = original;
            }
            else
            {
                whole.Add(journal);
            }
        }

        Counted = [.. journals.Where(journal => !_copies.ContainsKey(journal))];
    }

    /// <summary>The journals that count, in the order in which they were given.</summary>
    public IReadOnlyList<JournalSource> Counted { get; }

    /// <summary>The journal of which another is a copy; null where it is none.</summary>
    /// <param name="journal">The other.</param>
    public JournalSource? OriginalOf(JournalSource journal) => _copies.TryGetValue(journal, out JournalSource? original) ? original : null;

    /// <summary>The journals by which a report must be doubted where their chains do not hold: not a copy that is only shorter, or was cut in a line.</summary>
    /// <param name="journals">The journals.</param>
    public IReadOnlyList<JournalSource> Relied(IReadOnlyList<JournalSource> journals) =>
        [.. journals.Where(journal => OriginalOf(journal) is null || journal.Reading.Problems.Any(problem => problem.Id != ProblemId.JournalTorn))];

    /// <summary>What should be known of the copies, a sentence each.</summary>
    public IEnumerable<string> Cautions => _copies.OrderBy(copy => copy.Key.Path, StringComparer.Ordinal).Select(copy =>
        $"'{Path.GetFileName(copy.Key.Path)}' is a copy of '{Path.GetFileName(copy.Value.Path)}' with {ReportText.Number(copy.Key.Reading.Entries.Count)} of its {ReportText.Count(copy.Value.Reading.Entries.Count, "entry").Replace("entrys", "entries")}; that one counts.");

    // An entry's digest covers the one before it, so that equal digests are equal entries.
    private static bool Begins(JournalSource longer, JournalSource shorter) =>
        shorter.Reading.Entries.Count > 0 && shorter.Reading.Entries.Select((entry, at) => entry.Sha256.Length > 0 && entry.Sha256 == longer.Reading.Entries[at].Sha256).All(same => same);
}
