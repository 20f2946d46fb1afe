namespace PoeOps.Planning;

/// <summary>
/// Chooses from items those that fill a span best: the largest sum of lengths that is not over it, by dynamic programming on a grid of 2,048 steps to
/// which lengths are rounded up, so that what is chosen always fits.
/// </summary>
internal static class WindowFill
{
    private const int Steps = 2048;
    private const int Words = (Steps / 64) + 1;

    /// <summary>Chooses items.</summary>
    /// <param name="classes">Items of which one at the most may be chosen together: those of a coverage group; most stand alone. Those that come first are preferred among equals.</param>
    /// <param name="room">The span, ticks; more than 0.</param>
    /// <param name="most">How many items at the most.</param>
    /// <returns>The chosen items; empty where none fits.</returns>
    public static List<PlanItem> Choose(IReadOnlyList<List<PlanItem>> classes, long room, int most)
    {
        int layers = Math.Min(most, classes.Count);
        layers = layers <= Deepest ? layers : 1;
        bool counted = most < classes.Count && most <= Deepest;
        var reach = new ulong[classes.Count + 1][];
        reach[0] = new ulong[Words * (counted ? layers + 1 : 1)];
        reach[0][0] = 1;
        for (int i = 0; i < classes.Count; i++)
        {
            reach[i + 1] = Extend(reach[i], classes[i], room, counted ? layers : 0);
        }

        return Back(reach, classes, room, counted ? layers : 0);
    }

    // More items than these in one window are no limit that binds.
    private const int Deepest = 64;

    private static int Size(PlanItem item, long room) => (int)Math.Min(Steps + 1, ((item.Length * Steps) + room - 1) / room);

    // The sums that can be reached with one more class; with layers each number of items has a part of its own.
    private static ulong[] Extend(ulong[] from, List<PlanItem> one, long room, int layers)
    {
        var to = (ulong[])from.Clone();
        foreach (int size in one.Select(item => Size(item, room)).Where(size => size <= Steps))
        {
            if (layers == 0)
            {
                Shift(from, 0, to, 0, size);
            }

            for (int count = 0; count < layers; count++)
            {
                Shift(from, count * Words, to, (count + 1) * Words, size);
            }
        }

        return to;
    }

    private static void Shift(ulong[] from, int fromWord, ulong[] to, int toWord, int by)
    {
        int words = by / 64;
        int bits = by % 64;
        for (int i = Words - 1; i >= words; i--)
        {
            ulong value = from[fromWord + i - words] << bits;
            if (bits > 0 && i > words)
            {
                value |= from[fromWord + i - words - 1] >> (64 - bits);
            }

            to[toWord + i] |= value;
        }
    }

    private static bool Has(ulong[] reach, int layer, int sum) => (reach[(layer * Words) + (sum / 64)] & (1UL << (sum % 64))) != 0;

    private static List<PlanItem> Back(ulong[][] reach, IReadOnlyList<List<PlanItem>> classes, long room, int layers)
    {
        List<PlanItem> chosen = [];
        (int layer, int sum) = Best(reach[classes.Count], layers);
        for (int i = classes.Count; i > 0 && sum > 0; i--)
        {
            if (Has(reach[i - 1], layer, sum))
            {
                continue;
            }

            int before = layers == 0 ? 0 : layer - 1;
            PlanItem item = classes[i - 1].First(one => Size(one, room) is var size && size <= sum && Has(reach[i - 1], before, sum - size));
            chosen.Add(item);
            sum -= Size(item, room);
            layer = before;
        }

        return chosen;
    }

    private static (int Layer, int Sum) Best(ulong[] reach, int layers)
    {
        for (int sum = Steps; sum > 0; sum--)
        {
            for (int layer = 0; layer <= layers; layer++)
            {
                if (Has(reach, layer, sum))
                {
                    return (layer, sum);
                }
            }
        }

        return (0, 0);
    }
}
