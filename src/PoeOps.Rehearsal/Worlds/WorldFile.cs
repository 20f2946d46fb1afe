using PoeOps.Files;

namespace PoeOps.Rehearsal.Worlds;

/// <summary>Reads the file that holds a rehearsal's truth.</summary>
public static class WorldFile
{
    private const string EstateEnd = ".estate.json";
    private const int MostSeconds = 86_400;
    private const int MostPorts = 96;

    /// <summary>Where the world of an estate stands: beside it, <c>.world.json</c> in place of <c>.estate.json</c>.</summary>
    /// <param name="estatePath">The estate's file.</param>
    public static string Beside(string estatePath)
    {
        string stem = estatePath.EndsWith(EstateEnd, StringComparison.OrdinalIgnoreCase)
            ? estatePath.Substring(0, estatePath.Length - EstateEnd.Length)
            : Path.Combine(Path.GetDirectoryName(estatePath) ?? string.Empty, Path.GetFileNameWithoutExtension(estatePath));
        return stem + ".world.json";
    }

    /// <summary>Reads a world.</summary>
    /// <param name="path">The file.</param>
    /// <returns>The world, or null with the reasons.</returns>
    public static WorldResult Read(string path)
    {
        var problems = new List<Problem>();
        JsonObjectReader? root = JsonObjectReader.Open(path, problems);
        World? world = root is null ? null : ReadRoot(root, path);
        return new WorldResult(problems.Count == 0 ? world : null, problems);
    }

    private static World ReadRoot(JsonObjectReader root, string path)
    {
        string? start = root.Text("startUtc");
        var world = new World
        {
            SourcePath = path,
            StartUtc = start is null ? null : ReadInstant(root, start),
            User = root.Text("user", required: true) ?? string.Empty,
            Password = root.Text("password", required: true) ?? string.Empty,
            ElevationPassword = root.Text("elevationPassword") ?? string.Empty,
            AnswerSeconds = (double)(root.Number("answerSeconds", least: 0, most: 60) ?? 0.2m),
            Models = [.. root.Objects("models", required: true).Select(ReadModel)],
            Loads = [.. root.Objects("loads").Select(ReadLoad)],
        };
        var switches = new WorldSwitchReader(world);
        world = world with { Switches = [.. root.Objects("switches", required: true).Select(switches.Read)] };
        if (world.ElevationPassword.Length == 0 && world.Switches.Any(one => one.AsksElevation))
        {
            root.Report(ProblemId.JsonMissingKey, "elevationPassword", "A switch asks for the second secret, and there is no 'elevationPassword'.", "Add one, or take 'asksElevation' away.");
        }

        root.Close();
        return world;
    }

    private static DateTime? ReadInstant(JsonObjectReader root, string text)
    {
        if (IsoText.Utc(text) is { } instant)
        {
            return instant;
        }

        root.Report(ProblemId.JsonBadValue, "startUtc", $"Found '{text}' where an instant in UTC was expected.", "Write it as 2026-12-01T21:00:00Z.");
        return null;
    }

    private static WorldModel ReadModel(JsonObjectReader model)
    {
        JsonObjectReader? seconds = model.Object("stageSeconds", required: true);
        var read = new WorldModel
        {
            Model = model.Text("model", required: true) ?? string.Empty,
            PortCount = model.Whole("ports", required: true, least: 1, most: MostPorts) ?? 0,
            BudgetWatts = model.Number("budgetWatts", required: true, least: 0) ?? 0,
            GuardBandWatts = model.Number("guardBandWatts", least: 0) ?? 0,
            ImageFamily = model.Text("imageFamily", required: true) ?? string.Empty,
            StageSeconds = new StageSeconds
            {
                Transfer = ReadSeconds(seconds, "Transfer"),
                Erase = ReadSeconds(seconds, "Erase"),
                Program = ReadSeconds(seconds, "Program"),
                Reset = ReadSeconds(seconds, "Reset"),
            },
        };
        if (read.GuardBandWatts > read.BudgetWatts)
        {
            model.Report(ProblemId.JsonBadValue, "guardBandWatts", "The guard band is larger than the budget that it is kept back from.", "Write a smaller guard band.");
        }

        seconds?.Close();
        model.Close();
        return read;
    }

    private static double ReadSeconds(JsonObjectReader? seconds, string stage) =>
        (double)(seconds?.Number(stage, required: true, least: 0, most: MostSeconds) ?? 0);

    private static WorldLoad ReadLoad(JsonObjectReader load)
    {
        var read = new WorldLoad
        {
            Name = load.Text("name", required: true) ?? string.Empty,
            PdClass = load.Whole("pdClass", required: true, least: 0, most: 8) ?? 0,
            DrawWatts = load.Number("drawWatts", required: true, least: 0) ?? 0,
            DrawStepWatts = load.Number("drawStepWatts", least: 0) ?? 0,
            NegotiatedWatts = load.Number("negotiatedWatts", least: 0),
            RestartSeconds = (double?)load.Number("restartSeconds", least: 0, most: MostSeconds),
            NegotiateSeconds = (double?)load.Number("negotiateSeconds", least: 0, most: MostSeconds),
        };
        if (read.DrawStepWatts * 2 > read.DrawWatts)
        {
            load.Report(ProblemId.JsonBadValue, "drawStepWatts", "Two of these steps are more than the load draws, so a port would draw less than nothing.", "Write a smaller step.");
        }

        load.Close();
        return read;
    }
}

/// <summary>A world, or why there is none.</summary>
/// <param name="World">The world; null where there are problems.</param>
/// <param name="Problems">Every mistake of the file.</param>
public sealed record WorldResult(World? World, IReadOnlyList<Problem> Problems);
