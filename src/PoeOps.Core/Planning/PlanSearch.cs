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
    private readonly ulong _inGroups;
    private int _made;
    private int _madeBefore;

    private PlanSearch(PlanTask task)
    {
        _task = task;
        _bounds = new PlanBounds(task);
        _inGroups = task.Items.Where(item => item.Group >= 0).Aggregate(0UL, (bits, item) => bits | (1UL << item.Index));
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
        List<SearchState> layer = [Start()];
        for (int done = 0; done < _task.Items.Length && layer.Count > 0; done++)
        {
            bool isLast = done == _task.Items.Length - 1;
            var next = new Dictionary<SearchKey, List<SearchState>>();
            List<List<SearchState>> kept = [];
            foreach (SearchState state in layer)
            {
                foreach (SearchState one in Further(state))
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

    private SearchState Start() => new()
    {
        Done = 0,
        Used = 0,
        Free = [.. Enumerable.Repeat(_task.From, _task.Lanes)],
        Last = _task.From,
        End = _task.From,
        Ready = [.. _task.Items.Select(item => Math.Max(item.Ready, _task.From))],
        Open = [],
    };

    private IEnumerable<SearchState> Further(SearchState state)
    {
        foreach (PlanItem item in _task.Items)
        {
            if ((state.Done & (1UL << item.Index)) == 0 && item.Before.TrueForAll(before => (state.Done & (1UL << before.Item)) != 0))
            {
                foreach (SearchState one in With(state, item))
                {
                    yield return one;
                }
            }
        }
    }

    private IEnumerable<SearchState> With(SearchState state, PlanItem item)
    {
        List<PlanWindow> passed = [];
        foreach (int index in item.Windows)
        {
            PlanWindow window = _task.Windows[index];
            int open = Array.FindIndex(state.Open, one => one.Window == index);
            if (open < 0 && passed.Exists(earlier => IsNoBetter(state, item, window, earlier)))
            {
                continue;
            }

            bool whole = false;
            for (int lane = 0; lane < _task.Lanes; lane++)
            {
                if (open >= 0 && state.Open[open].Lane != lane)
                {
                    continue;
                }

                long start = Math.Max(Math.Max(state.Free[lane], state.Last), Math.Max(window.Opens, state.Ready[item.Index]));
                if (start + item.Length <= window.Ends && IsAllowed(state, item, window, open, lane))
                {
                    whole |= open < 0 && start == window.Opens;
                    yield return Next(state, item, new Place(index, lane, start), open);
                }
            }

            // A lane that is free before the window opens is free in all of it.
            if (whole && Array.TrueForAll(state.Free, free => free <= window.Opens) && _task.Overlapping[index].Length == 0)
            {
                passed.Add(window);
            }
        }
    }

    // What begins with this item in the later window could as well stand in the earlier one, which is as long and over before the later one opens: unless
    // something could join it there that cannot yet be in the earlier one.
    private bool IsNoBetter(SearchState state, PlanItem item, PlanWindow later, PlanWindow earlier)
    {
        if (earlier.Room < later.Room || earlier.Closes > later.Opens)
        {
            return false;
        }

        foreach (PlanItem other in _task.Items)
        {
            bool couldJoin = other.Site == item.Site && other.Index != item.Index && (state.Done & (1UL << other.Index)) == 0 && Array.BinarySearch(other.Windows, later.Index) >= 0
                && !other.Before.Exists(before => before.Item == item.Index && before.Lag >= later.Room);
            if (couldJoin && (state.Ready[other.Index] > earlier.Opens || Array.BinarySearch(other.Windows, earlier.Index) < 0 || IsWaiting(state, item, other)))
            {
                return false;
            }
        }

        return true;
    }

    // Something other than the item itself must come before.
    private static bool IsWaiting(SearchState state, PlanItem item, PlanItem other) => other.Before.Exists(before => before.Item != item.Index && (state.Done & (1UL << before.Item)) == 0);

    private bool IsAllowed(SearchState state, PlanItem item, PlanWindow window, int open, int lane)
    {
        ulong inside = open >= 0 ? state.Open[open].All : 0;
        (int units, int loads) = (1, item.Loads);
        foreach (PlanItem other in _task.Items)
        {
            if ((inside & (1UL << other.Index)) != 0)
            {
                units++;
                loads += other.Loads;
            }
        }

        return _task.IsWithinLimits(window.Site, units, loads) && IsApart(item, inside) && IsApartFromOverlapping(state, item, window, lane);
    }

    private bool IsApartFromOverlapping(SearchState state, PlanItem item, PlanWindow window, int lane)
    {
        int[] overlapping = _task.Overlapping[window.Index];
        return overlapping.Length == 0 || Array.TrueForAll(state.Open, one => Array.IndexOf(overlapping, one.Window) < 0 || (one.Lane == lane && IsApart(item, one.All)));
    }

    private bool IsApart(PlanItem item, ulong inside) => item.Group < 0
        || !Array.Exists(_task.Items, other => (inside & (1UL << other.Index)) != 0 && other.Group == item.Group && other.Unit != item.Unit);

    private SearchState Next(SearchState state, PlanItem item, Place place, int open)
    {
        long end = place.Start + item.Length;
        ulong done = state.Done | (1UL << item.Index);
        long[] free = (long[])state.Free.Clone();
        free[place.Lane] = end;
        long[] ready = state.Ready;
        if (item.After.Count > 0)
        {
            ready = (long[])ready.Clone();
            foreach ((int after, long lag) in item.After)
            {
                ready[after] = Math.Max(ready[after], end + lag);
            }
        }

        return new SearchState
        {
            Done = done,
            Used = state.Used + (open < 0 ? 1 : 0),
            Free = free,
            Last = place.Start,
            End = Math.Max(state.End, end),
            Ready = ready,
            Open = Windows(state, item, place, done, free),
            Parent = state,
            Item = item.Index,
            Place = place,
        };
    }

    private OpenWindow[] Windows(SearchState state, PlanItem item, Place place, ulong done, long[] free)
    {
        List<OpenWindow> open = [];
        ulong all = 1UL << item.Index;

        // A window whose lane is taken is not for another lane either, so it matters as long as any lane is free in it.
        long earliest = Math.Max(free.Min(), place.Start);
        foreach (OpenWindow one in state.Open)
        {
            if (one.Window == place.Window)
            {
                all |= one.All;
            }
            else if (Matters(one.Window, done, earliest))
            {
                open.Add(one with { Items = Relevant(one.Window, one.All, done) });
            }
        }

        if (Matters(place.Window, done, earliest))
        {
            open.Add(new OpenWindow(place.Window, place.Lane, Relevant(place.Window, all, done), all));
        }

        open.Sort((left, right) => left.Window.CompareTo(right.Window));
        return [.. open];
    }

    // A window matters while something may still come into it, or into one that is open at the same time.
    private bool Matters(int index, ulong done, long free)
    {
        PlanWindow window = _task.Windows[index];
        return Array.Exists(_task.Items, item => item.Site == window.Site && (done & (1UL << item.Index)) == 0
            && (free + item.Length <= window.Ends || (_task.Overlapping[index].Length > 0 && _task.Overlapping[index].Any(other => free + item.Length <= _task.Windows[other].Ends))));
    }

    private ulong Relevant(int index, ulong all, ulong done)
    {
        int site = _task.Windows[index].Site;
        if (_task.Limits[site] != (int.MaxValue, int.MaxValue))
        {
            return all;
        }

        ulong left = _inGroups & ~done;
        return left == 0 ? 0 : all & _inGroups;
    }
}
