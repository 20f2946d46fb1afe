using PoeOps.Core.Tests.Files;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

/// <summary>The class figures of IEEE 802.3, clauses 33 and 145, single signature.</summary>
public sealed class PdClassTests
{
    // PSE watts at the port and PD watts, IEEE 802.3 (clause 33: classes 0 to 4; clause 145: 5 to 8). Published alike in several places:
    // 15.4/12.95 (class 3), 30/25.5 (4), 60/51 (6), 90/71.3 (8); 45, 75 W and the PD figures of 1, 2, 5 and 7 in one, and closed by the arithmetic below.
    [Theory]
    [InlineData(0, "15.4", "12.95")]
    [InlineData(1, "4.0", "3.84")]
    [InlineData(2, "7.0", "6.49")]
    [InlineData(3, "15.4", "12.95")]
    [InlineData(4, "30", "25.5")]
    [InlineData(5, "45", "40.0")]
    [InlineData(6, "60", "51.0")]
    [InlineData(7, "75", "62.0")]
    [InlineData(8, "90", "71.3")]
    public void Each_class_has_the_published_figures(int number, string pse, string pd)
    {
        Assert.Equal(Watts.Parse(pse).Value, PdClass.Of(number).FigureWatts());
        Assert.Equal(Watts.Parse(pd).Value, PdClass.Of(number).PdWatts);
        Assert.Equal(number, PdClass.Of(number).Number);
    }

    // What leaves the PSE less what the worst channel turns to heat is what the PD may have: P_PD = P_PSE - (P_PSE / V)^2 * R.
    // Least PSE voltage and loop resistance of the channel per class (44 V and 20 ohm, 50 V and 12.5 ohm, four pairs 6.25 ohm, 52 V): from memory.
    [Theory]
    [InlineData(1, 44, 20)]
    [InlineData(2, 44, 20)]
    [InlineData(3, 44, 20)]
    [InlineData(4, 50, 12.5)]
    [InlineData(5, 50, 6.25)]
    [InlineData(6, 50, 6.25)]
    [InlineData(7, 52, 6.25)]
    [InlineData(8, 52, 6.25)]
    public void The_worst_channel_makes_the_PD_figure_of_the_PSE_figure(int number, double volts, double ohms)
    {
        PdClass one = PdClass.Of(number);
        double amperes = (double)one.FigureWatts() / volts;
        double arriving = (double)one.FigureWatts() - (amperes * amperes * ohms);

        // The standard rounds; class 5 by the most, 39.94 W to 40.0 W.
        Assert.InRange(arriving - (double)one.PdWatts, -0.065, 0.065);
    }

    [Theory]
    [InlineData(3, 44, 20)]
    [InlineData(4, 50, 12.5)]
    [InlineData(6, 50, 6.25)]
    public void Where_the_standard_does_not_round_the_arithmetic_is_exact(int number, decimal volts, decimal ohms)
    {
        PdClass one = PdClass.Of(number);
        decimal amperes = one.FigureWatts() / volts;
        Assert.Equal(one.PdWatts, one.FigureWatts() - (amperes * amperes * ohms));
    }

    [Fact]
    public void Clause_145_has_its_own_figures_for_classes_2_and_3()
    {
        // 6.7 W and 14.0 W: from memory. 14 W at 50 V over 12.5 ohm leaves 13.02 W, which fits the 13.0 W of the clause.
        Assert.Equal(6.7m, PdClass.Of(2).FigureWatts(PseClause.Clause145));
        Assert.Equal(14.0m, PdClass.Of(3).FigureWatts(PseClause.Clause145));
    }

    [Fact]
    public void A_clause_without_the_class_lends_the_other_ones_figure()
    {
        Assert.Equal(15.4m, PdClass.Of(0).FigureWatts(PseClause.Clause145));
        Assert.Equal(90m, PdClass.Of(8).FigureWatts(PseClause.Clause33));
    }

    [Fact]
    public void A_class_that_was_not_read_counts_as_class_0() => Assert.Equal(15.4m, PdClass.FigureWattsOf(null));

    [Theory]
    [InlineData(-1)]
    [InlineData(9)]
    public void There_is_no_other_class(int number) =>
        Assert.Equal(
            $"ClassUnknown - -: {number} is no PD class; IEEE 802.3 has the classes 0 to 8. Check how the dialect reads the class.",
            Told.Of(Assert.Throws<PoeOpsException>(() => PdClass.Of(number)).Problem));
}
