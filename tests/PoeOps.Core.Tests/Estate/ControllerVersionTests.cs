using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class ControllerVersionTests
{
    [Theory]
    [InlineData("2.1", "2.1.0")]
    [InlineData("v02.10.004", "2.10.4")]
    [InlineData("V3", "3.0.0.0")]
    [InlineData("2-1_7", "2.1.7")]
    [InlineData("2.1RC3", "2.1.rc.3")]
    [InlineData(" 2.1 ", "2.1")]
    public void Two_spellings_of_one_version_are_equal(string left, string right)
    {
        Assert.Equal(Read(left), Read(right));
        Assert.Equal(Read(left).GetHashCode(), Read(right).GetHashCode());
        Assert.True(Read(left) == Read(right) && Read(left) >= Read(right) && Read(left) <= Read(right));
    }

    [Fact]
    public void Versions_are_ordered_by_their_heaviest_part()
    {
        string[] expected = ["0.9", "2.1.rc3", "2.1", "2.1.1b", "2.1.1", "2.1.9", "2.1.10", "2.9", "2.10", "10", "99999999999999999999.1"];
        Random chance = new(3);
        Assert.Equal(expected, expected.OrderBy(_ => chance.Next()).Select(Read).Order().Select(version => version.Text));
    }

    [Theory]
    [InlineData("")]
    [InlineData(null)]
    [InlineData("--")]
    [InlineData("unknown")]
    [InlineData("n/a")]
    [InlineData("٣")]
    public void A_text_without_a_digit_is_no_version(string? text) => Assert.Null(ControllerVersion.ParseNatural(text));

    [Fact]
    public void Parts_may_come_from_a_dialect_with_gaps_and_mixed_runs()
    {
        Assert.Equal(Read("2.0.4"), new ControllerVersion(["2", "", "4"], "x"));
        Assert.True(new ControllerVersion(["2", "9rc1"], "x") < new ControllerVersion(["2", "10"], "y"));
        Assert.True(new ControllerVersion(["2", "12a"], "x") > new ControllerVersion(["2", "3"], "y"));
        Assert.Equal(["2"], new ControllerVersion(["02", "-", "000"], "x").Parts);
    }

    [Fact]
    public void Nothing_comes_before_every_version()
    {
        ControllerVersion? none = null;
        Assert.True(none < Read("0.0.1") && Read("0.0.1") > none && none == null && none <= null);
        Assert.False(none > Read("0"));
        Assert.False(Read("1").Equals(none));
    }

    [Fact]
    public void The_text_stays_as_it_was_printed() => Assert.Equal("v02.10", Read("v02.10").ToString());

    private static ControllerVersion Read(string text) => ControllerVersion.ParseNatural(text)!;
}
