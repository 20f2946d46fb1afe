using PoeOps.Core.Tests.Files;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

/// <summary>The class figures of IEEE 802.3, clauses 33 and 145, of single-signature and dual-signature PDs.</summary>
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
        Assert.Equal(Watts.Parse(pd).Value, PdClass.Of(number).Figures().PdWatts);
        Assert.Equal(number, PdClass.Of(number).Number);
    }

    // What leaves the PSE less what the worst channel turns to heat is what the PD may have: P_PD = P_PSE - (P_PSE / V)^2 * R. Least PSE voltage and loop
    // resistance (44 V and 20 ohm, 50 V and 12.5 ohm, four pairs 6.25 ohm, 52 V): from memory but for 50 and 52 V. The standard rounds; by how much is the last figure.
    [Theory]
    [InlineData(0, 33, "0")]
    [InlineData(1, 33, "-0.00529")] // 4 / 44 A: 3.8347
    [InlineData(2, 33, "0.0038")] // 7 / 44 A: 6.4938
    [InlineData(3, 33, "0")]
    [InlineData(4, 33, "0")]
    [InlineData(1, 145, "0.08")] // 4 / 50 A over 12.5 ohm: 3.92, and 3.84 was kept
    [InlineData(2, 145, "-0.01445")] // 6.7 / 50 A: 6.4755
    [InlineData(3, 145, "0.02")] // 14 / 50 A: 13.02
    [InlineData(4, 145, "0")]
    [InlineData(5, 145, "-0.0625")] // 45 / 50 A over 6.25 ohm: 39.9375
    [InlineData(6, 145, "0")]
    [InlineData(7, 145, "-0.00157")] // 75 / 52 A: 61.9984
    [InlineData(8, 145, "-0.02226")] // 90 / 52 A: 71.2777
    public void The_worst_channel_makes_the_PD_figure_of_the_PSE_figure(int number, int clause, string apart)
    {
        ClassFigures figures = PdClass.Of(number).Figures((PseClause)clause);
        Assert.Equal(clause, (int)figures.Clause);
        Assert.Equal(Apart(apart), Arriving(figures));
    }

    // Each pairset is a channel of its own, of 12.5 ohm. The PD's 25.5 W of class 4 are those of a recorded neighbour frame; all else is from memory.
    [Theory]
    [InlineData(1, "4.0", "3.84", "0.08")]
    [InlineData(2, "6.7", "6.49", "-0.01445")]
    [InlineData(3, "14.0", "13.0", "0.02")]
    [InlineData(4, "30", "25.5", "0")]
    [InlineData(5, "45", "35.6", "0.03887")] // 45 / 52 A: 35.6389
    public void A_pairset_has_the_figures_of_its_class(int number, string pse, string pd, string apart)
    {
        ClassFigures figures = PairsetClass.Of(number).Figures;
        Assert.Equal((Watts.Parse(pse).Value, Watts.Parse(pd).Value, PseClause.Clause145), (figures.PseWatts, figures.PdWatts, figures.Clause));
        Assert.Equal(Apart(apart), Arriving(figures));
    }

    [Fact]
    public void A_dual_signature_PD_is_set_aside_the_sum_of_its_pairsets()
    {
        Assert.Equal(60m, PdSignature.Of(null, 4, 4).FigureWatts());
        Assert.Equal(36.7m, PdSignature.Of(8, 4, 2).FigureWatts(PseClause.Clause33));
        Assert.Equal(45m, PdSignature.Of(null, null, 5).FigureWatts());
        Assert.Equal(90m, PdSignature.Of(8, null, null).FigureWatts());
        Assert.Equal(15.4m, default(PdSignature).FigureWatts());
    }

    [Theory]
    [InlineData(0)]
    [InlineData(6)]
    public void There_is_no_other_class_of_a_pairset(int number) =>
        Assert.Equal(
            $"ClassUnknown - -: {number} is no class of a pairset; a dual-signature PD has the classes 1 to 5 on each (IEEE 802.3 clause 145). Check how the dialect reads the class.",
            Told.Of(Assert.Throws<PoeOpsException>(() => PairsetClass.Of(number)).Problem));

    // A PSE of a Type gives no more than that has (IEEE 802.3): Type 1 takes class 4 for class 0, Type 3 gives class 6 or class 4 on a pairset.
    [Theory]
    [InlineData(PseType.Type1, 8, null, "15.4")]
    [InlineData(PseType.Type1, 2, null, "7.0")]
    [InlineData(PseType.Type2, 8, null, "30")]
    [InlineData(PseType.Type3, 8, null, "60")]
    [InlineData(PseType.Type3, null, 5, "60")]
    [InlineData(PseType.Type4, 8, null, "90")]
    [InlineData(PseType.Type4, null, 5, "90")]
    [InlineData(PseType.Unknown, 8, null, "90")]
    public void A_type_grants_no_more_than_it_has(PseType type, int? single, int? pairsets, string watts) =>
        Assert.Equal(Watts.Parse(watts).Value, type.Grants(PdSignature.Of(single, pairsets, pairsets)).FigureWatts(type.Clause()));

    [Fact]
    public void Each_type_has_its_clause_and_each_class_its_least_type()
    {
        Assert.Equal(
            [PseClause.Unknown, PseClause.Clause33, PseClause.Clause33, PseClause.Clause145, PseClause.Clause145],
            new[] { PseType.Unknown, PseType.Type1, PseType.Type2, PseType.Type3, PseType.Type4 }.Select(type => type.Clause()));
        Assert.Equal("1,1,1,1,2,3,3,4,4", string.Join(",", PdClass.All.Select(one => (int)one.LeastType)));
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

    [Fact]
    public void The_figures_say_which_clause_they_are_of()
    {
        Assert.Equal("33,33,33,33,33,145,145,145,145", string.Join(",", PdClass.All.Select(one => (int)one.Figures().Clause)));
        Assert.Equal("33,145,145,145,145,145,145,145,145", string.Join(",", PdClass.All.Select(one => (int)one.Figures(PseClause.Clause145).Clause)));
        Assert.Equal((12.95m, 13.0m), (PdClass.Of(3).Clause33!.PdWatts, PdClass.Of(3).Clause145!.PdWatts)); // 13.0 W: from memory
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(9)]
    public void There_is_no_other_class(int number) =>
        Assert.Equal(
            $"ClassUnknown - -: {number} is no PD class; IEEE 802.3 has the classes 0 to 8. Check how the dialect reads the class.",
            Told.Of(Assert.Throws<PoeOpsException>(() => PdClass.Of(number)).Problem));

    private static decimal Apart(string text) => decimal.Parse(text, System.Globalization.NumberStyles.Number, System.Globalization.CultureInfo.InvariantCulture);

    private static decimal Arriving(ClassFigures figures)
    {
        decimal amperes = figures.PseWatts / figures.LeastVolts;
        return Math.Round(figures.PseWatts - (amperes * amperes * figures.WorstLoopOhms) - figures.PdWatts, 5);
    }
}
