using Newtonsoft.Json;
using PoeOps.Dialects;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// Sums the rows of a replay up. A stage lasts, as in a live refresh, until the next one begins; the last one until the last word, or where there is
/// none until its own end.
/// </summary>
internal static class ReplaySums
{
    private static readonly ReplayEvent[] LastWords = [ReplayEvent.Succeeded, ReplayEvent.Failed, ReplayEvent.Busy];

    /// <summary>A summary of each refresh.</summary>
    public static IReadOnlyList<ReplaySummary> Of(IReadOnlyList<ReplayRow> rows, RefreshManners manners) =>
        [.. rows.GroupBy(row => row.Refresh).Select(refresh => Of([.. refresh], manners))];

    private static ReplaySummary Of(ReplayRow[] rows, RefreshManners manners)
    {
        ReplayRow? last = rows.FirstOrDefault(row => LastWords.Contains(row.Event));
        last ??= manners.Poll is null ? rows.FirstOrDefault(row => row.Event == ReplayEvent.PromptBack) : null;
        List<(Stage Stage, double? Begun)> stages = Stages(rows, last);
        Dictionary<Stage, double> seconds = Seconds(stages, rows, last);
        return new ReplaySummary
        {
            File = rows[0].File,
            Refresh = rows[0].Refresh,
            Line = rows[0].Line,
            CommandSeen = rows[0].Event == ReplayEvent.Command,
            Outcome = OutcomeOf(last?.Event),
            Because = last?.Because ?? string.Empty,
            Text = last?.Text ?? string.Empty,
            Seconds = last?.AtSeconds,
            TransferSeconds = Of(seconds, Stage.Transfer),
            EraseSeconds = Of(seconds, Stage.Erase),
            ProgramSeconds = Of(seconds, Stage.Program),
            ResetSeconds = Of(seconds, Stage.Reset),
            StagesSeen = [.. stages.Select(one => one.Stage.ToString())],
            StagesNeverSeen = [.. manners.Stages.Select(one => one.Stage).Where(name => stages.All(one => one.Stage.ToString() != name))],
            LinesOfNothing = rows.Where(row => row.Event == ReplayEvent.Other).Select(row => row.Line).Distinct().Count(),
            StageSeconds = seconds.Count == 0 ? string.Empty : Paste(seconds),
        };
    }

    // A stage that was passed is not begun again.
    private static List<(Stage Stage, double? Begun)> Stages(ReplayRow[] rows, ReplayRow? last)
    {
        List<(Stage Stage, double? Begun)> stages = [];
        foreach (ReplayRow row in rows.TakeWhile(row => !ReferenceEquals(row, last)))
        {
            bool ofWork = row.Event is ReplayEvent.StageBegan or ReplayEvent.Progress or ReplayEvent.StageEnded;
            if (ofWork && row.Stage is { } stage && (stages.Count == 0 || stage > stages[stages.Count - 1].Stage))
            {
                stages.Add((stage, row.AtSeconds));
            }
        }

        return stages;
    }

    private static Dictionary<Stage, double> Seconds(List<(Stage Stage, double? Begun)> stages, ReplayRow[] rows, ReplayRow? last)
    {
        Dictionary<Stage, double> seconds = [];
        for (int i = 0; i < stages.Count; i++)
        {
            Stage stage = stages[i].Stage;
            double? end = i + 1 < stages.Count ? stages[i + 1].Begun
                : last is not null ? last.AtSeconds : rows.LastOrDefault(row => row.Event == ReplayEvent.StageEnded && row.Stage == stage)?.AtSeconds;
            if (stages[i].Begun is { } begun && end >= begun)
            {
                seconds.Add(stage, Math.Round(end.Value - begun, 3));
            }
        }

        return seconds;
    }

    private static double? Of(Dictionary<Stage, double> seconds, Stage stage) => seconds.TryGetValue(stage, out double found) ? found : null;

    private static ReplayOutcome OutcomeOf(ReplayEvent? last) => last switch
    {
        ReplayEvent.Succeeded => ReplayOutcome.Succeeded,
        ReplayEvent.Failed => ReplayOutcome.Failed,
        ReplayEvent.Busy => ReplayOutcome.Busy,
        ReplayEvent.PromptBack => ReplayOutcome.PromptBack,
        _ => ReplayOutcome.Unended,
    };

    // One refresh shows no worst case, so twice what it took is written, and said to be so.
    private static string Paste(Dictionary<Stage, double> seconds)
    {
        using StringWriter text = new() { NewLine = "\n" };
        using JsonTextWriter json = new(text) { Formatting = Formatting.Indented };
        json.WriteStartObject();
        foreach (KeyValuePair<Stage, double> stage in seconds.OrderBy(one => one.Key))
        {
            json.WritePropertyName(stage.Key.ToString());
            json.WriteStartObject();
            json.WritePropertyName("typical");
            json.WriteValue((decimal)stage.Value);
            json.WritePropertyName("worst");
            json.WriteValue((decimal)stage.Value * 2);
            json.WriteEndObject();
        }

        json.WriteComment(" Measured in one log; worst is twice that. Verify is in no log: add how long a reading takes. ");
        json.WriteEndObject();
        json.Flush();
        return "\"stageSeconds\": " + text;
    }
}
