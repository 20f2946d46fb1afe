namespace PoeOps.Planning;

/// <summary>
/// Makes a draft better by taking some windows apart and filling them again, many times over: fewer windows first, then an earlier end. How often is
/// fixed by the number of items, so that the same input gives the same plan.
/// </summary>
internal sealed class PlanImprovement(PlanTask task, PlanDraft draft)
{
    private const int MostTurns = 4000;
    private const int WorkForAll = 600_000;

    // So few are searched exactly afterwards.
    private const int Few = 24;
    private const ulong Seed = 20261201;

    private readonly SplitMix64 _draws = new(Seed);

    /// <summary>How good a draft is; less is better.</summary>
    public static (int Left, int Used, long End) Cost(PlanTask task, PlanDraft draft) => (task.Items.Length - draft.Count, draft.Used, draft.End);

    /// <summary>Improves the draft.</summary>
    public void Run()
    {
        int turns = Math.Min(MostTurns, WorkForAll / Math.Max(1, task.Items.Length));
        turns = task.Items.Length > WorkForAll / 200 ? 0 : task.Items.Length <= Few ? Few * task.Items.Length : turns;
        var best = Cost(task, draft);
        Place?[] bestPlaces = draft.Save();
        Place?[] places = bestPlaces;
        var current = best;
        for (int turn = 0; turn < turns; turn++)
        {
            TakeApart();
            new PlanBuilder(task, draft, _draws).Fill(LeftOver());
            draft.Tighten();
            var cost = Cost(task, draft);
            bool worse = cost.Left > current.Left || (cost.Left == current.Left && cost.Used > current.Used) || (cost.CompareTo(current) > 0 && _draws.Below(10) > 0);
            if (worse)
            {
                draft.Restore(places);
                continue;
            }

            current = cost;
            places = draft.Save();
            if (cost.CompareTo(best) < 0)
            {
                (best, bestPlaces) = (cost, places);
            }
        }

        draft.Restore(bestPlaces);
    }

    private List<int> LeftOver()
    {
        List<int> left = [];
        for (int item = 0; item < task.Items.Length; item++)
        {
            if (draft[item] is null)
            {
                left.Add(item);
            }
        }

        return left;
    }

    // Two to four windows: of one site, or of one night, or that of the end.
    private void TakeApart()
    {
        int[] used = [.. Enumerable.Range(0, task.Windows.Length).Where(window => draft.In(window).Count > 0)];
        if (used.Length == 0)
        {
            return;
        }

        int first = _draws.Below(3) == 0 ? Last(used) : used[_draws.Below(used.Length)];
        bool ofSite = _draws.Below(2) == 0;
        int[] near = ofSite
            ? [.. used.Where(window => window != first && task.Windows[window].Site == task.Windows[first].Site)]
            : [.. used.Where(window => window != first).OrderBy(window => Math.Abs(task.Windows[window].Opens - task.Windows[first].Opens)).Take(6)];
        Empty(first);
        for (int more = 1 + _draws.Below(3); more > 0 && near.Length > 0; more--)
        {
            Empty(near[_draws.Below(near.Length)]);
        }
    }

    private int Last(int[] used) => used.OrderByDescending(window => draft.In(window).Max(draft.EndOf)).First();

    private void Empty(int window)
    {
        foreach (int item in draft.In(window).ToArray())
        {
            draft.Remove(item);
        }
    }
}
