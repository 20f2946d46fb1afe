using PoeOps.Journal;
using PoeOps.Outages;

namespace PoeOps.Cmdlets;

/// <summary>Reads journals for what they tell of refreshes that are over.</summary>
internal static class JournalRuns
{
    /// <summary>Reads journals.</summary>
    /// <param name="paths">The files.</param>
    /// <param name="tell">Takes what is wrong with a file.</param>
    /// <param name="warn">Takes what should be known of one.</param>
    public static EarlierRuns Of(IEnumerable<string> paths, Action<Problem, object?> tell, Action<string> warn)
    {
        List<RefreshSample> samples = [];
        foreach (string path in paths)
        {
            JournalReading reading = JournalReplay.Read(path);
            foreach (Problem problem in reading.Problems)
            {
                tell(problem, path);
            }

            if (JournalSamples.CautionOf(reading, path) is { } caution)
            {
                warn(caution);
            }

            samples.AddRange(JournalSamples.Of(reading));
        }

        return new EarlierRuns(samples);
    }
}
