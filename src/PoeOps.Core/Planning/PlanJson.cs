using Newtonsoft.Json.Linq;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Planning;

/// <summary>A plan as JSON, and back.</summary>
internal static class PlanJson
{
    /// <summary>The plan without its fingerprint.</summary>
    public static JObject Write(Plan plan) => new(
        new JProperty("name", plan.Name),
        new JProperty("createdUtc", IsoText.Write(plan.CreatedUtc)),
        new JProperty("estate", plan.EstatePath),
        new JProperty("estateSha256", plan.EstateSha256),
        new JProperty("estateParts", Write(plan.EstateParts)),
        new JProperty("baselines", new JArray(plan.Baselines.Select(Write))),
        new JProperty("nothingToDo", plan.NothingToDo),
        new JProperty("lanes", plan.Lanes),
        new JProperty("soakSeconds", (decimal)plan.SoakSeconds),
        new JProperty("isBest", plan.IsBest),
        new JProperty("units", new JArray(plan.Units.Select(Write))),
        new JProperty("obstacles", new JArray(plan.Obstacles.Select(Write))));

    /// <summary>Reads a plan; mistakes go to the reader's problems.</summary>
    public static Plan Read(JsonObjectReader root) => new()
    {
        Name = root.Text("name", required: true) ?? string.Empty,
        CreatedUtc = Utc(root, "createdUtc"),
        EstatePath = root.Text("estate", required: true) ?? string.Empty,
        EstateSha256 = root.Text("estateSha256", required: true) ?? string.Empty,
        EstateParts = [.. root.Objects("estateParts", required: true).Select(ReadPart)],
        Baselines = [.. root.Objects("baselines", required: true).Select(ReadSource)],
        NothingToDo = root.Whole("nothingToDo", required: true, least: 0) ?? 0,
        Lanes = root.Whole("lanes", required: true, least: 1) ?? 1,
        SoakSeconds = Seconds(root, "soakSeconds"),
        IsBest = root.Flag("isBest", required: true) ?? false,
        Units = [.. root.Objects("units", required: true).Select(ReadUnit)],
        Obstacles = [.. root.Objects("obstacles", required: true).Select(ReadObstacle)],
    };

    private static JObject Write(PlanSource source) => new(
        new JProperty("file", source.Path),
        new JProperty("sha256", source.Sha256),
        new JProperty("parts", Write(source.Parts)));

    private static JArray Write(IReadOnlyList<KeyValuePair<string, string>> parts) =>
        [.. parts.Select(part => new JObject(new JProperty("part", part.Key), new JProperty("sha256", part.Value)))];

    private static PlanSource ReadSource(JsonObjectReader item)
    {
        var source = new PlanSource
        {
            Path = item.Text("file", required: true) ?? string.Empty,
            Sha256 = item.Text("sha256", required: true) ?? string.Empty,
            Parts = [.. item.Objects("parts", required: true).Select(ReadPart)],
        };
        item.Close();
        return source;
    }

    private static KeyValuePair<string, string> ReadPart(JsonObjectReader item)
    {
        KeyValuePair<string, string> part = new(item.Text("part", required: true) ?? string.Empty, item.Text("sha256", required: true) ?? string.Empty);
        item.Close();
        return part;
    }

    private static JObject Write(PlannedUnit unit) => new(
        new JProperty("order", unit.Order),
        new JProperty("site", unit.Site),
        new JProperty("switch", unit.Switch),
        new JProperty("unit", unit.Unit),
        new JProperty("model", unit.Model),
        new JProperty("serial", unit.Serial),
        new JProperty("release", unit.Release),
        new JProperty("fromFirmware", unit.FromFirmware),
        new JProperty("toFirmware", unit.ToFirmware),
        new JProperty("hop", unit.Hop),
        new JProperty("hops", unit.Hops),
        new JProperty("image", new JObject(
            new JProperty("file", unit.ImageFile), new JProperty("bytes", unit.ImageBytes), new JProperty("sha256", unit.ImageSha256), new JProperty("family", unit.ImageFamily))),
        new JProperty("startUtc", IsoText.Write(unit.StartUtc)),
        new JProperty("endUtc", IsoText.Write(unit.EndUtc)),
        new JProperty("windowOpensUtc", IsoText.Write(unit.WindowOpensUtc)),
        new JProperty("windowClosesUtc", IsoText.Write(unit.WindowClosesUtc)),
        new JProperty("windowAttended", unit.WindowAttended),
        new JProperty("lane", unit.Lane),
        new JProperty("pilot", unit.Pilot),
        new JProperty("worstSeconds", (decimal)unit.WorstSeconds),
        new JProperty("recoverSeconds", (decimal)unit.RecoverSeconds),
        new JProperty("reserveSeconds", (decimal)unit.ReserveSeconds),
        new JProperty("loads", unit.Loads),
        new JProperty("lifeSafetyLoads", unit.LifeSafetyLoads),
        new JProperty("budgetWatts", unit.BudgetWatts),
        new JProperty("restartDemandWatts", unit.RestartDemandWatts),
        new JProperty("shortfallWatts", unit.ShortfallWatts),
        new JProperty("refusedLoadsAccepted", unit.RefusedLoadsAccepted),
        new JProperty("coverageGroup", unit.CoverageGroup),
        new JProperty("switchUnits", unit.SwitchUnits),
        new JProperty("darkLoads", new JArray(unit.DarkLoads.Select(PlannedLoadJson.Write))),
        new JProperty("lifeSafetyAcceptedBy", unit.LifeSafetyAcceptedBy),
        new JProperty("lifeSafetyAcceptedUtc", unit.LifeSafetyAcceptedUtc is { } accepted ? IsoText.Write(accepted) : null),
        new JProperty("readingProblemsAccepted", unit.ReadingProblemsAccepted),
        new JProperty("stageSeconds", new JObject(StageTimes.Names.Where(name => unit.StageTimes.Of(name) is not null).Select(name => Write(name, unit.StageTimes.Of(name)!)))));

    private static JProperty Write(string stage, StageTime time) =>
        new(stage, new JObject(new JProperty("typical", (decimal)time.TypicalSeconds), new JProperty("worst", (decimal)time.WorstSeconds)));

    private static JObject Write(Obstacle obstacle) => new(
        new JProperty("site", obstacle.Site),
        new JProperty("switch", obstacle.Switch),
        new JProperty("unit", obstacle.Unit),
        new JProperty("problem", obstacle.ProblemId.ToString()),
        new JProperty("reason", obstacle.Reason),
        new JProperty("wouldHelp", obstacle.WouldHelp));

    private static PlannedUnit ReadUnit(JsonObjectReader item)
    {
        ImageSpec image = BaselineJson.Image(item);
        var unit = new PlannedUnit
        {
            Order = item.Whole("order", required: true, least: 1) ?? 1,
            Site = item.Text("site", required: true) ?? string.Empty,
            Switch = EstateJson.Name(item, "switch"),
            Unit = EstateJson.Name(item, "unit"),
            Model = item.Text("model", required: true) ?? string.Empty,
            Serial = item.Text("serial"),
            Release = item.Text("release"),
            FromFirmware = item.Text("fromFirmware", required: true) ?? string.Empty,
            ToFirmware = item.Text("toFirmware", required: true) ?? string.Empty,
            Hop = item.Whole("hop", required: true, least: 1) ?? 1,
            Hops = item.Whole("hops", required: true, least: 1) ?? 1,
            ImageFile = image.File,
            ImageBytes = image.Bytes,
            ImageSha256 = image.Sha256,
            ImageFamily = image.Family,
            StartUtc = Utc(item, "startUtc"),
            EndUtc = Utc(item, "endUtc"),
            WindowOpensUtc = Utc(item, "windowOpensUtc"),
            WindowClosesUtc = Utc(item, "windowClosesUtc"),
            WindowAttended = item.Flag("windowAttended", required: true) ?? false,
            Lane = item.Whole("lane", required: true, least: 1) ?? 1,
            Pilot = item.Flag("pilot", required: true) ?? false,
            WorstSeconds = Seconds(item, "worstSeconds"),
            RecoverSeconds = Seconds(item, "recoverSeconds"),
            ReserveSeconds = Seconds(item, "reserveSeconds"),
            Loads = item.Whole("loads", required: true, least: 0) ?? 0,
            LifeSafetyLoads = item.Whole("lifeSafetyLoads", required: true, least: 0) ?? 0,
            BudgetWatts = item.Number("budgetWatts", least: 0),
            RestartDemandWatts = item.Number("restartDemandWatts", least: 0),
            ShortfallWatts = item.Number("shortfallWatts", least: 0),
            RefusedLoadsAccepted = item.Whole("refusedLoadsAccepted", least: 0),
            CoverageGroup = item.Text("coverageGroup", required: true) ?? string.Empty,
            SwitchUnits = item.Whole("switchUnits", required: true, least: 0) ?? 0,
            DarkLoads = [.. item.Objects("darkLoads", required: true).Select(PlannedLoadJson.Read)],
            LifeSafetyAcceptedBy = item.Text("lifeSafetyAcceptedBy"),
            LifeSafetyAcceptedUtc = item.Has("lifeSafetyAcceptedUtc") ? Utc(item, "lifeSafetyAcceptedUtc") : null,
            ReadingProblemsAccepted = item.Flag("readingProblemsAccepted", required: true) ?? false,
            StageTimes = Times(item.Object("stageSeconds", required: true)),
        };
        item.Close();
        return unit;
    }

    private static Obstacle ReadObstacle(JsonObjectReader item)
    {
        var obstacle = new Obstacle
        {
            Site = item.Text("site", required: true) ?? string.Empty,
            Switch = EstateJson.Name(item, "switch"),
            Unit = EstateJson.Name(item, "unit"),
            ProblemId = Kind(item, "problem"),
            Reason = item.Text("reason", required: true) ?? string.Empty,
            WouldHelp = item.Text("wouldHelp", required: true) ?? string.Empty,
        };
        item.Close();
        return obstacle;
    }

    private static ProblemId Kind(JsonObjectReader item, string key)
    {
        string[] names = Enum.GetNames(typeof(ProblemId));
        string? word = item.Text(key, required: true);
        int place = Array.IndexOf(names, word);
        if (word is not null && place < 0)
        {
            item.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(word)}' is no kind of problem{Nearest.Hint(word, names)}.", "Make the plan again with New-PsePlan.");
        }

        return place < 0 ? default : (ProblemId)Enum.Parse(typeof(ProblemId), names[place]);
    }

    private static StageTimes Times(JsonObjectReader? stages)
    {
        Dictionary<string, StageTime> times = new(StringComparer.Ordinal);
        foreach (string name in stages is null ? [] : StageTimes.Names)
        {
            if (stages!.Object(name) is { } stage)
            {
                times.Add(name, new StageTime(Seconds(stage, "typical"), Seconds(stage, "worst")));
                stage.Close();
            }
        }

        stages?.Close();
        return new StageTimes(times);
    }

    private static double Seconds(JsonObjectReader item, string key) => (double)(item.Number(key, required: true, least: 0) ?? 0);

    private static DateTime Utc(JsonObjectReader item, string key)
    {
        string? text = item.Text(key, required: true);
        if (IsoText.Utc(text) is { } utc)
        {
            return utc;
        }

        if (text is not null)
        {
            item.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no UTC time.", "Write it such as 2026-12-01T21:00:00Z.");
        }

        return DateTime.SpecifyKind(DateTime.MinValue, DateTimeKind.Utc);
    }
}
