using System.Globalization;

namespace PoeOps.Outages;

/// <summary>The cautions that go with loads that people can come to harm without.</summary>
public static class LifeSafety
{
    /// <summary>What to do before they go dark.</summary>
    /// <param name="loads">How many there are; 1 or more.</param>
    public static string Caution(int loads)
    {
        string count = loads.ToString(CultureInfo.InvariantCulture);
        string what = loads == 1 ? "1 life-safety load goes dark" : $"{count} life-safety loads go dark";
        return $"{what}. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.";
    }
}
