namespace PoeOps.Planning;

/// <summary>A window in which items are and more may come.</summary>
/// <param name="Window">The window.</param>
/// <param name="Lane">Its lane.</param>
/// <param name="Items">What of it matters for what may still come, a bit each.</param>
/// <param name="All">All items in it, a bit each.</param>
internal readonly record struct OpenWindow(int Window, int Lane, ulong Items, ulong All);

/// <summary>A part of a plan in order of time, as the exact search keeps it: which items are done, and what of the past matters for the rest.</summary>
internal sealed class SearchState
{
    /// <summary>The items that are done, a bit each.</summary>
    public required ulong Done { get; init; }

    /// <summary>How many windows are used.</summary>
    public required int Used { get; init; }

    /// <summary>When each lane is free.</summary>
    public required long[] Free { get; init; }

    /// <summary>When the last item began: none begins earlier after it.</summary>
    public required long Last { get; init; }

    /// <summary>When the last of them ends.</summary>
    public required long End { get; init; }

    /// <summary>From when on each item may start, by itself and by what is done before it.</summary>
    public required long[] Ready { get; init; }

    /// <summary>The windows in use that may still matter, in order.</summary>
    public required OpenWindow[] Open { get; init; }

    /// <summary>The state before the last item; null for the empty one.</summary>
    public SearchState? Parent { get; init; }

    /// <summary>The last item.</summary>
    public int Item { get; init; }

    /// <summary>Its place.</summary>
    public Place Place { get; init; }

    /// <summary>A bound from below on what the whole costs.</summary>
    public (int Used, long End) Bound { get; set; }

    /// <summary>True where whatever can follow the other can follow this one as well, at no more cost. The two have the same key.</summary>
    public bool Dominates(SearchState other)
    {
        if (Used > other.Used || End > other.End || Last > other.Last)
        {
            return false;
        }

        long otherFree = long.MaxValue;
        for (int lane = 0; lane < Free.Length; lane++)
        {
            if (Free[lane] > other.Free[lane])
            {
                return false;
            }

            otherFree = Math.Min(otherFree, other.Free[lane]);
        }

        for (int item = 0; item < Ready.Length; item++)
        {
            if ((Done & (1UL << item)) == 0 && Ready[item] > other.Ready[item] && Ready[item] > otherFree)
            {
                return false;
            }
        }

        return true;
    }
}

/// <summary>What two states have in common that can be held against each other.</summary>
internal sealed class SearchKey(SearchState state) : IEquatable<SearchKey>
{
    private readonly ulong _done = state.Done;
    private readonly OpenWindow[] _open = state.Open;

    public bool Equals(SearchKey? other)
    {
        if (other is null || other._done != _done || other._open.Length != _open.Length)
        {
            return false;
        }

        for (int i = 0; i < _open.Length; i++)
        {
            if (_open[i].Window != other._open[i].Window || _open[i].Lane != other._open[i].Lane || _open[i].Items != other._open[i].Items)
            {
                return false;
            }
        }

        return true;
    }

    public override bool Equals(object? obj) => Equals(obj as SearchKey);

    public override int GetHashCode()
    {
        unchecked
        {
            ulong hash = _done * 0x9E3779B97F4A7C15;
            foreach (OpenWindow open in _open)
            {
                hash = (hash ^ (ulong)open.Window ^ ((ulong)open.Lane << 20) ^ (open.Items << 24)) * 0xBF58476D1CE4E5B9;
            }

            return (int)(hash ^ (hash >> 32));
        }
    }
}
