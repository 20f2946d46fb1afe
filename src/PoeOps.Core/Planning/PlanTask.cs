namespace PoeOps.Planning;

/// <summary>What has to be planned: items, windows, and the rules between them.</summary>
internal sealed class PlanTask
{
    private int[][]? _overlapping;

    /// <summary>Nothing starts before this, ticks of UTC.</summary>
    public required long From { get; init; }

    /// <summary>The items; each stands at its index.</summary>
    public required PlanItem[] Items { get; init; }

    /// <summary>The windows of all sites; each stands at its index, those of a site together and in order of opening.</summary>
    public required PlanWindow[] Windows { get; init; }

    /// <summary>How many sites there are.</summary>
    public required int Sites { get; init; }

    /// <summary>How many runs may be at work at a time.</summary>
    public required int Lanes { get; init; }

    /// <summary>For each site the most units and dark loads of a window; <see cref="int.MaxValue"/> for no limit.</summary>
    public required (int Units, int Loads)[] Limits { get; init; }

    /// <summary>For each window the other windows of its site that are open at the same time.</summary>
    public int[][] Overlapping => _overlapping ??= FindOverlapping();

    /// <summary>True where an item and what is in a window already may be in it together, as far as limits go.</summary>
    public bool IsWithinLimits(int site, int units, int loads) => units <= Limits[site].Units && loads <= Limits[site].Loads;

    private int[][] FindOverlapping()
    {
        var all = new int[Windows.Length][];
        foreach (PlanWindow window in Windows)
        {
            List<int> found = [];
            for (int other = window.Index - 1; other >= 0 && Windows[other].Site == window.Site; other--)
            {
                if (Windows[other].Overlaps(window))
                {
                    found.Add(other);
                }
            }

            for (int other = window.Index + 1; other < Windows.Length && Windows[other].Site == window.Site && Windows[other].Window.OpensUtc < window.Window.ClosesUtc; other++)
            {
                found.Add(other);
            }

            all[window.Index] = [.. found];
        }

        return all;
    }
}
