namespace PoeOps.Planning;

/// <summary>What can come next in a part of a plan: every item that may, in every window that is not surely as bad as an earlier one.</summary>
internal sealed class SearchMoves(PlanTask task)
{
    private readonly ulong _inGroups = task.Items.Where(item => item.Group >= 0).Aggregate(0UL, (bits, item) => bits | (1UL << item.Index));

    /// <summary>The state in which nothing is done.</summary>
    public SearchState Start() => new()
    {
        Done = 0,
        Used = 0,
        Free = [.. Enumerable.Repeat(task.From, task.Lanes)],
        Last = task.From,
        End = task.From,
        Ready = [.. task.Items.Select(item => Math.Max(item.Ready, task.From))],
        Open = [],
    };

    /// <summary>The states that follow one: each item that may be next, in each window and lane that is worth a look.</summary>
    public IEnumerable<SearchState> From(SearchState state)
    {
        foreach (PlanItem item in task.Items)
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
            PlanWindow window = task.Windows[index];
            int open = Array.FindIndex(state.Open, one => one.Window == index);
            if (open < 0 && passed.Exists(earlier => IsNoBetter(state, item, window, earlier)))
            {
                continue;
            }

            bool whole = false;
            for (int lane = 0; lane < task.Lanes; lane++)
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
            if (whole && Array.TrueForAll(state.Free, free => free <= window.Opens) && task.Overlapping[index].Length == 0)
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

        foreach (PlanItem other in task.Items)
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
        foreach (PlanItem other in task.Items)
        {
            if ((inside & (1UL << other.Index)) != 0)
            {
                units++;
                loads += other.Loads;
            }
        }

        return task.IsWithinLimits(window.Site, units, loads) && IsApart(item, inside) && IsApartFromOverlapping(state, item, window, lane);
    }

    private bool IsApartFromOverlapping(SearchState state, PlanItem item, PlanWindow window, int lane)
    {
        int[] overlapping = task.Overlapping[window.Index];
        return overlapping.Length == 0 || Array.TrueForAll(state.Open, one => Array.IndexOf(overlapping, one.Window) < 0 || (one.Lane == lane && IsApart(item, one.All)));
    }

    private bool IsApart(PlanItem item, ulong inside) => item.Group < 0
        || !Array.Exists(task.Items, other => (inside & (1UL << other.Index)) != 0 && other.Group == item.Group && other.Unit != item.Unit);

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
        PlanWindow window = task.Windows[index];
        return Array.Exists(task.Items, item => item.Site == window.Site && (done & (1UL << item.Index)) == 0
            && (free + item.Length <= window.Ends || (task.Overlapping[index].Length > 0 && task.Overlapping[index].Any(other => free + item.Length <= task.Windows[other].Ends))));
    }

    private ulong Relevant(int index, ulong all, ulong done)
    {
        int site = task.Windows[index].Site;
        if (task.Limits[site] != (int.MaxValue, int.MaxValue))
        {
            return all;
        }

        ulong left = _inGroups & ~done;
        return left == 0 ? 0 : all & _inGroups;
    }
}
