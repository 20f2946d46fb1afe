using System.Globalization;

namespace PoeOps.Power;

/// <summary>On which side of the cable an amount of power is stated.</summary>
public enum PowerSide
{
    /// <summary>At the port of the PSE, before the cable.</summary>
    Pse,
    /// <summary>At the PD, behind the cable.</summary>
    Pd,
}

/// <summary>Who decided how much is set aside for a port.</summary>
public enum AllocationSource
{
    /// <summary>The class that its PD showed.</summary>
    Class,
    /// <summary>PSE and PD between themselves, as neighbours (IEEE 802.3 Power via MDI, or LLDP-MED).</summary>
    Neighbour,
    /// <summary>Somebody, by a limit that is set on the port.</summary>
    Limit,
    /// <summary>What the PD was measured to draw.</summary>
    Draw,
}

/// <summary>
/// An amount of power that is set aside for a port: how much, on which side of the cable, and who decided it. Amounts of different sides are different
/// things, as the cable is between them: there is no sum of two allocations but <see cref="Total"/>, which takes one side alone.
/// </summary>
public sealed record Allocation
{
    // LLDP-MED says 1023 tenths at the most; a reserved code is above.
    private const int MostTenths = 1023;

    /// <summary>Makes an allocation.</summary>
    /// <param name="watts">The amount.</param>
    /// <param name="side">The side that it is stated on.</param>
    /// <param name="source">Who decided it.</param>
    public Allocation(Watts watts, PowerSide side, AllocationSource source)
    {
        Watts = watts;
        Side = side;
        Source = source;
    }

    /// <summary>The amount.</summary>
    public Watts Watts { get; }

    /// <summary>The side of the cable that it is stated on.</summary>
    public PowerSide Side { get; }

    /// <summary>Who decided it.</summary>
    public AllocationSource Source { get; }

    /// <summary>What a class is set aside, at the PSE.</summary>
    /// <param name="signature">What the PD shows.</param>
    /// <param name="clause">The clause by which the PSE works.</param>
    /// <exception cref="PoeOpsException">There is no such class (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public static Allocation OfClass(PdSignature signature, PseClause clause = PseClause.Unknown) =>
        new(new Watts(signature.FigureWatts(clause)), PowerSide.Pse, AllocationSource.Class);

    /// <summary>What neighbours agreed on: LLDP says it in tenths of a watt, at the PD.</summary>
    /// <param name="tenths">The value of the frame or of the MIB's object, 0 to 1023.</param>
    /// <exception cref="PoeOpsException">The value is none of power (<see cref="ProblemId.NeighbourPowerUnreadable"/>).</exception>
    public static Allocation OfNeighbour(int tenths) =>
        tenths is >= 0 and <= MostTenths
            ? new Allocation(new Watts(tenths / 10m), PowerSide.Pd, AllocationSource.Neighbour)
            : throw new PoeOpsException(new Problem(
                ProblemId.NeighbourPowerUnreadable,
                $"A neighbour's power of {tenths.ToString(CultureInfo.InvariantCulture)} tenths of a watt is none; 0 to {MostTenths.ToString(CultureInfo.InvariantCulture)} was expected.",
                "Read the neighbours again; a value above is a code and no power."));

    /// <summary>The sum of allocations of one side.</summary>
    /// <param name="allocations">The allocations; none give 0 W.</param>
    /// <param name="side">The side that all of them must be stated on.</param>
    /// <exception cref="PoeOpsException">One is stated on the other side (<see cref="ProblemId.SidesMixed"/>).</exception>
    public static Watts Total(IEnumerable<Allocation> allocations, PowerSide side)
    {
        Watts sum = Watts.Zero;
        foreach (Allocation one in allocations)
        {
            sum += one.Side == side
                ? one.Watts
                : throw new PoeOpsException(new Problem(
                    ProblemId.SidesMixed,
                    $"{one.Watts} are stated at the {Name(one.Side)}, and a sum at the {Name(side)} was asked for; the cable is between the two.",
                    "Convert it first, by the cable or by the worst that its class allows."));
        }

        return sum;
    }

    /// <summary>The same power at the PSE, over a cable that is known. One that is stated there already stays as it is.</summary>
    /// <param name="channel">The cable.</param>
    /// <param name="volts">The voltage at the PSE.</param>
    /// <exception cref="PoeOpsException">The cable cannot carry it (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public Allocation AtPse(ChannelLoss channel, decimal volts) =>
        Side == PowerSide.Pse ? this : new Allocation(new Watts(channel.PseWatts(Watts.Value, volts)), PowerSide.Pse, Source);

    /// <summary>
    /// The same power at the PSE, over the worst cable and at the lowest voltage of the least class that can carry it, and never more than that class has at the
    /// PSE. Neighbours speak in tenths, so that a class carries the tenth above its figure too: 13.0 W are class 3's 12.95.
    /// </summary>
    /// <param name="clause">The clause by which the PSE works; of classes that both clauses have, clause 33 where it is unknown.</param>
    /// <exception cref="PoeOpsException">No class carries so much (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public Allocation AtPse(PseClause clause = PseClause.Unknown)
    {
        if (Side == PowerSide.Pse)
        {
            return this;
        }

        ClassFigures[] byPower = [.. PdClass.All.Where(one => clause != PseClause.Clause145 || one.Clause145 is not null).Select(one => one.Figures(clause)).OrderBy(figures => figures.PdWatts)];
        ClassFigures? carrier = byPower.FirstOrDefault(figures => Math.Ceiling(figures.PdWatts * 10) / 10 >= Watts.Value);
        return carrier is not null
            ? new Allocation(new Watts(Math.Min(carrier.WorstChannel.PseWatts(Watts.Value, carrier.LeastVolts), carrier.PseWatts)), PowerSide.Pse, Source)
            : throw ChannelLoss.Impossible($"{Watts} at the PD are more than any class of IEEE 802.3 carries, which is {new Watts(byPower[byPower.Length - 1].PdWatts)}.", "Check whether the figure is one of the PSE.");
    }

    /// <summary>The same power at the PD, over a cable that is known. One that is stated there already stays as it is.</summary>
    /// <param name="channel">The cable.</param>
    /// <param name="volts">The voltage at the PSE.</param>
    /// <exception cref="PoeOpsException">The cable cannot carry it (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public Allocation AtPd(ChannelLoss channel, decimal volts) =>
        Side == PowerSide.Pd ? this : new Allocation(new Watts(channel.PdWatts(Watts.Value, volts)), PowerSide.Pd, Source);

    private static string Name(PowerSide side) => side == PowerSide.Pse ? "PSE" : "PD";
}
