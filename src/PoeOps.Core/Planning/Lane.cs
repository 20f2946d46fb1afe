namespace PoeOps.Planning;

/// <summary>The times at which somebody is at work already: one unit at a time, to the end of its recovery.</summary>
internal sealed class Lane
{
    private readonly List<(DateTime From, DateTime Until)> _taken = [];

    /// <summary>The earliest time at or after another at which a span is free.</summary>
    public DateTime Free(DateTime from, TimeSpan length)
    {
        foreach ((DateTime taken, DateTime until) in _taken.OrderBy(span => span.From))
        {
            if (taken < from + length && from < until)
            {
                from = until;
            }
        }

        return from;
    }

    /// <summary>Takes a span.</summary>
    public void Take(DateTime from, TimeSpan length) => _taken.Add((from, from + length));
}
