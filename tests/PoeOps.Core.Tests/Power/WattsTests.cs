using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Power;

public sealed class WattsTests
{
    [Theory]
    [InlineData("15.4", "15.4 W")]
    [InlineData("15.4 W", "15.4 W")]
    [InlineData("15.4W", "15.4 W")]
    [InlineData(" 0 ", "0 W")]
    [InlineData("007.50", "7.5 W")]
    [InlineData("123456789012.123456789012", "123456789012.123456789012 W")]
    public void What_is_read_is_printed_and_read_back(string text, string printed)
    {
        Watts watts = Watts.Parse(text);
        Assert.Equal(printed, watts.ToString());
        Assert.Equal(watts, Watts.Parse(watts.ToString()));
    }

    [Theory]
    [InlineData("3,5", "'3,5' has a comma, which means a decimal mark in one country and nothing in another, so it is not read as watts.")]
    [InlineData("1,000.5 W", "'1,000.5 W' has a comma, which means a decimal mark in one country and nothing in another, so it is not read as watts.")]
    [InlineData("-5", "'-5' is negative, and an amount in watts is 0 or more.")]
    [InlineData("-", "'-' is not a number of watts.")]
    [InlineData("", "Found no number where an amount in watts was expected.")]
    [InlineData(null, "Found no number where an amount in watts was expected.")]
    [InlineData("W", "Found no number where an amount in watts was expected.")]
    [InlineData("1e3", "'1e3' is not a number of watts.")]
    [InlineData("+5", "'+5' is not a number of watts.")]
    [InlineData("5.", "'5.' is not a number of watts.")]
    [InlineData(".5", "'.5' is not a number of watts.")]
    [InlineData("1.2.3", "'1.2.3' is not a number of watts.")]
    [InlineData("5 Wh", "'5 Wh' is not a number of watts.")]
    [InlineData("5 w", "'5 w' is not a number of watts.")]
    [InlineData("5 mW", "'5 mW' is not a number of watts.")]
    [InlineData("٣", "'٣' is not a number of watts.")]
    [InlineData("0.1234567890123", "'0.1234567890123' has more than 12 digits before or behind the full stop, so it is not read as watts.")]
    [InlineData("5\u001b[2J", @"'5\u001b[2J' is not a number of watts.")]
    public void What_is_no_number_of_watts_is_refused_with_the_reason(string? text, string sentence)
    {
        Assert.False(Watts.TryParse(text, out Watts watts, out Problem? problem));
        Assert.Equal(Watts.Zero, watts);
        Assert.Equal($"WattsUnreadable - -: {sentence} Write digits with a full stop as the decimal mark, such as 15.4 or '15.4 W'.", Told.Of(problem!));
        Assert.Equal(problem, Assert.Throws<PoeOpsException>(() => Watts.Parse(text!)).Problem);
    }

    [Theory]
    [InlineData("de-DE")]
    [InlineData("fa-IR")]
    [InlineData("tr-TR")]
    public void The_machines_culture_changes_nothing(string culture)
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo(culture);
            Assert.Equal(3.5m, Watts.Parse("3.5").Value);
            Assert.Equal("3.5 W", Watts.Parse("3.5").ToString());
            Assert.Equal("1234.50 W", new Watts(1234.5m).ToString("0.00", CultureInfo.CurrentCulture));
            Assert.False(Watts.TryParse("3,5", out _, out _));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Sums_are_exact()
    {
        Watts sum = Watts.Zero;
        for (int i = 0; i < 10_000; i++)
        {
            sum += new Watts(0.1m);
        }

        Assert.Equal(new Watts(1000), sum);
        Assert.Equal(new Watts(0.2m), new Watts(0.3m) - new Watts(0.1m));
    }

    [Fact]
    public void No_amount_is_negative()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new Watts(-0.1m));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Watts(1) - new Watts(2));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WattHours(-1));
    }

    [Fact]
    public void Energy_is_power_over_time()
    {
        Assert.Equal("15.4 Wh", new Watts(15.4m).Over(TimeSpan.FromHours(1)).ToString());
        Assert.Equal(new WattHours(2.05m), new Watts(12.3m).Over(TimeSpan.FromMinutes(10)));
        Assert.Equal(WattHours.Zero, new Watts(15.4m).Over(TimeSpan.Zero));
    }

    [Fact]
    public void Amounts_are_ordered_and_a_default_one_is_zero()
    {
        Assert.True(new Watts(2) < new Watts(10) && new Watts(10) >= new Watts(10.0m) && new Watts(1.50m) == new Watts(1.5m));
        Assert.Equal(new Watts(1.5m).GetHashCode(), new Watts(1.50m).GetHashCode());
        Assert.Equal("0 W", default(Watts).ToString());
        Assert.Equal("0 Wh", default(WattHours).ToString());
    }

    [Theory]
    [InlineData("3,5", "'3,5' has a comma, which means a decimal mark in one country and nothing in another, so it is not read as watt-hours.")]
    [InlineData("5 W", "'5 W' is not a number of watt-hours.")]
    public void Watt_hours_are_as_strict(string text, string sentence)
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => WattHours.Parse(text)).Problem;
        Assert.Equal($"WattHoursUnreadable - -: {sentence} Write digits with a full stop as the decimal mark, such as 15.4 or '15.4 Wh'.", Told.Of(problem));
    }

    [Fact]
    public void Watt_hours_print_what_they_read() => Assert.Equal("0.75 Wh", WattHours.Parse("0.750 Wh").ToString());
}
