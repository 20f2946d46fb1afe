namespace PoeOps.Report;

/// <summary>Shares the room of a page among captures: short ones are shown whole, and what they leave goes to the long ones.</summary>
internal static class PageRoom
{
    // Beyond these a browser labours; a capture of a large stack has a tenth of it.
    private const int MostLines = 20_000;
    private const int MostOfACapture = 5_000;

    /// <summary>How many lines of each capture may be shown.</summary>
    /// <param name="counts">How many each has.</param>
    public static int Of(IReadOnlyCollection<int> counts)
    {
        int room = MostLines;
        int waiting = counts.Count;
        foreach (int count in counts.OrderBy(count => count))
        {
            if (count > room / waiting)
            {
                return Math.Min(MostOfACapture, room / waiting);
            }

            room -= count;
            waiting--;
        }

        return MostOfACapture;
    }
}
