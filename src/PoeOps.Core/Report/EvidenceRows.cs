using PoeOps.Journal;

namespace PoeOps.Report;

/// <summary>What a report rests on: journals, images, transcripts.</summary>
internal static class EvidenceRows
{
    /// <summary>Makes the row of a journal.</summary>
    public static Func<JournalSource, JournalSummary> Of(RefreshStories stories) => journal => new JournalSummary
    {
        Path = journal.Path,
        Sha256 = journal.Sha256,
        Entries = journal.Reading.Entries.Count,
        ChainHolds = journal.Reading.ChainHolds,
        ChainState = StateOf(journal.Reading),
        LastDigest = journal.Reading.Entries.Count == 0 ? string.Empty : journal.Reading.Entries[journal.Reading.Entries.Count - 1].Sha256,
        Runs = stories.RunsOf(journal),
    };

    /// <summary>The images, each once by name and digest.</summary>
    public static IReadOnlyList<ImageSummary> Images(IReadOnlyList<UnitRow> rows) =>
    [
        .. rows.Where(row => row.Summary.ImageFile.Length > 0)
            .Select(row => new ImageSummary
            {
                File = row.Summary.ImageFile,
                Bytes = row.Story is { HasBegun: true, Bytes: > 0 } story ? story.Bytes : row.Planned?.ImageBytes ?? 0,
                PlannedSha256 = row.Planned?.ImageSha256 ?? string.Empty,
                BegunSha256 = row.Story?.Begun("sha256") ?? string.Empty,
            })
            .GroupBy(image => (image.File, image.Bytes, image.PlannedSha256))
            .OrderBy(images => images.Key.File, StringComparer.Ordinal)
            .SelectMany(images => Begun([.. images])),
    ];

    /// <summary>The transcripts that journals name. Each is looked for beside its journal alone: what a journal names may lie anywhere.</summary>
    public static IReadOnlyList<TranscriptSummary> Transcripts(IReadOnlyList<UnitRow> rows, IReadOnlyList<JournalSource> journals)
    {
        string[] folders = [.. journals.Select(journal => Folder(journal.Path)).Distinct(StringComparer.Ordinal)];
        return
        [
            .. rows.Where(row => row.Story?.Begun("transcript").Length > 0).GroupBy(row => row.Story!.Begun("transcript"), StringComparer.Ordinal).Select(transcript =>
            {
                (long Bytes, string Sha256)? found = folders.Select(folder => Beside(folder, transcript.Key)).FirstOrDefault(one => one is not null);
                return new TranscriptSummary
                {
                    Path = transcript.Key,
                    Units = [.. transcript.Select(row => row.Summary.UnitId).Distinct(StringComparer.OrdinalIgnoreCase)],
                    Bytes = found?.Bytes,
                    Sha256 = found?.Sha256 ?? string.Empty,
                };
            }),
        ];
    }

    // Units that were not begun say no digest; where others were begun with the image, it is told with theirs.
    private static IEnumerable<ImageSummary> Begun(ImageSummary[] images)
    {
        IGrouping<string, ImageSummary>[] begun = [.. images.Where(image => image.BegunSha256.Length > 0).GroupBy(image => image.BegunSha256)];
        return begun.Length == 0 ? [images[0]] : begun.Select(same => same.First() with { Units = same.Count() });
    }

    private static (long Bytes, string Sha256)? Beside(string folder, string path)
    {
        string name = path.Substring(path.LastIndexOfAny(['/', '\\']) + 1);
        return name.Length == 0 || name.IndexOfAny(Path.GetInvalidFileNameChars()) >= 0 || !File.Exists(Path.Combine(folder, name)) ? null : JournalSource.Digest(Path.Combine(folder, name));
    }

    private static string Folder(string journal) => Path.GetDirectoryName(Path.GetFullPath(journal)) ?? string.Empty;

    private static string StateOf(JournalReading reading) => reading switch
    {
        { Entries.Count: 0 } => "It holds no entry that can be read.",
        { ChainHolds: false } => $"The chain does not hold: {reading.Problems[0].Sentence}",
        { OpenRunLine: { } line } => $"The chain holds as far as it goes, and the run that began in line {ReportText.Number(line)} has not ended: it is under way, it broke off, or lines at the end were taken away.",
        _ => "The chain holds: every line is there, unchanged and in order.",
    };
}
