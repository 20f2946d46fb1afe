using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>The units of a plan that are planned in one window of one site, in their order.</summary>
internal sealed record PlannedWindow(string Site, DateTime OpensUtc, DateTime ClosesUtc, IReadOnlyList<PlannedUnit> Units)
{
    /// <summary>The windows that a plan uses, by opening, site and close; sites are told apart without regard to case.</summary>
    /// <param name="plan">The plan.</param>
    public static IReadOnlyList<PlannedWindow> Of(Plan plan) =>
    [
        .. plan.Units.GroupBy(unit => (Site: unit.Site.ToUpperInvariant(), unit.WindowOpensUtc, unit.WindowClosesUtc))
            .Select(group => new PlannedWindow(group.First().Site, group.Key.WindowOpensUtc, group.Key.WindowClosesUtc, [.. group.OrderBy(unit => unit.Order)]))
            .OrderBy(window => window.OpensUtc).ThenBy(window => window.Site, NaturalOrder.Instance).ThenBy(window => window.ClosesUtc),
    ];
}
