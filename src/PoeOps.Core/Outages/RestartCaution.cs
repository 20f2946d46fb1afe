using System.Globalization;

namespace PoeOps.Outages;

/// <summary>What to say before a unit is refreshed that cannot bring all of its loads back.</summary>
public static class RestartCaution
{
    // As many ports are named; the others are counted.
    private const int MostNamed = 10;

    /// <summary>The caution of an outage; empty where all loads come back, none goes dark, or the budget was not read.</summary>
    /// <param name="outage">The outage.</param>
    public static string Of(Outage outage) =>
        outage.LoadOutages.Count == 0 || outage.RefusedLoads is not > 0 ? string.Empty : $"{outage.UnitId}: {Sentence(outage)} {Help(outage)}";

    /// <summary>How many loads do not come back, and which.</summary>
    /// <param name="outage">An outage with refused loads.</param>
    internal static string Sentence(Outage outage)
    {
        string count = (outage.RefusedLoads ?? 0).ToString(CultureInfo.InvariantCulture);
        string[] refused = [.. outage.LoadOutages.Where(load => load.Restart == RestartOutcome.Refused).Select(load => load.Port)];
        string ports = refused.Length == 0 ? string.Empty : $" ({(refused.Length == 1 ? "port" : "ports")} {string.Join(", ", refused.Take(MostNamed))}{(refused.Length > MostNamed ? " and others" : string.Empty)})";
        return $"{count} of {outage.Loads.ToString(CultureInfo.InvariantCulture)} loads{ports} {(count == "1" ? "does" : "do")} not come back within the unit's budget after the controller restarts.";
    }

    /// <summary>What would help.</summary>
    /// <param name="outage">An outage with refused loads.</param>
    internal static string Help(Outage outage) => outage.RemediesAreUnknown ? "Measure the unit again, as it is now, for what would help."
        : outage.Remedies.Count == 0 ? "Nothing of what was tried (ports fixed, ports raised, more supply) brings all back."
        : $"What would bring all back, each by itself: {string.Join("; or ", outage.Remedies)}.";
}
