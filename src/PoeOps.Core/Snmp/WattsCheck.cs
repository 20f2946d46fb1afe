using System.Globalization;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Snmp;

/// <summary>
/// Holds the watts of the units of an agent against what their ports can take at most. An agent that counts one unit in tenths counts all so: then none of its watts
/// are taken, and both readings are told.
/// </summary>
internal sealed class WattsCheck
{
    // The largest class at a PSE. A supply of up to a kilowatt may stand behind few ports; and what is measured may be of a moment when more was fed.
    private static readonly decimal MostOfPort = PdClass.Of(8).FigureWatts();
    private const decimal OrdinarySupply = 1000m;
    private const decimal Slack = 3m;
    private const decimal SlackWatts = 30m;

    private readonly MainPowerUnit _unit;
    private readonly bool _doubted;

    /// <summary>Looks at all units of an agent.</summary>
    public WattsCheck(MainPowerUnit unit, IReadOnlyList<PseGroup> groups, ILookup<uint, PsePort> ports, SnmpFindings findings)
    {
        _unit = unit;
        PseGroup[] wrong = unit == MainPowerUnit.Unsaid ? [.. groups.Where(group => Why(group, [.. ports[group.Index]]) is not null)] : [];
        _doubted = wrong.Length > 0;
        foreach (PseGroup group in _doubted ? groups.Where(group => group.Power > 0 || group.Consumption > 0) : [])
        {
            string why = Why(group, [.. ports[group.Index]]) ?? $"the agent does not count group {wrong[0].Unit} in watts either";
            string sentence = $"Group {group.Unit} says a power of {Both(group.Power)} and a consumption of {Both(group.Consumption)}: {why}. Neither was taken.";
            findings.Add(ProblemId.WattsImplausible, group.Unit, sentence, "Look at the switch's console which it is, and say so in the estate: \"mainPower\": \"watts\" or \"tenths\" under \"snmp\" of the switch.");
        }
    }

    /// <summary>The watts that a unit says; null where it says none, or nobody knows what it counts.</summary>
    public decimal? Watts(long? counted) => _doubted || counted is null ? null : _unit == MainPowerUnit.Tenths ? counted / 10m : counted;

    private static string? Why(PseGroup group, PsePort[] ports)
    {
        decimal most = ports.Length * MostOfPort;
        if (ports.Length > 0 && group.Power > Math.Max(most, OrdinarySupply))
        {
            return $"as watts that is more than {Say(ports.Length)} ports can take, which is {Say(most)} W";
        }

        decimal taken = ports.Where(port => port.Status == DetectionStatus.DeliveringPower).Sum(port => port.PdClass is { } one ? PdClass.Of(one).FigureWatts() : MostOfPort);
        decimal plausible = (taken * Slack) + SlackWatts;
        return ports.Length > 0 && group.Consumption > plausible && group.Consumption / 10m <= plausible
            ? $"as watts that is more than the classes of its loads take together, which is {Say(taken)} W"
            : null;
    }

    private static string Both(long? counted) => counted is null ? "nothing" : $"{Say(counted.Value)} W ({Say(counted.Value / 10m)} W if it counts in tenths)";

    private static string Say(decimal number) => number.ToString("0.###", CultureInfo.InvariantCulture);
}
