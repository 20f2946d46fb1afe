using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

/// <summary>What is lost between a PSE and a PD.</summary>
public sealed class ChannelLossTests
{
    // The published PD figure of each class over the worst channel, and what the formula makes of the PSE figure, with its distance. IEEE 802.3 clauses 33
    // and 145; the voltages and resistances are from memory, and so are clause 145's 6.7 and 14 W for classes 2 and 3.
    [Theory]
    [InlineData(1, 4, 44, 20, 3.84, 0.005)]
    [InlineData(2, 7, 44, 20, 6.49, 0.005)]
    [InlineData(3, 15.4, 44, 20, 12.95, 0)]
    [InlineData(4, 30, 50, 12.5, 25.5, 0)]
    [InlineData(5, 45, 50, 6.25, 40.0, 0.0625)]
    [InlineData(6, 60, 50, 6.25, 51.0, 0)]
    [InlineData(7, 75, 52, 6.25, 62.0, 0.002)]
    [InlineData(8, 90, 52, 6.25, 71.3, 0.022)]
    [InlineData(3, 14, 50, 12.5, 13.0, 0.02)]
    [InlineData(2, 6.7, 50, 12.5, 6.49, 0.015)]
    public void The_figures_of_each_class_come_out_of_the_formula(int number, decimal pse, decimal volts, decimal ohms, decimal published, decimal apart)
    {
        decimal pd = new ChannelLoss(ohms).PdWatts(pse, volts);
        Assert.InRange(Math.Abs(pd - published), 0, apart + 0.0005m);
        Assert.True(apart < 0.1m, $"class {number}");
        Assert.Equal(pse, Math.Round(new ChannelLoss(ohms).PseWatts(pd, volts), 20));
    }

    // Worked by hand: I = (V - sqrt(V² - 4 R P)) / 2R. 71.3 W at 52 V and 6.25 ohms: 90.04 W; at 54 V 87.84 W; over half the resistance 78.40 W.
    [Theory]
    [InlineData(71.3, 52, 6.25, 90.04)]
    [InlineData(71.3, 54, 6.25, 87.84)]
    [InlineData(71.3, 52, 3.125, 78.40)]
    [InlineData(71.3, 52, 0, 71.3)]
    [InlineData(0, 52, 6.25, 0)]
    public void A_PD_of_constant_power_takes_its_loss_as_well(decimal pd, decimal volts, decimal ohms, decimal pse) =>
        Assert.Equal(pse, Math.Round(new ChannelLoss(ohms).PseWatts(pd, volts), 2));

    // The two figures of the 802.3bt neighbour frame, 710 and 510 tenths of a watt, are the PD's: at the worst channel they are 89.53 and 60 W of the PSE.
    [Theory]
    [InlineData(71.0, 52, 89.53)]
    [InlineData(51.0, 50, 60.00)]
    public void A_neighbours_figure_becomes_watts_of_the_PSE(decimal pd, decimal volts, decimal pse) =>
        Assert.Equal(pse, Math.Round(new ChannelLoss(6.25m).PseWatts(pd, volts), 2));

    // Ohms a kilometre at 20 degrees of solid copper wire, from a handbook's table of wire gauges (from memory): AWG 22 52.96, 23 66.79, 24 84.22, 26 133.9.
    [Theory]
    [InlineData(22, 52.96)]
    [InlineData(23, 66.79)]
    [InlineData(24, 84.22)]
    [InlineData(26, 133.9)]
    public void A_conductor_has_the_resistance_of_the_table(int gauge, double ohmsPerKilometre) =>
        Assert.InRange(Conductor.OhmsPerMetre(gauge) * 1000 / ohmsPerKilometre, 0.9985, 1.0015);

    // 0.00393 of the resistance at 20 degrees for each kelvin (IEC 60028): 7.86 % more at 40.
    [Fact]
    public void A_warm_cable_loses_more() => Assert.Equal(1.0786, Conductor.OhmsPerMetre(24, 40) / Conductor.OhmsPerMetre(24), 10);

    // Two conductors side by side each way: the loop of two pairs is that of one conductor once along the cable, of four pairs half of it.
    [Fact]
    public void The_pairs_share_the_current()
    {
        Assert.Equal(Conductor.OhmsPerMetre(24) * 100, (double)ChannelLoss.Of(100, 24, 20, 2).LoopOhms, 10);
        Assert.Equal(Conductor.OhmsPerMetre(24) * 50, (double)ChannelLoss.Of(100, 24, 20, 4).LoopOhms, 10);
        Assert.Equal(0, ChannelLoss.Of(0, 24, 20, 4).LoopOhms);
    }

    [Fact]
    public void The_loss_is_what_the_PD_does_not_get_and_adds_up_over_time()
    {
        Watts loss = new ChannelLoss(12.5m).Loss(25.5m, 50);
        Assert.Equal(4.5m, Math.Round(loss.Value, 20));
        Assert.Equal(108m, Math.Round(loss.Over(TimeSpan.FromDays(1)).Value, 18));
        Assert.Equal(9m, Math.Round(new ChannelLoss(12.5m).LossOver(25.5m, 50, TimeSpan.FromHours(2)).Value, 18));
    }

    [Theory]
    [InlineData(100, 50, 12.5, "100 W cannot reach a PD over 12.5 ohms at 50 V: 50 W is the most that does.")]
    [InlineData(-1, 50, 12.5, "A load of -1 W gives power; 0 W or more was expected.")]
    [InlineData(1, 0, 12.5, "0 V is no voltage of a PSE; more than 0 and up to 100 was expected.")]
    [InlineData(1, 101, 12.5, "101 V is no voltage of a PSE; more than 0 and up to 100 was expected.")]
    public void What_physics_refuses_is_refused(decimal pd, decimal volts, decimal ohms, string told) => Fails(told, () => new ChannelLoss(ohms).PseWatts(pd, volts));

    [Fact]
    public void The_most_that_a_channel_carries_is_carried()
    {
        Assert.Equal(100m, new ChannelLoss(12.5m).PseWatts(50, 50));
        Assert.Equal(50m, new ChannelLoss(12.5m).PdWatts(100, 50));
        Fails("100.1 W at 50 V lose more than half the voltage on 12.5 ohms, and no PD runs on the rest.", () => new ChannelLoss(12.5m).PdWatts(100.1m, 50));
    }

    [Fact]
    public void A_cable_that_cannot_be_is_refused()
    {
        Fails("A channel of -1 ohms carries no power; 0 to 1000 was expected.", () => new ChannelLoss(-1));
        Fails("AWG 9 is no gauge from 10 to 40.", () => ChannelLoss.Of(1, 9, 20, 2));
        Fails("A cable is not NaN m long; 0 to 1000 was expected.", () => ChannelLoss.Of(double.NaN, 24, 20, 2));
        Fails("A cable is not 200 degrees Celsius; -60 to 120 was expected.", () => ChannelLoss.Of(1, 24, 200, 2));
        Fails("Power goes over 2 or 4 pairs, not over 3.", () => ChannelLoss.Of(1, 24, 20, 3));
    }

    private static void Fails(string told, Func<object> work)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => work()).Problem;
        Assert.Equal((ProblemId.ChannelImpossible, told), (problem.Id, problem.Sentence));
    }
}
