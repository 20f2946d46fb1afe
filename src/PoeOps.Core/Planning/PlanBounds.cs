namespace PoeOps.Planning;

/// <summary>Bounds from below on what any plan costs that goes on from a state: windows by room, coverage and soak; the end by work, order and windows.</summary>
internal sealed class PlanBounds
{
    private readonly PlanTask _task;
    private readonly int[] _order;
    private readonly long[] _longestRoom;
    private readonly ulong[] _ofSite;
    private readonly List<ulong[]>[] _groups;
    private readonly long[] _earliest;

    /// <summary>Prepares bounds for a task of 64 items at the most.</summary>
    public PlanBounds(PlanTask task)
    {
        _task = task;
        _order = Order(task);
        _earliest = new long[task.Items.Length];
        _longestRoom = new long[task.Sites];
        foreach (PlanWindow window in task.Windows)
        {
            _longestRoom[window.Site] = Math.Max(_longestRoom[window.Site], window.Room);
        }

        _ofSite = new ulong[task.Sites];
        foreach (PlanItem item in task.Items)
        {
            _ofSite[item.Site] |= 1UL << item.Index;
        }

        _groups = [.. Enumerable.Range(0, task.Sites).Select(site => Groups(site).ToList())];
    }

    /// <summary>The bound of a state.</summary>
    /// <param name="state">The state.</param>
    /// <param name="beaten">A cost; where it has fewer windows than the state needs, the end is not looked at.</param>
    public (int Used, long End) Of(SearchState state, (int Used, long End) beaten)
    {
        int used = state.Used;
        for (int site = 0; site < _task.Sites && used <= beaten.Used; site++)
        {
            ulong left = _ofSite[site] & ~state.Done;
            used += left == 0 ? 0 : Further(state, site, left);
        }

        return used < beaten.Used ? (used, state.End) : used > beaten.Used ? (used, state.End) : (used, End(state));
    }

    // How many windows more a site needs.
    private int Further(SearchState state, int site, ulong left)
    {
        long work = 0;
        int count = 0;
        foreach (PlanItem item in _task.Items)
        {
            if ((left & (1UL << item.Index)) != 0)
            {
                work += item.Length;
                count++;
            }
        }

        int open = 0;
        int most = _task.Limits[site].Units;
        foreach (OpenWindow one in state.Open)
        {
            PlanWindow window = _task.Windows[one.Window];
            long room = window.Site == site ? window.Ends - Math.Max(window.Opens, Math.Max(state.Free[one.Lane], state.Last)) : 0;
            if (room > 0)
            {
                work -= room;
                open++;
                count -= most == int.MaxValue ? 0 : most;
            }
        }

        int byWork = work <= 0 ? 0 : (int)Math.Min(int.MaxValue / 2, (work + Math.Max(1, _longestRoom[site]) - 1) / Math.Max(1, _longestRoom[site]));
        int byCount = most == int.MaxValue || count <= 0 ? 0 : (count + most - 1) / most;
        int byGroup = _groups[site].Count == 0 ? 0 : _groups[site].Max(units => units.Count(unit => (unit & left) != 0)) - open;
        return Math.Max(Math.Max(byWork, byCount), byGroup);
    }

    // Work that is left goes on the lanes; each item waits for those before it and for a window.
    private long End(SearchState state)
    {
        long free = state.Free.Min();
        long work = 0;
        long end = state.End;
        long[] earliest = _earliest;
        foreach (int index in _order)
        {
            if ((state.Done & (1UL << index)) != 0)
            {
                continue;
            }

            PlanItem item = _task.Items[index];
            long start = Math.Max(Math.Max(free, state.Last), state.Ready[index]);
            foreach ((int before, long lag) in item.Before)
            {
                start = (state.Done & (1UL << before)) == 0 ? Math.Max(start, earliest[before] + lag) : start;
            }

            start = InWindow(item, start);
            if (start == long.MaxValue)
            {
                return long.MaxValue;
            }

            earliest[index] = start + item.Length;
            end = Math.Max(end, earliest[index]);
            work += item.Length;
        }

        long busy = state.Free.Sum(lane => lane - free);
        return Math.Max(end, free + ((busy + work + state.Free.Length - 1) / state.Free.Length));
    }

    private long InWindow(PlanItem item, long start)
    {
        long best = long.MaxValue;
        foreach (int index in item.Windows)
        {
            PlanWindow window = _task.Windows[index];
            if (window.Opens >= best)
            {
                break;
            }

            long at = Math.Max(start, window.Opens);
            best = at + item.Length <= window.Ends ? Math.Min(best, at) : best;
        }

        return best;
    }

    private IEnumerable<ulong[]> Groups(int site) => _task.Items.Where(item => item.Site == site && item.Group >= 0).GroupBy(item => item.Group)
        .Select(group => group.GroupBy(item => item.Unit).Select(unit => unit.Aggregate(0UL, (bits, item) => bits | (1UL << item.Index))).ToArray());

    private static int[] Order(PlanTask task)
    {
        List<int> order = [];
        HashSet<int> done = [];
        while (order.Count < task.Items.Length)
        {
            int next = Array.FindIndex(task.Items, item => !done.Contains(item.Index) && item.Before.TrueForAll(before => done.Contains(before.Item)));
            order.Add(next);
            done.Add(next);
        }

        return [.. order];
    }
}
