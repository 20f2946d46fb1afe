namespace PoeOps.Planning;

/// <summary>Where an item is in a draft.</summary>
/// <param name="Window">The window.</param>
/// <param name="Lane">The lane.</param>
/// <param name="Start">When it starts, ticks of UTC.</param>
internal readonly record struct Place(int Window, int Lane, long Start);

/// <summary>Rules that can be left out to find what stands in the way of an item.</summary>
internal enum PlanRules
{
    /// <summary>None is left out.</summary>
    None,
    /// <summary>Units that cover for each other are apart.</summary>
    Coverage,
    /// <summary>The limits of a site's windows.</summary>
    Limits,
    /// <summary>The soak after a pilot.</summary>
    Soak,
}

/// <summary>
/// A plan in the making: items in windows and lanes, every rule kept at any time. Items are put in and taken out one by one; those that are not in are
/// left over.
/// </summary>
internal sealed class PlanDraft
{
    private readonly PlanTask _task;
    private readonly Place?[] _places;
    private readonly LaneTimes[] _lanes;
    private readonly List<int>[] _inWindow;
    private readonly int[] _laneOf;
    private readonly int[] _loads;

    /// <summary>An empty draft.</summary>
    public PlanDraft(PlanTask task)
    {
        _task = task;
        _places = new Place?[task.Items.Length];
        _lanes = [.. Enumerable.Range(0, task.Lanes).Select(_ => new LaneTimes())];
        _inWindow = [.. task.Windows.Select(_ => new List<int>())];
        _laneOf = [.. task.Windows.Select(_ => -1)];
        _loads = new int[task.Windows.Length];
    }

    /// <summary>How many windows have items.</summary>
    public int Used { get; private set; }

    /// <summary>How many items are in.</summary>
    public int Count { get; private set; }

    /// <summary>When the last item in ends, ticks of UTC; when the plan begins where none is in.</summary>
    public long End => _lanes.Max(lane => Math.Max(lane.End, _task.From));

    /// <summary>Where an item is; null where it is left over.</summary>
    public Place? this[int item] => _places[item];

    /// <summary>The items in a window.</summary>
    public IReadOnlyList<int> In(int window) => _inWindow[window];

    /// <summary>The lane of a window with items; -1 where it has none.</summary>
    public int LaneOf(int window) => _laneOf[window];

    /// <summary>When an item that is in ends, ticks of UTC.</summary>
    public long EndOf(int item) => _places[item]!.Value.Start + _task.Items[item].Length;

    /// <summary>True where everything that must come before an item is in.</summary>
    public bool IsAfterAll(int item) => _task.Items[item].Before.TrueForAll(before => _places[before.Item] is not null);

    /// <summary>From when on an item may start by itself and by those before it that are in.</summary>
    public long ReadyAt(int item, PlanRules without = PlanRules.None)
    {
        long ready = without == PlanRules.Soak ? _task.From : Math.Max(_task.From, _task.Items[item].Ready);
        foreach ((int before, long lag) in _task.Items[item].Before)
        {
            if (_places[before] is not null)
            {
                ready = Math.Max(ready, EndOf(before) + (without == PlanRules.Soak ? 0 : lag));
            }
        }

        return ready;
    }

    /// <summary>The earliest place of an item in a window; null where there is none.</summary>
    /// <param name="item">The item, which is not in.</param>
    /// <param name="window">A window that it may use.</param>
    /// <param name="notBefore">Not before this, ticks of UTC.</param>
    /// <param name="without">Rules that are not looked at, to find out what stands in the way.</param>
    public Place? EarliestIn(int item, int window, long notBefore = 0, PlanRules without = PlanRules.None)
    {
        PlanItem one = _task.Items[item];
        PlanWindow slot = _task.Windows[window];
        if (!IsAllowed(one, slot, without))
        {
            return null;
        }

        long from = Math.Max(Math.Max(slot.Opens, notBefore), ReadyAt(item, without));
        long latest = Math.Min(slot.Ends, Latest(one));
        Place? best = null;
        for (int lane = 0; lane < _lanes.Length && from + one.Length <= latest; lane++)
        {
            if (!MayUse(lane, window))
            {
                continue;
            }

            long start = _lanes[lane].Free(from, one.Length, latest);
            if (start + one.Length <= latest && (best is null || start < best.Value.Start))
            {
                best = new Place(window, lane, start);
            }
        }

        return best;
    }

    /// <summary>How long the longest time is that a lane has free in a window in which nothing is yet.</summary>
    public long RoomIn(int window)
    {
        PlanWindow slot = _task.Windows[window];
        long most = 0;
        for (int lane = 0; lane < _lanes.Length; lane++)
        {
            most = MayUse(lane, window) ? Math.Max(most, _lanes[lane].LongestFree(slot.Opens, slot.Ends)) : most;
        }

        return most;
    }

    /// <summary>Puts an item in.</summary>
    public void Add(int item, Place place)
    {
        _places[item] = place;
        _lanes[place.Lane].Take(item, place.Start, place.Start + _task.Items[item].Length);
        _loads[place.Window] += _task.Items[item].Loads;
        _inWindow[place.Window].Add(item);
        _laneOf[place.Window] = place.Lane;
        Used += _inWindow[place.Window].Count == 1 ? 1 : 0;
        Count++;
    }

    /// <summary>Takes an item out.</summary>
    public void Remove(int item)
    {
        Place place = _places[item]!.Value;
        _places[item] = null;
        _lanes[place.Lane].Give(place.Start);
        _loads[place.Window] -= _task.Items[item].Loads;
        _inWindow[place.Window].Remove(item);
        Count--;
        if (_inWindow[place.Window].Count == 0)
        {
            _laneOf[place.Window] = -1;
            Used--;
        }
    }

    /// <summary>Moves every item as early as its window and those before it allow, in the order in which they are.</summary>
    public void Tighten()
    {
        foreach (int item in InOrder())
        {
            Place old = _places[item]!.Value;
            Remove(item);
            Place place = EarliestIn(item, old.Window) is { } earlier && earlier.Start <= old.Start ? earlier : old;
            Add(item, place);
        }
    }

    /// <summary>The items that are in, in order of their starts.</summary>
    public int[] InOrder() => [.. Enumerable.Range(0, _places.Length).Where(item => _places[item] is not null).OrderBy(item => _places[item]!.Value.Start).ThenBy(item => item)];

    /// <summary>All places, to go back to.</summary>
    public Place?[] Save() => [.. _places];

    /// <summary>Goes back to saved places.</summary>
    public void Restore(Place?[] saved)
    {
        for (int item = 0; item < saved.Length; item++)
        {
            if (_places[item] is { } now && saved[item] != now)
            {
                Remove(item);
            }
        }

        for (int item = 0; item < saved.Length; item++)
        {
            if (_places[item] is null && saved[item] is { } place)
            {
                Add(item, place);
            }
        }
    }

    // Beside what is in the window: limits and coverage.
    private bool IsAllowed(PlanItem item, PlanWindow window, PlanRules without)
    {
        List<int> inside = _inWindow[window.Index];
        if (without != PlanRules.Limits && !_task.IsWithinLimits(window.Site, inside.Count + 1, _loads[window.Index] + item.Loads))
        {
            return false;
        }

        return item.Group < 0 || without == PlanRules.Coverage || (!HoldsOther(item, inside) && _task.Overlapping[window.Index].All(other => !HoldsOther(item, _inWindow[other])));
    }

    private bool HoldsOther(PlanItem item, List<int> inside)
    {
        foreach (int other in inside)
        {
            if (_task.Items[other].Group == item.Group && _task.Items[other].Unit != item.Unit)
            {
                return true;
            }
        }

        return false;
    }

    // A window has one lane, and so have those of a site that are open at the same time: whoever works there is alone.
    private bool MayUse(int lane, int window)
    {
        if (_lanes.Length == 1)
        {
            return true;
        }

        if (_laneOf[window] >= 0)
        {
            return _laneOf[window] == lane;
        }

        foreach (int other in _task.Overlapping[window])
        {
            if (_laneOf[other] >= 0 && _laneOf[other] != lane)
            {
                return false;
            }
        }

        return true;
    }

    private long Latest(PlanItem item)
    {
        long latest = long.MaxValue;
        foreach ((int after, long lag) in item.After)
        {
            if (_places[after] is { } place)
            {
                latest = Math.Min(latest, place.Start - lag);
            }
        }

        return latest;
    }
}
