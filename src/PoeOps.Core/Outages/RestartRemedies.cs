namespace PoeOps.Outages;

/// <summary>
/// Finds what would bring every load of a unit back, by trying: more supply can bring fewer loads back, so that nothing is found by halving. A proposal
/// never takes power from a load that came back whole without it.
/// </summary>
public static class RestartRemedies
{
    // A proposal for supply is told to the milliwatt.
    private const decimal Parts = 1000;

    /// <summary>Finds the least change of each kind; none where all loads come back already, or where no change of a kind helps.</summary>
    /// <param name="unit">The unit.</param>
    /// <returns>Ports fixed, ports raised, a mixture where it is smaller than either, and more supply, as far as they help and are found.</returns>
    /// <exception cref="PoeOpsException">As for <see cref="Restart.Simulate"/>.</exception>
    public static IReadOnlyList<RestartRemedy> Find(RestartUnit unit)
    {
        RestartResult now = Restart.Simulate(unit);
        return now.Refused.Count == 0 ? [] : [.. new PortRemedies(new RestartTrials(unit, now)).Find(), .. new[] { Supply(new RestartTrials(unit, now)) }.OfType<RestartRemedy>()];
    }

    // From one budget to the least at which anything comes out differently: what lies between is tried with it. Where trials run out, in steps that grow.
    private static RestartRemedy? Supply(RestartTrials trials)
    {
        RestartUnit unit = trials.Unit;
        RestartResult result = trials.Now;
        decimal budget = unit.BudgetWatts;
        decimal step = 1;
        while (result.NextGrantableWatts is { } next && unit.GuardBandPercent < 100)
        {
            budget = trials.AreUsedUp ? budget + step : Math.Ceiling((next + unit.GuardBandWatts) / (1 - (unit.GuardBandPercent / 100)) * Parts) / Parts;
            step *= trials.AreUsedUp ? 2 : 1;
            if (budget > RestartCheck.MostOfUnit)
            {
                return null;
            }

            bool isLeast = !trials.AreUsedUp;
            result = trials.Try(unit with { BudgetWatts = budget });
            if (trials.Helps(result))
            {
                return new RestartRemedy([new RestartChange(RemedyKind.Supply, string.Empty, budget - unit.BudgetWatts)], isLeast);
            }
        }

        return null;
    }
}
