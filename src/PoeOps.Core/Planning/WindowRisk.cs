namespace PoeOps.Planning;

/// <summary>
/// How likely the work that a plan puts into one window of a site ends after the window does, if all of it is done: each unit starts when it is planned
/// to, or when the loads of the one before it are back, whichever is later. A run would rather leave a unit undone, since no unit starts that could
/// outlast its window; so this is how likely the window is too short for its plan.
/// </summary>
public sealed record WindowRisk
{
    /// <summary>The site.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>When the window opens, UTC.</summary>
    public DateTime WindowOpensUtc { get; init; }

    /// <summary>When the window closes, UTC.</summary>
    public DateTime WindowClosesUtc { get; init; }

    /// <summary>How many refreshes are planned in it.</summary>
    public int Units { get; init; }

    /// <summary>How many of them have a stage without a time, or with times that cannot be. Where there are any, nothing else is said of the window.</summary>
    public int UnitsWithoutTimes { get; init; }

    /// <summary>The probability that the last one's loads serve again only after the close, by simulation; null where a unit has no times.</summary>
    public double? OverrunProbability { get; init; }

    /// <summary>
    /// The standard error of that probability; 0 where no time varies. It is reckoned as if one draw more had ended in time and one more had not, so that
    /// no overrun in all the draws does not count as certainty.
    /// </summary>
    public double? StandardError { get; init; }

    /// <summary>
    /// What the probability is not above, whatever the shape of the times, by their means and variances alone (Cantelli's inequality); 1 where the mean
    /// of the end is not before the close. Null where a unit has no times.
    /// </summary>
    public double? OverrunBound { get; init; }

    /// <summary>How many of the units, in order, have their loads back before the close with a probability of 0.95 or more; null where a unit has no times.</summary>
    public int? UnitsAt95 { get; init; }
}
