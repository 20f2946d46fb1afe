namespace PoeOps.Planning;

/// <summary>The times at which somebody is at work already: one unit at a time, to the end of its recovery.</summary>
internal sealed class Lane
{
    // In order and never overlapping, so that the ends are in order as well.
    private readonly List<(DateTime From, DateTime Until)> _taken = [];

    /// <summary>The earliest time at or after another from which a span is free.</summary>
    /// <param name="from">The time.</param>
    /// <param name="length">How long the span is.</param>
    public DateTime Free(DateTime from, TimeSpan length)
    {
        for (int i = FirstEndingAfter(from); i < _taken.Count && _taken[i].From < from + length; i++)
        {
            from = _taken[i].Until;
        }

        return from;
    }

    /// <summary>Takes a span that is free.</summary>
    /// <param name="from">When it begins.</param>
    /// <param name="until">When it ends, which belongs to what comes after.</param>
    public void Take(DateTime from, DateTime until) => _taken.Insert(FirstEndingAfter(from), (from, until));

    private int FirstEndingAfter(DateTime time)
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
