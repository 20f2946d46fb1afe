namespace PoeOps.Planning;

/// <summary>The times at which a lane is at work: one unit at a time, to the end of its recovery. Times are ticks.</summary>
internal sealed class LaneTimes
{
    // In order and never overlapping, so that the ends are in order as well.
    private readonly List<(long From, long Until, int Item)> _taken = [];

    /// <summary>When the last of them ends; the lowest value where there is none.</summary>
    public long End => _taken.Count == 0 ? long.MinValue : _taken[_taken.Count - 1].Until;

    /// <summary>The earliest time at or after another from which a span is free.</summary>
    /// <param name="from">The time.</param>
    /// <param name="length">How long the span is.</param>
    /// <param name="latest">When it must have ended; looked at so that the search comes to an end, not kept.</param>
    public long Free(long from, long length, long latest)
    {
        for (int i = FirstEndingAfter(from); i < _taken.Count && _taken[i].From < from + length && from + length <= latest; i++)
        {
            from = _taken[i].Until;
        }

        return from;
    }

    /// <summary>The longest time that is free between two times.</summary>
    public long LongestFree(long from, long until)
    {
        long longest = 0;
        for (int i = FirstEndingAfter(from); i < _taken.Count && _taken[i].From < until; i++)
        {
            longest = Math.Max(longest, _taken[i].From - from);
            from = _taken[i].Until;
        }

        return Math.Max(longest, until - from);
    }

    /// <summary>Takes a span that is free.</summary>
    public void Take(int item, long from, long until) => _taken.Insert(FirstEndingAfter(from), (from, until, item));

    /// <summary>Gives back the span that begins at a time.</summary>
    public void Give(long from) => _taken.RemoveAt(FirstEndingAfter(from));

    private int FirstEndingAfter(long time)
    {
        int low = 0;
        int high = _taken.Count;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = _taken[middle].Until > time ? (low, middle) : (middle + 1, high);
        }

        return low;
    }
}
