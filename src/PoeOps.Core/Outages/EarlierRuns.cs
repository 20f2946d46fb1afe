using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Outages;

/// <summary>
/// What journals tell of refreshes that are over: how long the stages take for a model and an image's size (the median as typical, the 95th percentile as
/// worst), and how it really went with a unit. Fewer than five refreshes teach nothing. A refresh is no sample for itself: what was planned for a unit is
/// held against what came of it, and must not be made of it.
/// </summary>
public sealed class EarlierRuns
{
    /// <summary>So many refreshes are needed to learn from.</summary>
    public const int LeastSamples = 5;

    private readonly ILookup<(string Model, long Bytes), RefreshSample> _byImage;
    private readonly Dictionary<(UnitId Unit, string Firmware), RefreshSample> _byUnit = [];

    /// <summary>Keeps samples, each once; of several of a unit the latest says what came of it.</summary>
    /// <param name="samples">The samples, in any order.</param>
    public EarlierRuns(IEnumerable<RefreshSample> samples)
    {
        RefreshSample[] all = [.. samples.GroupBy(sample => sample.Id.Length == 0 ? (object)sample : sample.Id).Select(same => same.First()).OrderBy(sample => sample.EndUtc)];
        _byImage = all.Where(sample => sample.IsWhole && sample.Model.Length > 0 && sample.ImageBytes > 0).ToLookup(sample => (sample.Model.ToUpperInvariant(), sample.ImageBytes));
        foreach (RefreshSample sample in all)
        {
            _byUnit[(sample.UnitId, sample.ToFirmware)] = sample;
        }
    }

    /// <summary>The path of a unit with the times that were learned for its images.</summary>
    /// <param name="drift">The unit's drift.</param>
    /// <returns>The images with their times, and where the times of each are from.</returns>
    public (IReadOnlyList<Hop> Path, IReadOnlyList<string> From) Teach(Drift drift)
    {
        List<Hop> path = [];
        List<string> from = [];
        foreach (Hop hop in drift.Path)
        {
            RefreshSample[] samples =
                [.. _byImage[((drift.Model ?? string.Empty).ToUpperInvariant(), hop.Image.Bytes)].Where(sample => sample.UnitId != drift.UnitId || sample.ToFirmware != hop.Firmware)];
            bool enough = samples.Length >= LeastSamples;
            string count = samples.Length.ToString(CultureInfo.InvariantCulture);
            path.Add(enough ? hop with { Times = Learn(hop.Times, samples) } : hop);
            from.Add(enough ? $"journal ({count})" : $"baseline ({count} of {LeastSamples.ToString(CultureInfo.InvariantCulture)})");
        }

        return (path, from);
    }

    /// <summary>The refreshes of a unit, one for each of its images in order; null where one of them is not there.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="path">Its images.</param>
    public IReadOnlyList<RefreshSample>? Real(UnitId unit, IReadOnlyList<Hop> path)
    {
        RefreshSample?[] samples = [.. path.Select(hop => _byUnit.TryGetValue((unit, hop.Firmware), out RefreshSample? sample) ? sample : null)];
        return samples.Length == 0 || samples.Contains(null) ? null : [.. samples.OfType<RefreshSample>()];
    }

    // The stages of a refresh follow each other without a gap, so that one which a device does not name took no time of its own. The gates are not among
    // them: somebody may have been asked meanwhile.
    private static StageTimes Learn(StageTimes baseline, RefreshSample[] samples)
    {
        Dictionary<string, StageTime> times = new(StringComparer.Ordinal) { ["Gate"] = baseline.Of("Gate") ?? StageTimes.DefaultGate };
        foreach (string stage in StageTimes.Names.Where(name => name != "Gate"))
        {
            double[] ordered = [.. samples.Select(sample => sample.StageSeconds.TryGetValue(stage, out double seconds) ? seconds : 0).OrderBy(seconds => seconds)];
            times[stage] = new StageTime(Quantile.Of(ordered, 0.5), Quantile.Of(ordered, 0.95));
        }

        return new StageTimes(times);
    }
}
