namespace PoeOps.Outages;

/// <summary>The ports that wait, by their place in the order; finds the first whose claim fits without going through them all.</summary>
internal sealed class WaitingPorts
{
    private readonly int _leaves;
    private readonly decimal[] _least;

    /// <summary>Makes room for so many ports, none of which waits.</summary>
    public WaitingPorts(int count)
    {
        _leaves = 1;
        while (_leaves < count)
        {
            _leaves *= 2;
        }

        _least = [.. Enumerable.Repeat(decimal.MaxValue, 2 * _leaves)];
    }

    /// <summary>A port waits.</summary>
    /// <param name="place">Its place.</param>
    /// <param name="claimWatts">The least that it would be granted.</param>
    public void Add(int place, decimal claimWatts) => Set(place, claimWatts);

    /// <summary>It does not wait any more.</summary>
    public void Remove(int place) => Set(place, decimal.MaxValue);

    /// <summary>The place of the first whose claim fits, or -1.</summary>
    /// <param name="leftWatts">What may still be granted.</param>
    /// <param name="leastPassedWatts">The smallest claim of those before it, which do not fit; the largest number there is where none is.</param>
    public int FirstThatFits(decimal leftWatts, out decimal leastPassedWatts)
    {
        leastPassedWatts = decimal.MaxValue;
        if (_least[1] > leftWatts)
        {
            leastPassedWatts = _least[1];
            return -1;
        }

        int node = 1;
        while (node < _leaves)
        {
            node *= 2;
            if (_least[node] > leftWatts)
            {
                leastPassedWatts = Math.Min(leastPassedWatts, _least[node]);
                node++;
            }
        }

        return node - _leaves;
    }

    private void Set(int place, decimal claimWatts)
    {
        int node = place + _leaves;
        _least[node] = claimWatts;
        for (node /= 2; node >= 1; node /= 2)
        {
            _least[node] = Math.Min(_least[2 * node], _least[(2 * node) + 1]);
        }
    }
}
