using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Rehearsal.Tests.Situations;

namespace PoeOps.Rehearsal.Tests.Nights;

/// <summary>One night at a place by chance: the plan is run, and run again for what is left, until nothing is or nobody has the patience.</summary>
internal sealed class RandomNight
{
    private const double Speed = 1000;
    private const int UsualRuns = 3;
    private const int MostRuns = 10;

    private readonly Random _chance;
    private readonly List<string> _ofHost = [];

    /// <summary>Prepares the night of a seed.</summary>
    public RandomNight(int seed)
    {
        Seed = seed;
        _chance = new Random(seed);
    }

    public int Seed { get; }

    /// <summary>What went wrong, each kind once a target; slowness is no event, and counts where it was asked for.</summary>
    public IReadOnlyList<string> Mishaps { get; private set; } = [];

    /// <summary>Every result of every run.</summary>
    public List<UnitResult> Results { get; } = [];

    /// <summary>How each unit ended the last time that it was taken up.</summary>
    public IEnumerable<UnitResult> Last => Results.GroupBy(result => result.UnitId).Select(group => group.Last());

    /// <summary>What the auditor found.</summary>
    public IReadOnlyList<string> Findings { get; private set; } = [];

    /// <summary>Runs the night.</summary>
    public void Run()
    {
        string folder = Directory.CreateTempSubdirectory("poeops-place-").FullName;
        try
        {
            IReadOnlyList<string> mishaps = RandomMishaps.Choose(Seed, _chance);
            using var night = new RehearsedRun(new RehearsalOptions { EstatePath = RandomPlace.Write(folder, _chance), Speed = Speed, Mishaps = mishaps });
            foreach ((string name, string unit, string to) in RandomPlace.Units)
            {
                night.Plan(name, unit, to);
            }

            RunAndGoOn(night);
            IEnumerable<string> slow = mishaps.Where(mishap => mishap.Contains("Device:Slow", StringComparison.Ordinal)).Select(_ => "Device:Slow");
            Mishaps = [.. night.Rehearsal.Log.Where(entry => entry.Kind == DeviceEntryKind.Mishap).Select(entry => (entry.Target, entry.Text)).Distinct().Select(one => one.Text), .. slow];
            Findings = [.. night.Audit().Select(finding => $"Night {Seed} ({string.Join(", ", [.. mishaps, .. _ofHost])}): {finding}")];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    // Every second night is gone on with by its journal; in the others what is left is planned anew.
    private bool Resumes => Seed % 2 == 0;

    private void RunAndGoOn(RehearsedRun night)
    {
        int fails = _chance.Next(5) == 0 ? _chance.Next(5, 120) : int.MaxValue;
        int stops = _chance.Next(5) == 0 ? _chance.Next(1, 200) : int.MaxValue;
        _ofHost.AddRange(fails < int.MaxValue ? [$"the journal fails at its entry {fails}"] : []);
        _ofHost.AddRange(stops < int.MaxValue ? [$"a stop is asked for at the word {stops}"] : []);
        for (int run = 0; night.Units.Count > 0 && (run < UsualRuns || (run < MostRuns && Last.Count() < RandomPlace.Units.Count)); run++)
        {
            var stop = new StopRequest(null);
            int told = 0;
            night.Stop = stop;
            night.Watcher = _ => StopAt(stop, ++told, stops);
            night.Around = record => new FailingRecord(record, entry: fails, count: 3);
            night.Adjust = options => Resumes && Results.Count > 0 ? options with { Past = JournalResume.Past(JournalReplay.Read(night.JournalPath), options.Plan.Fingerprint), ContinueOnFailure = true } : options;
            IReadOnlyList<UnitResult> results = Results.Count == 0 ? RunFirst(night) : night.Run();
            Results.AddRange(results);
            HashSet<string> through = [.. Results.Where(IsThrough).Select(result => result.UnitId.ToString())];
            PlannedUnit[] left = [.. night.Units.Where(unit => !through.Contains(unit.UnitId.ToString()))];
            if (!Resumes || left.Length == 0)
            {
                night.Units.Clear();
                night.Units.AddRange(left);
            }

            (fails, stops) = (int.MaxValue, int.MaxValue);
        }
    }

    // The record may fail before anything was begun: then nothing was done, and the run says so.
    private static IReadOnlyList<UnitResult> RunFirst(RehearsedRun night)
    {
        try
        {
            return night.Run();
        }
        catch (PoeOpsException exception) when (exception.Problem.Id == ProblemId.JournalNotWritable)
        {
            return night.Results;
        }
    }

    private static void StopAt(StopRequest stop, int told, int at)
    {
        if (told == at)
        {
            stop.Ask();
        }
    }

    private static bool IsThrough(UnitResult result) =>
        result.Outcome is StageOutcome.Done or StageOutcome.Degraded || result.ProblemId is ProblemId.NothingToDo or ProblemId.LoadsNotBack;
}
