using System.Globalization;
using System.Text;
using PoeOps.Files;

namespace PoeOps.Report;

/// <summary>
/// A summary as one table of comma-separated values (RFC 4180; UTF-8 with a byte-order mark, which spreadsheets want): the first column says of what a row
/// tells (Answer, Problem, Unit, Stage, Load, LoadTime, Journal, Image, Transcript), the others bear the names of the summary's values. A text that begins like a formula
/// gets an apostrophe before it; numbers stay numbers.
/// </summary>
public static class ReportCsv
{
    // What a spreadsheet takes for the beginning of a formula: OWASP, CSV Injection. The full-width forms are from memory.
    private const string Dangerous = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20";

    // What is seen as nothing and is no blank to .NET: the joiners, the combining grapheme joiner, fillers, the blank of Braille, variation selectors. From memory.
    private const string Unseen = "\u200c\u200d\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0\ufe00\ufe01\ufe02\ufe03\ufe04\ufe05\ufe06\ufe07\ufe08\ufe09\ufe0a\ufe0b\ufe0c\ufe0d\ufe0e\ufe0f";

    private static readonly string[] Columns =
    [
        "Record", "Order", "Site", "UnitId", "Port", "Name", "Role", "LifeSafety", "State", "Text", "Hand", "Hop", "FirmwareBefore", "ToFirmware", "FirmwareNow", "ImageFile", "Sha256",
        "PlannedFromUtc", "PlannedUntilUtc", "RealFromUtc", "RealUntilUtc", "TypicalSeconds", "WorstSeconds", "RealSeconds", "LongerThanWorst", "Loads", "LoadsBack", "LifeSafetyLoads", "DrawWatts", "Bytes", "File", "Line",
    ];

    /// <summary>Makes the text.</summary>
    /// <param name="summary">The summary.</param>
    public static string Of(RunSummary summary)
    {
        StringBuilder text = new("\ufeff");
        text.Append(string.Join(",", Columns)).Append("\r\n");
        foreach ((string record, (string, object?)[] cells) in Rows(summary))
        {
            Dictionary<string, object?> row = cells.ToDictionary(cell => cell.Item1, cell => cell.Item2, StringComparer.Ordinal);
            row["Record"] = record;
            text.Append(string.Join(",", Columns.Select(column => Cell(row.TryGetValue(column, out object? value) ? value : null)))).Append("\r\n");
        }

        return text.ToString();
    }

    private static IEnumerable<(string Record, (string, object?)[] Cells)> Rows(RunSummary summary)
    {
        foreach (Answer answer in new[] { summary.StillDark, summary.LifeSafety, summary.ByHand })
        {
            yield return ("Answer", [("Name", answer.Question), ("State", answer.Verdict), ("Text", string.Join("; ", answer.Items.Prepend(answer.Sentence).Where(item => item.Length > 0)))]);
        }

        foreach (Problem problem in summary.Problems)
        {
            yield return ("Problem", [("State", problem.Id.ToString()), ("Text", problem.Sentence), ("Hand", problem.Advice), ("File", problem.File), ("Line", problem.Line)]);
        }

        foreach (UnitSummary unit in summary.Units)
        {
            yield return ("Unit", Unit(unit));
            foreach (StageSummary stage in unit.Stages.Where(stage => stage is not { TypicalSeconds: null, WorstSeconds: null, RealSeconds: null }))
            {
                yield return ("Stage", [("Order", unit.Order), ("Site", unit.Site), ("UnitId", unit.UnitId), ("Hop", unit.Hop), ("Name", stage.Stage), ("RealFromUtc", stage.BeganUtc), ("TypicalSeconds", stage.TypicalSeconds), ("WorstSeconds", stage.WorstSeconds), ("RealSeconds", stage.RealSeconds)]);
            }
        }

        foreach (var obstacle in summary.Obstacles)
        {
            yield return ("Obstacle", [("Site", obstacle.Site), ("UnitId", obstacle.UnitId.ToString()), ("State", obstacle.ProblemId.ToString()), ("Text", obstacle.Reason), ("Hand", obstacle.WouldHelp)]);
        }

        foreach (LoadSummary load in summary.Loads)
        {
            yield return ("Load", Load(load));
            foreach (DarkTime time in load.Times)
            {
                yield return ("LoadTime", Time(load, time));
            }
        }

        foreach (JournalSummary journal in summary.Journals)
        {
            yield return ("Journal", [("State", journal.ChainHolds ? "ChainHolds" : "ChainBroken"), ("Text", journal.ChainState), ("Sha256", journal.Sha256), ("File", journal.Path)]);
        }

        foreach (ImageSummary image in summary.Images)
        {
            yield return ("Image", [("ImageFile", image.File), ("Bytes", image.Bytes), ("Sha256", image.BegunSha256.Length > 0 ? image.BegunSha256 : image.PlannedSha256), ("State", image.Differs ? "Differs" : null)]);
        }

        foreach (TranscriptSummary transcript in summary.Transcripts)
        {
            yield return ("Transcript", [("UnitId", string.Join(", ", transcript.Units)), ("File", transcript.Path), ("Bytes", transcript.Bytes), ("Sha256", transcript.Sha256)]);
        }

        foreach (string caution in summary.Cautions)
        {
            yield return ("Caution", [("Text", caution)]);
        }
    }

    private static (string, object?)[] Unit(UnitSummary unit) =>
    [
        ("Order", unit.Order), ("Site", unit.Site), ("UnitId", unit.UnitId), ("Name", unit.Model), ("State", unit.State.ToString()), ("Text", unit.Reason), ("Hand", unit.Hand), ("Hop", unit.Hop),
        ("FirmwareBefore", unit.FirmwareBefore), ("ToFirmware", unit.ToFirmware), ("FirmwareNow", unit.FirmwareNow), ("ImageFile", unit.ImageFile), ("Sha256", unit.ImageSha256),
        ("PlannedFromUtc", unit.PlannedStartUtc), ("PlannedUntilUtc", unit.PlannedEndUtc), ("RealFromUtc", unit.GatesUtc), ("RealUntilUtc", unit.EndedUtc),
        ("TypicalSeconds", unit.PlannedDarkSecondsTypical), ("WorstSeconds", unit.PlannedDarkSecondsWorst), ("RealSeconds", unit.RealDarkSeconds),
        ("Loads", unit.Loads), ("LoadsBack", unit.LoadsBack), ("LifeSafetyLoads", unit.LifeSafetyLoads),
    ];

    private static (string, object?)[] Load(LoadSummary load) =>
    [
        ("UnitId", load.UnitId), ("Port", load.Port), ("Name", load.Load), ("Role", load.Role), ("LifeSafety", load.LifeSafety), ("State", load.State.ToString()), ("Text", load.PlannedRestart?.ToString()),
        ("PlannedFromUtc", load.PlannedDarkFromUtc), ("PlannedUntilUtc", load.PlannedDarkUntilUtc), ("RealFromUtc", load.RealDarkFromUtc), ("RealUntilUtc", load.RealDarkUntilUtc),
        ("TypicalSeconds", load.PlannedDarkSecondsTypical), ("WorstSeconds", load.PlannedDarkSecondsWorst), ("RealSeconds", load.RealDarkSeconds), ("LongerThanWorst", load.LongerThanWorst), ("DrawWatts", load.DrawWatts),
    ];

    private static (string, object?)[] Time(LoadSummary load, DarkTime time) =>
    [
        ("UnitId", load.UnitId), ("Port", load.Port), ("Name", load.Load), ("Role", load.Role), ("LifeSafety", load.LifeSafety), ("Hop", time.Number),
        ("PlannedFromUtc", time.PlannedFromUtc), ("PlannedUntilUtc", time.PlannedUntilUtc), ("RealFromUtc", time.RealFromUtc), ("RealUntilUtc", time.RealUntilUtc),
        ("TypicalSeconds", time.PlannedSecondsTypical), ("WorstSeconds", time.PlannedSecondsWorst), ("RealSeconds", time.RealSeconds),
    ];

    private static string Cell(object? value) => value switch
    {
        null => string.Empty,
        string text => Quoted(Safe(text)),
        DateTime utc => IsoText.Write(utc),
        bool flag => flag ? "true" : "false",
        double number => number.ToString("R", CultureInfo.InvariantCulture),
        _ => Convert.ToString(value, CultureInfo.InvariantCulture) ?? string.Empty,
    };

    private static string Safe(string text) => (IsLikeFormula(text) ? "'" : string.Empty) + PlainText.Of(text);

    // Some programs trim blanks, and drop what has no width, before they look at the first character; so it is looked for behind all of those.
    private static bool IsLikeFormula(string text)
    {
        for (int i = 0; i < text.Length; i += PlainText.Length(text, i))
        {
            if (Dangerous.IndexOf(text[i]) >= 0)
            {
                return true;
            }

            if (!char.IsWhiteSpace(text, i) && !PlainText.IsHidden(text, i) && Unseen.IndexOf(text[i]) < 0)
            {
                return false;
            }
        }

        return false;
    }

    private static string Quoted(string text) => text.IndexOfAny(['"', ',', '\r', '\n', ';', '\'']) >= 0 || (text.Length > 0 && (text[0] == ' ' || text[text.Length - 1] == ' ')) ? "\"" + text.Replace("\"", "\"\"") + "\"" : text;
}
