using System.Globalization;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Which lane of a plan a run takes.</summary>
public static class LaneChoice
{
    /// <summary>Says why a run cannot take a lane of a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="lane">The lane; null where none is named, as is right for a plan with one lane.</param>
    /// <returns>The problem (<see cref="ProblemId.LaneNotNamed"/>), or null.</returns>
    public static Problem? Check(Plan plan, int? lane)
    {
        string lanes = plan.Lanes.ToString(CultureInfo.InvariantCulture);
        return lane is null
            ? plan.Lanes == 1 ? null : new Problem(
                ProblemId.LaneNotNamed, $"The plan has {lanes} lanes, and the run names none.", $"Name one with -Lane, 1 to {lanes}; each lane is a run of its own, on a machine of its own.")
            : lane >= 1 && lane <= plan.Lanes ? null : new Problem(
                ProblemId.LaneNotNamed, $"The plan has no lane {lane.Value.ToString(CultureInfo.InvariantCulture)}; it has {lanes}.", $"Name one with -Lane, 1 to {lanes}.");
    }
}
