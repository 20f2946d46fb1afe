namespace PoeOps.Planning;

/// <summary>One image's work in a window, in seconds from the window's opening.</summary>
/// <param name="Start">When it is planned to start.</param>
/// <param name="Sum">Its stages.</param>
/// <param name="Recover">From their end until its loads serve again.</param>
internal readonly record struct WindowWork(double Start, StageSum Sum, double Recover)
{
    /// <summary>In how many draws each unit ends after the close, by simulation.</summary>
    /// <param name="work">The units of a window, in their order; at least one.</param>
    /// <param name="close">When the window closes.</param>
    /// <param name="draws">The draws.</param>
    /// <returns>One count for each unit; never less than that of the unit before.</returns>
    public static int[] Late(IReadOnlyList<WindowWork> work, double close, StageDraws draws)
    {
        int[] late = new int[work.Count];
        double[] ends = new double[draws.Count];
        for (int i = 0; i < ends.Length; i++)
        {
            ends[i] = double.NegativeInfinity;
        }

        for (int place = 0; place < work.Count; place++)
        {
            late[place] = work[place].After(ends, draws.Of(work[place].Sum, place), close);
        }

        return late;
    }

    /// <summary>
    /// An upper bound of the probability that the last unit ends after the close, in closed form. Whichever unit is the last that started when it was
    /// planned, and not later, from it on all work is without a gap; so the end is the latest of as many sums as there are units that can be that one.
    /// Cantelli's inequality bounds each, and their sum bounds them all.
    /// </summary>
    /// <param name="work">The units of a window, in their order.</param>
    /// <param name="close">When the window closes.</param>
    public static double Bound(IReadOnlyList<WindowWork> work, double close)
    {
        bool[] canWait = CanWait(work);
        double mean = 0;
        double variance = 0;
        double bound = 0;
        for (int i = work.Count - 1; i >= 0; i--)
        {
            mean += work[i].Sum.MeanSeconds + work[i].Recover;
            variance += work[i].Sum.Variance;
            if (canWait[i])
            {
                bound += Cantelli(close - work[i].Start - mean, variance);
            }
        }

        return Math.Min(bound, 1);
    }

    // P(X - mean >= slack) <= variance / (variance + slack squared), for a slack above 0.
    private static double Cantelli(double slack, double variance) =>
        variance == 0 ? (slack < 0 ? 1 : 0)
        : slack <= 0 ? 1
        : 1 / (1 + (slack * slack / variance));

    // A unit that is planned no later than the one before it can end at the earliest never waits for its time.
    private static bool[] CanWait(IReadOnlyList<WindowWork> work)
    {
        bool[] can = new bool[work.Count];
        double earliest = double.NegativeInfinity;
        for (int i = 0; i < work.Count; i++)
        {
            can[i] = work[i].Start > earliest;
            earliest = Math.Max(earliest, work[i].Start) + work[i].Sum.ConstantSeconds + work[i].Recover;
        }

        return can;
    }

    private int After(double[] ends, double[] times, double close)
    {
        int late = 0;
        for (int i = 0; i < ends.Length; i++)
        {
            double end = (ends[i] > Start ? ends[i] : Start) + times[i] + Recover;
            ends[i] = end;
            if (end > close)
            {
                late++;
            }
        }

        return late;
    }
}
