using PoeOps.Baselines;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Cmdlets;

/// <summary>Holds controllers against a baseline, each by the dialect that says how its versions are spelled: the one place where cmdlets do so, so that all give one verdict.</summary>
/// <param name="baseline">The baseline.</param>
/// <param name="named">A dialect for all of them, by name or whole path; that of each controller where empty.</param>
internal sealed class DriftFinder(Baseline baseline, string named)
{
    private readonly DialectFinder _dialects = new(null);

    /// <summary>The verdict on a controller.</summary>
    /// <param name="controller">The controller.</param>
    /// <param name="problem">Why its dialect cannot be had; else null.</param>
    public Drift Of(Controller controller, out Problem? problem)
    {
        string name = named.Length > 0 ? named : File.Exists(controller.DialectPath) ? controller.DialectPath : controller.Dialect;
        DialectResult? found = name.Length == 0 ? null : _dialects.Find(name);
        problem = found is { Dialect: null } ? found.Problems[0] : null;
        return problem is null ? Comparison.Compare(controller, baseline, found?.Dialect) : Comparison.WithoutDialect(controller, problem);
    }
}
