using System.Globalization;
using PoeOps.Files;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>What a run needs that goes on where the last run of a journal ended or broke off.</summary>
/// <param name="Plan">The plan that the run was made from; null where there are problems.</param>
/// <param name="PlanPath">Where it lies.</param>
/// <param name="Settings">What the run said of itself for whoever goes on with it, by name.</param>
/// <param name="Problems">Why it cannot be gone on with.</param>
public sealed record ResumeResult(Plan? Plan, string PlanPath, IReadOnlyDictionary<string, string> Settings, IReadOnlyList<Problem> Problems);

/// <summary>Finds in a journal the run to go on with, its plan, and what it left.</summary>
public static class JournalResume
{
    /// <summary>The name by which a run says where its plan lies.</summary>
    public const string PlanSetting = "planPath";

    /// <summary>Finds the run and its plan. Nothing is written.</summary>
    /// <param name="path">The journal; its last line may be torn.</param>
    /// <param name="planPath">Where the plan lies now; null where the journal says.</param>
    /// <returns>The plan, or what is wrong: the journal cannot be relied on, it holds no run, or the plan is not the one that the run was made from.</returns>
    public static ResumeResult Find(string path, string? planPath)
    {
        JournalReading reading = JournalReplay.Read(path);
        Problem[] wrong = [.. reading.Problems.Where(problem => problem.Id != ProblemId.JournalTorn)];
        if (wrong.Length > 0)
        {
            return Refuse(wrong);
        }

        if (LastRun(reading) is not { } run)
        {
            return Refuse(new Problem(ProblemId.NothingToResume, $"The journal '{path}' holds no run.", "Name the journal of a run that has begun, or begin one with -Plan and -Journal.") { File = path });
        }

        string? place = planPath ?? Fact(run, PlanSetting);
        if (place is null)
        {
            return Refuse(new Problem(ProblemId.NothingToResume, $"The run of the journal '{path}' does not say where its plan lies.", "Name the plan with -Plan.") { File = path });
        }

        PlanResult read = PlanFile.Read(place);
        if (read.Plan is null)
        {
            return Refuse([.. read.Problems]);
        }

        string fingerprint = Fact(run, "fingerprint") ?? string.Empty;
        return read.Plan.Fingerprint == fingerprint
            ? new ResumeResult(read.Plan, place, run.Facts, [])
            : Refuse(new Problem(
                ProblemId.PlanNotOfRun, $"The plan '{place}' has the fingerprint {Short(read.Plan.Fingerprint)}, and the run of the journal was made from {Short(fingerprint)}.",
                "Name the plan of the run with -Plan; where it is gone, make a new plan and begin a new journal.") { File = place });
    }

    /// <summary>What the runs of a plan left in a journal.</summary>
    /// <param name="reading">The journal.</param>
    /// <param name="fingerprint">The plan's.</param>
    public static RunPast Past(JournalReading reading, string fingerprint)
    {
        Dictionary<int, UnitPast> units = [];
        Dictionary<string, int> open = new(StringComparer.OrdinalIgnoreCase);
        int line = 0;
        bool ours = false;
        bool began = false;
        foreach (JournalEntry entry in reading.Entries)
        {
            if (entry.Kind == RunEntryKind.RunBegan)
            {
                ours = Fact(entry, "fingerprint") == fingerprint;
                line = ours ? entry.Line : line;
                began = false;
            }
            else if (ours)
            {
                Take(entry, units, open, ref began);
            }
        }

        return new RunPast(line, units);
    }

    /// <summary>Says why a new run must not use a journal: one before it broke off with a unit at work, and nobody asked since what became of that.</summary>
    /// <param name="path">The journal, which need not exist.</param>
    /// <returns>The problem (<see cref="ProblemId.RunUnfinished"/>), or null.</returns>
    public static Problem? Unfinished(string path)
    {
        IReadOnlyList<string> open = File.Exists(path) ? JournalReplay.Read(path).OpenUnits : [];
        return open.Count == 0 ? null : new Problem(
            ProblemId.RunUnfinished, $"The journal '{path}' holds a run that broke off while {string.Join(", ", open)} was at work.",
            "Go on with it by Invoke-PseRefresh -Resume, which asks the unit first what became of it.") { File = path };
    }

    // Only the run that began a unit has watched it; what a later one writes of its asking says nothing about the device's stage.
    private static void Take(JournalEntry entry, Dictionary<int, UnitPast> units, Dictionary<string, int> open, ref bool began)
    {
        if (entry.Kind == RunEntryKind.Begin && Number(entry, "order") is { } order)
        {
            began = true;
            open[entry.Unit] = order;
            units[order] = new UnitPast { BeganUtc = entry.Utc, LastUtc = entry.Utc, Loads = Number(entry, "loads"), Ports = Fact(entry, "ports")?.Split([", "], StringSplitOptions.None) };
        }
        else if (entry.Kind == RunEntryKind.End && (Number(entry, "order") ?? Open(open, entry.Unit)) is { } ended && units.TryGetValue(ended, out UnitPast? past))
        {
            open.Remove(entry.Unit);
            StageOutcome? outcome = Enum.TryParse(Fact(entry, "outcome"), out StageOutcome read) ? read : null;
            units[ended] = past with { Outcome = outcome, LastUtc = began ? entry.Utc : past.LastUtc };
        }
        else if (began && Open(open, entry.Unit) is { } at)
        {
            bool watched = entry.Kind == RunEntryKind.StageBegan && Enum.TryParse(Fact(entry, "stage"), out Stage stage) && stage is > Stage.Transfer and <= Stage.Reset;
            units[at] = units[at] with { LastUtc = entry.Utc, Stage = watched ? (Stage)Enum.Parse(typeof(Stage), Fact(entry, "stage")!) : units[at].Stage };
        }
    }

    private static int? Open(Dictionary<string, int> open, string unit) => open.TryGetValue(unit, out int order) ? order : null;

    private static JournalEntry? LastRun(JournalReading reading) => reading.Entries.LastOrDefault(entry => entry.Kind == RunEntryKind.RunBegan);

    private static string? Fact(JournalEntry entry, string name) => entry.Facts.TryGetValue(name, out string? value) && value.Length > 0 ? value : null;

    private static int? Number(JournalEntry entry, string name) => int.TryParse(Fact(entry, name), NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? number : null;

    // The first figures tell two fingerprints apart; both whole fill two lines.
    private static string Short(string fingerprint) => fingerprint.Length > 12 ? fingerprint.Substring(0, 12) + "…" : $"'{Excerpt.Of(fingerprint)}'";

    private static ResumeResult Refuse(params Problem[] problems) => new(null, string.Empty, new Dictionary<string, string>(StringComparer.Ordinal), problems);
}
