using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>
/// Puts drifted units into the windows of their sites. In each lane one unit at a time, to the end of its recovery; each image with its worst case, its
/// recovery and the reserve inside one window; units that cover for each other apart; the pilot of each model and image first, and its fellows after the
/// soak; the images of a unit in order; the unit that holds its stack's management after the others; limits, named windows and attendance kept. What is
/// sought, in this order: few windows, an early end, little disturbance in busy hours. The same input gives the same plan. Nothing disappears: a unit is
/// planned with all its images, has nothing to do, or is an obstacle.
/// </summary>
public sealed class Planner
{
    // Each round leaves out units that stand in the way of others; so many kinds of trouble are not met in one estate.
    private const int MostRounds = 40;

    private readonly EstateMap _estate;
    private readonly PlanOptions _options;
    private readonly List<Obstacle> _obstacles = [];

    private Planner(EstateMap estate, PlanOptions options)
    {
        _estate = estate;
        _options = options;
    }

    /// <summary>Makes a plan.</summary>
    /// <param name="outages">The units, each once.</param>
    /// <param name="estate">The estate, for its windows.</param>
    /// <param name="options">What else is taken into account.</param>
    /// <exception cref="PoeOpsException">
    /// A site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>), a unit comes twice (<see cref="ProblemId.NameTwice"/>), or the estate's file
    /// cannot be read any more (<see cref="ProblemId.FileUnreadable"/>).
    /// </exception>
    public static Plan Plan(IEnumerable<Outage> outages, EstateMap estate, PlanOptions options) => new Planner(estate, options).Make([.. outages]);

    private Plan Make(List<Outage> outages)
    {
        CheckOnce(outages);
        _obstacles.AddRange(_options.Obstacles);
        List<Outage> able = [];
        foreach (Outage outage in InOrder(outages.Where(NeedsWork)))
        {
            if (Obstacles.Before(outage, _estate, _options) is { } known)
            {
                _obstacles.Add(known);
            }
            else
            {
                able.Add(outage);
            }
        }

        PlanSetup setup = new(_estate, _options, able);
        Obstacles obstacles = new(setup, _options);
        foreach (Outage outage in able.ToList())
        {
            if (obstacles.Alone(outage) is { } alone)
            {
                _obstacles.Add(alone);
                able.Remove(outage);
            }
        }

        Solution solution = Solve(setup, obstacles, able);
        string path = Path.GetFullPath(_estate.SourcePath);
        PlanSource source = SourceParts.Of(path) ?? throw Gone("estate", path);
        return new Plan
        {
            Name = _estate.Name,
            CreatedUtc = _options.CreatedUtc,
            EstatePath = path,
            EstateSha256 = source.Sha256,
            EstateParts = source.Parts,
            Baselines = Baselines(outages).ToList(),
            NothingToDo = outages.Count(outage => !NeedsWork(outage)),
            Lanes = _options.Lanes,
            SoakSeconds = setup.Soak.TotalSeconds,
            IsBest = solution.IsBest,
            // Lists that a script can count and index.
            Units = PlannedRows.Of(solution, _options).ToList(),
            Obstacles = _obstacles.OrderBy(one => one.Site, NaturalOrder.Instance).ThenBy(one => one.Switch, NaturalOrder.Instance).ThenBy(one => one.Unit, NaturalOrder.Instance).ToList(),
        };
    }

    // What cannot be placed is left out, what waits for it gets another forerunner, and all is placed anew.
    private Solution Solve(PlanSetup setup, Obstacles obstacles, List<Outage> able)
    {
        Dictionary<(UnitId, int), DateTime> keep = _options.Keep.ToDictionary(one => (one.UnitId, one.Hop - 1), one => one.WindowOpensUtc);
        for (int round = 1; ; round++)
        {
            PlanTask task = setup.Task(able, keep);
            PlanDraft draft = new(task);
            bool isBest = PlanSolver.Solve(task, draft, _estate);
            List<PlanItem> left = [.. task.Items.Where(item => draft[item.Index] is null)];
            if (left.Count == 0)
            {
                return new Solution(task, draft, isBest && _options.Keep.Count == 0);
            }

            List<PlanItem> roots = left.FindAll(item => item.Before.TrueForAll(before => draft[before.Item] is not null || task.Items[before.Item].Unit == item.Unit));
            List<(UnitId, int)> kept = [.. left.Select(item => (item.Outage.UnitId, item.Hop)).Where(keep.ContainsKey)];
            if (kept.Count > 0 && round < MostRounds)
            {
                kept.ForEach(one => keep.Remove(one));
                continue;
            }

            bool othersWait = roots.Select(item => item.Unit).Distinct().Count() < left.Select(item => item.Unit).Distinct().Count();
            foreach (Outage unit in (othersWait && round < MostRounds ? roots : left).Select(item => item.Outage).Distinct().ToList())
            {
                _obstacles.Add(obstacles.Crowded(unit, task, draft));
                able.Remove(unit);
            }

            if (!othersWait || round >= MostRounds)
            {
                return Without(task, draft, left);
            }
        }
    }

    // All images of a unit, or none of them.
    private static Solution Without(PlanTask task, PlanDraft draft, List<PlanItem> left)
    {
        HashSet<int> units = [.. left.Select(item => item.Unit)];
        foreach (PlanItem item in task.Items.Where(item => units.Contains(item.Unit) && draft[item.Index] is not null))
        {
            draft.Remove(item.Index);
        }

        return new Solution(task, draft, IsBest: false);
    }

    private static IEnumerable<PlanSource> Baselines(List<Outage> outages) =>
        outages.Select(outage => outage.Drift.BaselinePath).Where(path => path.Length > 0).Distinct().Select(Path.GetFullPath).Distinct().OrderBy(path => path, StringComparer.Ordinal)
            .Select(baseline => SourceParts.Of(baseline) ?? throw Gone("baseline", baseline));

    private static PoeOpsException Gone(string kind, string path) => new(new Problem(
        ProblemId.FileUnreadable, $"The {kind} file '{path}' cannot be read any more, so the plan could not be held against it later.", "Plan again once the file is there.") { File = path });

    private static bool NeedsWork(Outage outage) => outage.Verdict is not (Verdict.Current or Verdict.Ahead);

    private static IEnumerable<Outage> InOrder(IEnumerable<Outage> outages) =>
        outages.OrderBy(outage => outage.Site, NaturalOrder.Instance).ThenBy(outage => outage.Switch, NaturalOrder.Instance).ThenBy(outage => outage.Unit, NaturalOrder.Instance);

    private static void CheckOnce(List<Outage> outages)
    {
        if (outages.GroupBy(outage => outage.UnitId).FirstOrDefault(group => group.Count() > 1) is { } twice)
        {
            throw new PoeOpsException(new Problem(ProblemId.NameTwice, $"The unit {twice.Key} came {twice.Count()} times.", "Give each unit once.") { Target = twice.Key.ToString() });
        }
    }
}

/// <summary>What the search found.</summary>
/// <param name="Task">The task.</param>
/// <param name="Draft">The places.</param>
/// <param name="IsBest">True where no plan has fewer windows, or as few and an earlier end.</param>
internal sealed record Solution(PlanTask Task, PlanDraft Draft, bool IsBest);
