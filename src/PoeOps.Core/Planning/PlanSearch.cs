namespace PoeOps.Planning;

/// <summary>
/// Looks for the best plan of few items exactly: all orders in time, item by item, where of two parts of a plan with the same items done only the better is
/// kept, and none that cannot beat the best plan known. Where there is more to keep than it may, the worst by their bounds are let go, and what is found
/// is good but not proved.
/// </summary>
internal sealed class PlanSearch
{
    /// <summary>More items than these are not looked at.</summary>
    public const int MostItems = 48;

    // So many parts of plans are made at the most, spread over the layers: the search takes seconds, however it turns out.
    private const int MostWork = 1_200_000;
    private const int LeastKept = 200;

    // The layers in the middle are the largest, so that not every one needs as much.
    private const int SpreadOver = 4;

    private readonly PlanTask _task;
    private readonly PlanBounds _bounds;
    private readonly SearchMoves _moves;
    private int _made;
    private int _madeBefore;

    private PlanSearch(PlanTask task)
    {
        _task = task;
        _bounds = new PlanBounds(task);
        _moves = new SearchMoves(task);
    }

    /// <summary>True where nothing was let go: what is in the draft then is the best there is.</summary>
    public bool IsProved { get; private set; } = true;

    /// <summary>Puts the best plan into a draft, where one is found that is better than what is in it.</summary>
    /// <param name="task">The task, of <see cref="MostItems"/> items at the most.</param>
    /// <param name="draft">The draft, with every item in it or not.</param>
    /// <returns>The search, which says whether it is proved.</returns>
    public static PlanSearch Improve(PlanTask task, PlanDraft draft)
    {
        var search = new PlanSearch(task);
        (int Used, long End) known = draft.Count == task.Items.Length ? (draft.Used, draft.End) : (int.MaxValue, long.MaxValue);
        SearchState? found = search.Run(known);
        if (found is not null)
        {
            draft.Restore(new Place?[task.Items.Length]);
            for (SearchState state = found; state.Parent is { } before; state = before)
            {
                draft.Add(state.Item, state.Place);
            }
        }

        return search;
    }

    private SearchState? Run((int Used, long End) best)
    {
        SearchState? found = null;
        List<SearchState> layer = [_moves.Start()];
        for (int done = 0; done < _task.Items.Length && layer.Count > 0; done++)
        {
            bool isLast = done == _task.Items.Length - 1;
            var next = new Dictionary<SearchKey, List<SearchState>>();
            List<List<SearchState>> kept = [];
            foreach (SearchState state in layer)
            {
                foreach (SearchState one in _moves.From(state))
                {
                    _made++;
                    one.Bound = _bounds.Of(one, best);
                    if (one.Bound.CompareTo(best) >= 0)
                    {
                        continue;
                    }

                    if (isLast)
                    {
                        (best, found) = (one.Bound, one);
                        continue;
                    }

                    Keep(one, next, kept);
                }
            }

            layer = Best(kept, done + 1, layer.Count);
        }

        return found;
    }

    private static void Keep(SearchState state, Dictionary<SearchKey, List<SearchState>> next, List<List<SearchState>> kept)
    {
        var key = new SearchKey(state);
        if (!next.TryGetValue(key, out List<SearchState>? same))
        {
            next.Add(key, same = []);
            kept.Add(same);
        }

        foreach (SearchState other in same)
        {
            if (other.Dominates(state))
            {
                return;
            }
        }

        same.RemoveAll(state.Dominates);
        same.Add(state);
    }

    // What is left of the work is spread over the layers that are left, by what a state of the last one made.
    private List<SearchState> Best(List<List<SearchState>> kept, int done, int before)
    {
        List<SearchState> all = [.. kept.SelectMany(same => same)];
        int layers = _task.Items.Length - done;
        double each = Math.Max(1, (_made - _madeBefore) / (double)Math.Max(1, before));
        _madeBefore = _made;
        int keep = (int)Math.Max(LeastKept, (MostWork - _made) / (each * Math.Min(layers, SpreadOver)));
        if (all.Count <= keep)
        {
            return all;
        }

        IsProved = false;
        return [.. all.OrderBy(state => state.Bound.Used).ThenBy(state => state.Bound.End).ThenBy(state => state.End).Take(keep)];
    }
}
