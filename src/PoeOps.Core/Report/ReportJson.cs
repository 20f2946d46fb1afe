using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>
/// A summary as JSON, for other programs: every value of it under its own name, numbers as numbers, times as ISO 8601 in UTC, what is not known as null.
/// </summary>
public static class ReportJson
{
    /// <summary>Makes the text.</summary>
    /// <param name="summary">The summary.</param>
    public static string Of(RunSummary summary)
    {
        JObject root = new(
            new JProperty("planName", summary.PlanName),
            new JProperty("fingerprint", summary.Fingerprint),
            new JProperty("planCreatedUtc", Utc(summary.PlanCreatedUtc)),
            new JProperty("asOfUtc", Utc(summary.AsOfUtc)),
            new JProperty("hasPlan", summary.HasPlan),
            new JProperty("hasRun", summary.HasRun),
            new JProperty("problems", List(summary.Problems, Problem)),
            new JProperty("stillDark", Answer(summary.StillDark)),
            new JProperty("lifeSafety", Answer(summary.LifeSafety)),
            new JProperty("byHand", Answer(summary.ByHand)),
            new JProperty("states", new JObject(summary.States.Select(state => new JProperty(state.State.ToString(), state.Units)))),
            new JProperty("nothingToDo", summary.NothingToDo),
            new JProperty("plannedDarkLoadMinutes", summary.PlannedDarkLoadMinutes),
            new JProperty("plannedOutOfServiceLoadMinutes", summary.PlannedOutOfServiceLoadMinutes),
            new JProperty("longest", Longest(summary.Longest)),
            new JProperty("soakSeconds", summary.SoakSeconds),
            new JProperty("lanes", summary.Lanes),
            new JProperty("rehearsal", summary.Rehearsal),
            new JProperty("realDarkLoadMinutes", summary.RealDarkLoadMinutes),
            new JProperty("units", List(summary.Units, Unit)),
            new JProperty("loads", List(summary.Loads, Load)),
            new JProperty("windows", List(summary.Windows, Window)),
            new JProperty("curves", List(summary.Curves, Curve)),
            new JProperty("obstacles", List(summary.Obstacles, Obstacle)),
            new JProperty("journals", List(summary.Journals, Journal)),
            new JProperty("images", List(summary.Images, Image)),
            new JProperty("transcripts", List(summary.Transcripts, Transcript)),
            new JProperty("cautions", new JArray(summary.Cautions)));
        return PlainText.OfLines(root.ToString(Formatting.Indented)).Replace("\r\n", "\n") + "\n";
    }

    private static JObject Answer(Answer answer) => new(
        new JProperty("question", answer.Question),
        new JProperty("verdict", answer.Verdict),
        new JProperty("sentence", answer.Sentence),
        new JProperty("items", new JArray(answer.Items)),
        new JProperty("isGood", answer.IsGood),
        new JProperty("units", new JArray(answer.Units)));

    private static JObject Longest(LongestTimes longest) => new(
        new JProperty("darkTypical", longest.DarkTypical),
        new JProperty("darkWorst", longest.DarkWorst),
        new JProperty("outOfServiceTypical", longest.OutOfServiceTypical),
        new JProperty("outOfServiceWorst", longest.OutOfServiceWorst));

    private static JObject Problem(Problem problem) => new(
        new JProperty("id", problem.Id.ToString()),
        new JProperty("sentence", problem.Sentence),
        new JProperty("advice", problem.Advice),
        new JProperty("file", problem.File),
        new JProperty("line", problem.Line));

    private static JObject Unit(UnitSummary unit) => new(
        new JProperty("order", unit.Order),
        new JProperty("site", unit.Site),
        new JProperty("unitId", unit.UnitId),
        new JProperty("model", unit.Model),
        new JProperty("hop", unit.Hop),
        new JProperty("hops", unit.Hops),
        new JProperty("state", unit.State.ToString()),
        new JProperty("reason", unit.Reason),
        new JProperty("problemId", unit.ProblemId),
        new JProperty("hand", unit.Hand),
        new JProperty("firmwareBefore", unit.FirmwareBefore),
        new JProperty("toFirmware", unit.ToFirmware),
        new JProperty("firmwareNow", unit.FirmwareNow),
        new JProperty("imageFile", unit.ImageFile),
        new JProperty("imageSha256", unit.ImageSha256),
        new JProperty("plannedStartUtc", Utc(unit.PlannedStartUtc)),
        new JProperty("plannedEndUtc", Utc(unit.PlannedEndUtc)),
        new JProperty("gatesUtc", Utc(unit.GatesUtc)),
        new JProperty("beganUtc", Utc(unit.BeganUtc)),
        new JProperty("darkFromUtc", Utc(unit.DarkFromUtc)),
        new JProperty("endedUtc", Utc(unit.EndedUtc)),
        new JProperty("plannedDarkSecondsTypical", unit.PlannedDarkSecondsTypical),
        new JProperty("plannedDarkSecondsWorst", unit.PlannedDarkSecondsWorst),
        new JProperty("realDarkSeconds", unit.RealDarkSeconds),
        new JProperty("loads", unit.Loads),
        new JProperty("loadsBack", unit.LoadsBack),
        new JProperty("lifeSafetyLoads", unit.LifeSafetyLoads),
        new JProperty("lifeSafetyAcceptedBy", unit.LifeSafetyAcceptedBy),
        new JProperty("windowAttended", unit.WindowAttended),
        new JProperty("pilot", unit.Pilot),
        new JProperty("coverageGroup", unit.CoverageGroup),
        new JProperty("attempts", unit.Attempts),
        new JProperty("late", unit.Late),
        new JProperty("notBack", new JArray(unit.NotBack)),
        new JProperty("notes", new JArray(unit.Notes)),
        new JProperty("stages", List(unit.Stages, Stage)));

    private static JObject Stage(StageSummary stage) => new(
        new JProperty("stage", stage.Stage),
        new JProperty("typicalSeconds", stage.TypicalSeconds),
        new JProperty("worstSeconds", stage.WorstSeconds),
        new JProperty("realSeconds", stage.RealSeconds),
        new JProperty("beganUtc", Utc(stage.BeganUtc)));

    private static JObject Load(LoadSummary load) => new(
        new JProperty("unitId", load.UnitId),
        new JProperty("port", load.Port),
        new JProperty("load", load.Load),
        new JProperty("role", load.Role),
        new JProperty("lifeSafety", load.LifeSafety),
        new JProperty("state", load.State.ToString()),
        new JProperty("drawWatts", load.DrawWatts),
        new JProperty("plannedRestart", load.PlannedRestart?.ToString()),
        new JProperty("plannedDarkFromUtc", Utc(load.PlannedDarkFromUtc)),
        new JProperty("plannedDarkUntilUtc", Utc(load.PlannedDarkUntilUtc)),
        new JProperty("plannedDarkSecondsTypical", load.PlannedDarkSecondsTypical),
        new JProperty("plannedDarkSecondsWorst", load.PlannedDarkSecondsWorst),
        new JProperty("realDarkFromUtc", Utc(load.RealDarkFromUtc)),
        new JProperty("realDarkUntilUtc", Utc(load.RealDarkUntilUtc)),
        new JProperty("realDarkSeconds", load.RealDarkSeconds),
        new JProperty("longerThanWorst", load.LongerThanWorst),
        new JProperty("longerThanTypical", load.LongerThanTypical),
        new JProperty("times", List(load.Times, Time)));

    private static JObject Time(DarkTime time) => new(
        new JProperty("number", time.Number),
        new JProperty("plannedFromUtc", Utc(time.PlannedFromUtc)),
        new JProperty("plannedUntilUtc", Utc(time.PlannedUntilUtc)),
        new JProperty("plannedSecondsTypical", time.PlannedSecondsTypical),
        new JProperty("plannedSecondsWorst", time.PlannedSecondsWorst),
        new JProperty("realFromUtc", Utc(time.RealFromUtc)),
        new JProperty("realUntilUtc", Utc(time.RealUntilUtc)),
        new JProperty("realSeconds", time.RealSeconds));

    private static JObject Window(WindowSummary window) => new(
        new JProperty("site", window.Site),
        new JProperty("opensUtc", Utc(window.OpensUtc)),
        new JProperty("closesUtc", Utc(window.ClosesUtc)),
        new JProperty("attended", window.Attended),
        new JProperty("isPlanned", window.IsPlanned),
        new JProperty("zone", window.Zone),
        new JProperty("opensOffsetMinutes", window.OpensOffset?.TotalMinutes),
        new JProperty("closesOffsetMinutes", window.ClosesOffset?.TotalMinutes),
        new JProperty("endsUtc", Utc(window.EndsUtc)),
        new JProperty("loads", window.Loads),
        new JProperty("lifeSafetyLoads", window.LifeSafetyLoads),
        new JProperty("reserveSeconds", window.ReserveSeconds),
        new JProperty("overrunProbability", window.OverrunProbability),
        new JProperty("pilots", new JArray(window.Pilots)),
        new JProperty("coverageGroups", new JArray(window.CoverageGroups)),
        new JProperty("units", new JArray(window.Units)));

    private static JObject Curve(RestartCurve curve) => new(
        new JProperty("unitId", curve.UnitId),
        new JProperty("budgetWatts", curve.BudgetWatts),
        new JProperty("demandWatts", curve.DemandWatts),
        new JProperty("shortfallWatts", curve.ShortfallWatts),
        new JProperty("refusedLoads", curve.RefusedLoads),
        new JProperty("wattsAreGranted", curve.WattsAreGranted),
        new JProperty("planned", List(curve.Planned, Step)),
        new JProperty("real", List(curve.Real, Step)));

    private static JObject Step(CurveStep step) => new(
        new JProperty("seconds", step.Seconds), new JProperty("port", step.Port), new JProperty("watts", step.Watts), new JProperty("sumWatts", step.SumWatts));

    private static JObject Obstacle(Obstacle obstacle) => new(
        new JProperty("site", obstacle.Site),
        new JProperty("unitId", obstacle.UnitId.ToString()),
        new JProperty("problemId", obstacle.ProblemId.ToString()),
        new JProperty("reason", obstacle.Reason),
        new JProperty("wouldHelp", obstacle.WouldHelp));

    private static JObject Journal(JournalSummary journal) => new(
        new JProperty("path", journal.Path),
        new JProperty("sha256", journal.Sha256),
        new JProperty("entries", journal.Entries),
        new JProperty("chainHolds", journal.ChainHolds),
        new JProperty("chainState", journal.ChainState),
        new JProperty("lastDigest", journal.LastDigest),
        new JProperty("copyOf", journal.CopyOf),
        new JProperty("runs", List(journal.Runs, Run)));

    private static JObject Run(RunFacts run) => new(
        new JProperty("line", run.Line),
        new JProperty("beganUtc", Utc(run.BeganUtc)),
        new JProperty("endedUtc", Utc(run.EndedUtc)),
        new JProperty("because", run.Because),
        new JProperty("host", run.Host),
        new JProperty("user", run.User),
        new JProperty("planName", run.PlanName),
        new JProperty("fingerprint", run.Fingerprint),
        new JProperty("attended", run.Attended),
        new JProperty("speed", run.Speed));

    private static JObject Image(ImageSummary image) => new(
        new JProperty("file", image.File),
        new JProperty("bytes", image.Bytes),
        new JProperty("plannedSha256", image.PlannedSha256),
        new JProperty("begunSha256", image.BegunSha256),
        new JProperty("units", image.Units),
        new JProperty("differs", image.Differs));

    private static JObject Transcript(TranscriptSummary transcript) => new(
        new JProperty("path", transcript.Path),
        new JProperty("units", new JArray(transcript.Units)),
        new JProperty("bytes", transcript.Bytes),
        new JProperty("sha256", transcript.Sha256));

    private static JArray List<T>(IEnumerable<T> items, Func<T, JObject> item) => [.. items.Select(item)];

    // As text: a reader of its own mind would make the time another kind of value.
    private static string? Utc(DateTime? utc) => utc is { } known ? IsoText.Write(known) : null;
}
