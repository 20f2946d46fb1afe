namespace PoeOps.Outages;

/// <summary>
/// Finds what would bring every load of a unit back, by trying: more supply can bring fewer loads back, so that nothing is found by halving.
/// </summary>
public static class RestartRemedies
{
    // So many budgets are tried one after the other; then whole watts are.
    private const int MostBudgets = 5000;

    /// <summary>Finds the least change of each kind; none where all loads come back already, or where no change of a kind helps.</summary>
    /// <param name="unit">The unit.</param>
    /// <returns>Ports fixed, ports raised, a mixture where it is smaller than either, and more supply, as far as they help.</returns>
    /// <exception cref="PoeOpsException">As for <see cref="Restart.Simulate"/>.</exception>
    public static IReadOnlyList<RestartRemedy> Find(RestartUnit unit)
    {
        RestartResult now = Restart.Simulate(unit);
        return now.Refused.Count == 0 ? [] : [.. new PortRemedies(unit, now).Find(), .. new[] { Supply(unit) }.OfType<RestartRemedy>()];
    }

    // From one budget to the least at which anything comes out differently: what lies between is tried with it.
    private static RestartRemedy? Supply(RestartUnit unit)
    {
        decimal budget = unit.BudgetWatts;
        for (int tried = 0; ; tried++)
        {
            RestartResult result = Restart.Simulate(unit with { BudgetWatts = budget });
            if (result.Refused.Count == 0)
            {
                return new RestartRemedy([new RestartChange(RemedyKind.Supply, string.Empty, budget - unit.BudgetWatts)], IsLeast: tried <= MostBudgets);
            }

            if (result.NextGrantableWatts is not { } next)
            {
                return null;
            }

            budget = next + unit.GuardBandWatts;
            budget = tried < MostBudgets ? budget : Math.Ceiling(budget);
        }
    }
}
