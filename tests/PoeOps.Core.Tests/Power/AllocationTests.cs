using PoeOps.Core.Tests.Files;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

/// <summary>Power that is set aside, on either side of the cable.</summary>
public sealed class AllocationTests
{
    // The two figures of a recorded 802.3bt neighbour frame: 710 tenths asked for, 510 granted, both at the PD. At the worst channel of the least class that
    // carries them (8: 52 V and 6.25 ohm; 6: 50 V and 6.25 ohm) the PSE gives 89.53 and 60 W for them. Others worked by hand: 3.8 W over class 1's 44 V and
    // 20 ohm; 12.9 W over class 0's; 13.1 W only over class 4's 50 V and 12.5 ohm by clause 33.
    [Theory]
    [InlineData(710, 0, "89.53")]
    [InlineData(510, 0, "60.00")]
    [InlineData(38, 0, "3.96")]
    [InlineData(129, 0, "15.33")]
    [InlineData(130, 0, "15.40")] // class 3 has 12.95, which neighbours say as 13.0
    [InlineData(131, 0, "14.09")]
    [InlineData(400, 0, "45.00")] // the formula gives 45.08, and class 5 has no more than 45
    [InlineData(713, 0, "90.00")]
    [InlineData(130, 145, "13.98")]
    [InlineData(0, 0, "0.00")]
    public void A_neighbours_tenths_become_watts_of_the_PSE(int tenths, int clause, string pse)
    {
        Allocation agreed = Allocation.OfNeighbour(tenths);
        Assert.Equal((PowerSide.Pd, AllocationSource.Neighbour, tenths / 10m), (agreed.Side, agreed.Source, agreed.Watts.Value));
        Allocation atPse = agreed.AtPse((PseClause)clause);
        Assert.Equal((PowerSide.Pse, AllocationSource.Neighbour), (atPse.Side, atPse.Source));
        Assert.Equal(pse, atPse.Watts.Value.ToString("0.00", System.Globalization.CultureInfo.InvariantCulture));
    }

    [Fact]
    public void A_known_cable_takes_the_place_of_the_worst()
    {
        Allocation agreed = Allocation.OfNeighbour(510);
        ChannelLoss cable = new(3m);
        Allocation atPse = agreed.AtPse(cable, 54);
        Assert.Equal(cable.PseWatts(51, 54), atPse.Watts.Value);
        Assert.Equal(51m, Math.Round(atPse.AtPd(cable, 54).Watts.Value, 20));
        Assert.Same(atPse, atPse.AtPse(cable, 50));
        Assert.Same(agreed, agreed.AtPd(cable, 50));
    }

    [Fact]
    public void Sides_are_never_added_unseen()
    {
        var ofClass = Allocation.OfClass(PdSignature.Of(4));
        Allocation agreed = Allocation.OfNeighbour(255);
        Assert.Equal(new Watts(30), ofClass.Watts);
        Assert.Equal(
            "SidesMixed - -: 25.5 W are stated at the PD, and a sum at the PSE was asked for; the cable is between the two. Convert it first, by the cable or by the worst that its class allows.",
            Told.Of(Assert.Throws<PoeOpsException>(() => Allocation.Total([ofClass, agreed], PowerSide.Pse)).Problem));
        Assert.Equal(60m, Math.Round(Allocation.Total([ofClass, agreed.AtPse()], PowerSide.Pse).Value, 20));
        Assert.Equal(51m, Allocation.Total([agreed, agreed], PowerSide.Pd).Value);
        Assert.Equal(Watts.Zero, Allocation.Total([], PowerSide.Pd));
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(1024)]
    [InlineData(0xACAC)]
    public void A_code_is_no_power(int tenths) =>
        Assert.Equal(
            $"NeighbourPowerUnreadable - -: A neighbour's power of {tenths} tenths of a watt is none; 0 to 1023 was expected. Read the neighbours again; a value above is a code and no power.",
            Told.Of(Assert.Throws<PoeOpsException>(() => Allocation.OfNeighbour(tenths)).Problem));

    [Fact]
    public void More_than_any_class_carries_is_refused() =>
        Assert.Equal(
            "ChannelImpossible - -: 71.4 W at the PD are more than any class of IEEE 802.3 carries, which is 71.3 W. Check whether the figure is one of the PSE.",
            Told.Of(Assert.Throws<PoeOpsException>(() => Allocation.OfNeighbour(714).AtPse()).Problem));
}
