namespace PoeOps.Report;

/// <summary>The tables of what a report rests on.</summary>
internal static class EvidenceTables
{
    /// <summary>Makes them.</summary>
    public static IReadOnlyList<ReportTable> Of(RunSummary summary) => [Journals(summary), Runs(summary), Images(summary), Transcripts(summary)];

    private static ReportTable Journals(RunSummary summary) => new(
        "journals", "Journals", "Each journal with the state of its chain; note the digest of its last entry elsewhere, and lines taken from its end are seen", "None was given.",
        ReportTable.Of("Journal", "#Entries", "~Chain", "SHA-256 of the file", "Digest of the last entry"),
        [.. summary.Journals.Select(journal => (IReadOnlyList<string>)[journal.Path, ReportText.Number(journal.Entries), journal.ChainState + (journal.CopyOf.Length > 0 ? $" A copy of '{Path.GetFileName(journal.CopyOf)}', which counts in its place." : string.Empty), ReportText.Of(journal.Sha256), ReportText.Of(journal.LastDigest)])]);

    private static ReportTable Runs(RunSummary summary) => new(
        "runs", "Runs", "Each use of a plan, by what it said of itself", "None.",
        ReportTable.Of("Journal", "#Line", "Began", "Ended", "~Because", "Machine", "Account", "Attended", "#Speed", "Plan", "Fingerprint of the plan"),
        [
            .. summary.Journals.SelectMany(journal => journal.Runs.Select(run => (IReadOnlyList<string>)
            [
                Path.GetFileName(journal.Path), ReportText.Number(run.Line), ReportText.Of(run.BeganUtc), ReportText.Of(run.EndedUtc), ReportText.Of(run.Because), ReportText.Of(run.Host), ReportText.Of(run.User),
                ReportText.Of((bool?)run.Attended), ReportText.Of((double?)run.Speed), ReportText.Of(run.PlanName), ReportText.Of(run.Fingerprint),
            ])),
        ]);

    /// <summary>The images.</summary>
    public static ReportTable Images(RunSummary summary) => new(
        "images", "Images", summary.IsPlanAlone ? "Each image with its digest as planned" : "Each image with its digest as planned and as units were begun with it", "None.",
        ReportTable.Of("Image", "#Bytes", "#Units begun", "SHA-256 planned", "SHA-256 begun", "Same"),
        [
            .. summary.Images.Select(image => (IReadOnlyList<string>)
            [
                image.File, image.Bytes.ToString(System.Globalization.CultureInfo.InvariantCulture), ReportText.Number(image.Units), ReportText.Of(image.PlannedSha256), ReportText.Of(image.BegunSha256),
                image.Differs ? "NO" : image.PlannedSha256.Length > 0 && image.BegunSha256.Length > 0 ? "yes" : ReportText.Nothing,
            ]),
        ]);

    private static ReportTable Transcripts(RunSummary summary) => new(
        "transcripts", "Transcripts", "The raw dialogues as the files beside the journal were when this report was made", "The journal names none.",
        ReportTable.Of("Transcript", "Units", "#Bytes", "SHA-256"),
        [
            .. summary.Transcripts.Select(transcript => (IReadOnlyList<string>)
            [
                transcript.Path, string.Join(", ", transcript.Units), transcript.Bytes?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "not beside the journal", ReportText.Of(transcript.Sha256),
            ]),
        ]);
}
