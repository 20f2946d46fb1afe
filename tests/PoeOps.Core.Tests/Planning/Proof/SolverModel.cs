using Google.OrTools.Sat;
using PoeOps.Planning;
using Window = PoeOps.Calendar.Window;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>
/// The rules of planning for the CP-SAT solver of Google OR-Tools, written from the rules and not from the planner: for each image a start and one window
/// and lane, everything else as constraints between them. Seconds from the beginning of the plan.
/// </summary>
internal sealed class SolverModel
{
    private readonly CpModel _model = new();
    private readonly PlanCase _case;
    private readonly IReadOnlyList<Job> _jobs;
    private readonly List<(string Site, Window Window, BoolVar Used, BoolVar[] Lane)> _windows = [];
    private readonly Dictionary<Job, IntVar> _starts = [];
    private readonly List<(Job Job, int Window, int Lane, BoolVar Chosen)> _choices = [];
    private readonly LinearExpr _used;
    private readonly IntVar _end;

    public SolverModel(PlanCase one)
    {
        _case = one;
        _jobs = one.Jobs;
        foreach (string site in one.Units.Select(unit => unit.Site).Distinct())
        {
            foreach (Window window in one.Windows(site))
            {
                _windows.Add((site, window, _model.NewBoolVar($"used {_windows.Count}"), [.. Enumerable.Range(0, one.Options.Lanes).Select(lane => _model.NewBoolVar($"lane {_windows.Count} {lane}"))]));
            }
        }

        long last = _windows.Select(window => Seconds(window.Window.ClosesUtc)).DefaultIfEmpty(0).Max();
        _end = _model.NewIntVar(0, last, "end");
        foreach (Job job in _jobs)
        {
            Choose(job, last);
        }

        Lanes();
        Order();
        Apart();
        Limits();
        _used = LinearExpr.Sum(_windows.Select(window => window.Used));
    }

    /// <summary>The fewest windows, and the earliest end with as many; null where there is no plan, or none was proved in time.</summary>
    public (int Windows, long EndSeconds)? Best(double seconds)
    {
        _model.Minimize(_used);
        if (Solve(seconds, out double windows, out _) != CpSolverStatus.Optimal)
        {
            return null;
        }

        _model.Add(_used == (long)windows);
        _model.Minimize(_end);
        return Solve(seconds, out double end, out _) == CpSolverStatus.Optimal ? ((int)windows, (long)end) : null;
    }

    /// <summary>The fewest windows that are found in a time, from a plan on; null where no plan is. And the bound that is proved.</summary>
    /// <param name="seconds">How long it is looked for.</param>
    /// <param name="known">A plan to begin with: what is found is never more than it has.</param>
    public (int? Found, int Bound) Fewest(double seconds, Plan known)
    {
        _model.AddHint(_end, Seconds(known.LastEndUtc!.Value));
        var rows = known.Units.ToDictionary(unit => (unit.UnitId, unit.Hop));
        foreach ((Job job, IntVar start) in _starts)
        {
            _model.AddHint(start, Seconds(rows[(job.Unit.UnitId, job.Hop + 1)].StartUtc));
        }

        foreach ((Job job, int window, int lane, BoolVar chosen) in _choices)
        {
            PlannedUnit row = rows[(job.Unit.UnitId, job.Hop + 1)];
            _model.AddHint(chosen, row.Lane == lane + 1 && row.WindowOpensUtc == _windows[window].Window.OpensUtc && row.WindowClosesUtc == _windows[window].Window.ClosesUtc);
        }

        foreach ((string site, Window window, BoolVar used, BoolVar[] lanes) in _windows)
        {
            PlannedUnit? row = known.Units.FirstOrDefault(unit => unit.Site == site && unit.WindowOpensUtc == window.OpensUtc && unit.WindowClosesUtc == window.ClosesUtc);
            _model.AddHint(used, row is not null);
            for (int lane = 0; lane < lanes.Length; lane++)
            {
                _model.AddHint(lanes[lane], row?.Lane == lane + 1);
            }
        }

        _model.Minimize(_used);
        CpSolverStatus status = Solve(seconds, out double windows, out double bound);
        return (status is CpSolverStatus.Optimal or CpSolverStatus.Feasible ? (int)Math.Round(windows) : null, (int)Math.Ceiling(bound - 1e-6));
    }

    private CpSolverStatus Solve(double seconds, out double value, out double bound)
    {
        using var solver = new CpSolver { StringParameters = FormattableString.Invariant($"max_time_in_seconds:{seconds},num_workers:2,random_seed:1,cp_model_probing_level:0") };
        CpSolverStatus status = solver.Solve(_model);
        (value, bound) = (solver.ObjectiveValue, solver.BestObjectiveBound);
        return status;
    }

    private void Choose(Job job, long last)
    {
        IntVar start = _model.NewIntVar(0, last, "start");
        _starts.Add(job, start);
        List<BoolVar> all = [];
        for (int index = 0; index < _windows.Count; index++)
        {
            (string site, Window window, BoolVar used, BoolVar[] lanes) = _windows[index];
            if (site != job.Unit.Site || !_case.MayUse(job.Unit, window))
            {
                continue;
            }

            for (int lane = 0; lane < lanes.Length; lane++)
            {
                BoolVar chosen = _model.NewBoolVar("chosen");
                _model.Add(start >= Seconds(window.OpensUtc)).OnlyEnforceIf(chosen);
                _model.Add(start + Length(job) <= Seconds(window.ClosesUtc) - (long)_case.Options.Reserve.TotalSeconds).OnlyEnforceIf(chosen);
                _model.AddImplication(chosen, used);
                _model.AddImplication(chosen, lanes[lane]);
                _choices.Add((job, index, lane, chosen));
                all.Add(chosen);
            }
        }

        _model.AddExactlyOne(all);
        _model.Add(_end >= start + Length(job));
    }

    // A window has one lane, and so have windows of a site that are open at the same time; in a lane one unit at a time.
    private void Lanes()
    {
        for (int lane = 0; lane < _case.Options.Lanes; lane++)
        {
            _model.AddNoOverlap(_choices.Where(choice => choice.Lane == lane).Select(choice => _model.NewOptionalFixedSizeIntervalVar(_starts[choice.Job], Length(choice.Job), choice.Chosen, "work")));
        }

        for (int one = 0; one < _windows.Count; one++)
        {
            _model.AddAtMostOne(_windows[one].Lane);
            for (int other = one + 1; other < _windows.Count; other++)
            {
                if (Overlap(one, other))
                {
                    var clash = from left in Enumerable.Range(0, _case.Options.Lanes) from right in Enumerable.Range(0, _case.Options.Lanes) where left != right select (left, right);
                    foreach ((int left, int right) in clash)
                    {
                        _model.AddAtMostOne([_windows[one].Lane[left], _windows[other].Lane[right]]);
                    }
                }
            }
        }
    }

    private void Order()
    {
        foreach ((Job before, Job after, TimeSpan lag) in _case.Order(_jobs))
        {
            _model.Add(_starts[after] >= _starts[before] + Length(before) + (long)lag.TotalSeconds);
        }
    }

    private void Apart()
    {
        foreach (var group in _choices.Where(choice => choice.Job.Unit.Drift.Controller.CoverageGroup.Length > 0).GroupBy(choice => choice.Job.Unit.Site).Select(group => group.ToList()))
        {
            foreach (var (one, other) in from one in @group from other in @group where (one.Window == other.Window || Overlap(one.Window, other.Window)) && _case.AreApart(one.Job.Unit, other.Job.Unit) select (one, other))
            {
                _model.AddAtMostOne([one.Chosen, other.Chosen]);
            }
        }
    }

    private void Limits()
    {
        for (int index = 0; index < _windows.Count; index++)
        {
            var limits = _case.Estate.FindSite(_windows[index].Site)!.Limits;
            var inside = _choices.Where(choice => choice.Window == index).ToList();
            if (limits.Units is { } units)
            {
                _model.Add(LinearExpr.Sum(inside.Select(choice => choice.Chosen)) <= units);
            }

            if (limits.DarkLoads is { } loads)
            {
                _model.Add(LinearExpr.WeightedSum(inside.Select(choice => choice.Chosen), inside.Select(choice => choice.Job.Unit.Loads)) <= loads);
            }
        }
    }

    private bool Overlap(int one, int other) => one != other && _windows[one].Site == _windows[other].Site
        && _windows[one].Window.OpensUtc < _windows[other].Window.ClosesUtc && _windows[other].Window.OpensUtc < _windows[one].Window.ClosesUtc;

    private long Seconds(DateTime utc) => (long)Math.Max(0, (utc - _case.Options.FromUtc).TotalSeconds);

    private static long Length(Job job) => (long)job.Length.TotalSeconds;
}
