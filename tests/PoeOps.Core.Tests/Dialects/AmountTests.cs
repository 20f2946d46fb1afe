using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Amounts of power as devices print them.</summary>
public class AmountTests
{
    private const string Rules = """
        "DrawWatts": { "unit": "dW", "decimalMark": [".", "unit"] }, "GuardBandWatts": { "percentOf": "BudgetWatts" },
        "AllocatedWatts": { "unit": "%", "percentOf": "BudgetWatts", "decimalMark": "," }, "LimitWatts": { "unit": "W", "percentOf": "AllocatedWatts" }
        """;

    private const string Unit = "unit 1 370 W 5 % 25 1240\n";

    // The unit in the place of the mark is the way of IEC 60062 (4R7 for 4.7 ohms) carried over to watts; from memory.
    [Theory]
    [InlineData("12W4", "12.4")]
    [InlineData("0W05", "0.05")]
    [InlineData("1kW25", "1250")]
    [InlineData("7mW5", "0.0075")]
    [InlineData("124", "12.4")]
    [InlineData("8200 mW", "8.2")]
    [InlineData("8.2W", "8.2")]
    [InlineData("1.5kW", "1500")]
    public void An_amount_says_its_unit_or_the_dialect_does(string printed, string watts) => Assert.Equal(watts, Say(Read($"{Unit}port 1/4 25% {printed}\n").Controllers[0].Ports[0].DrawWatts));

    [Theory]
    [InlineData("12 W4", "is no amount of power")]
    [InlineData("12W4W", "is no amount of power")]
    [InlineData("W4", "is no amount of power")]
    [InlineData("12W4.5", "is no amount of power")]
    [InlineData("12,4 W", "has a decimal mark other than '.'")]
    [InlineData("25 %", "is a percentage, and the dialect does not say of what")]
    public void What_may_be_something_else_is_no_amount(string printed, string told)
    {
        Reading reading = Read($"{Unit}port 1/4 25% {printed}\n");
        Problem problem = reading.Problems[0];
        Assert.Equal((ProblemId.ValueUnreadable, 2, $"DrawWatts '{printed}' {told}."), (problem.Id, problem.Line, problem.Sentence));
        Assert.Empty(reading.Controllers[0].Ports);
    }

    [Fact]
    public void A_unit_in_the_place_of_a_mark_is_one_only_where_the_dialect_says_so()
    {
        Dialect dialect = Of("""  "DrawWatts": { "unit": "W" }, "AllocatedWatts": { "unit": "W" } """);
        Assert.Equal(
            "DrawWatts '12W4' has its unit in the place of a decimal mark, and the dialect does not say that it is one.",
            CaptureReader.Read(dialect, CaptureText.FromText("port 1/4 25 12W4\n", "text"), new ReadingContext()).Problems[0].Sentence);
    }

    [Theory]
    [InlineData("0", "0")]
    [InlineData("7", "7")]
    [InlineData("007", "7")]
    [InlineData("0.5", "0.5")]
    [InlineData("00.5", "0.5")]
    [InlineData("12.50", "12.5")]
    [InlineData("12.0", "12")]
    [InlineData("100", "100")]
    [InlineData("0.123456789012", "0.123456789012")]
    [InlineData("0.1234567890123", "0.123456789012")]
    [InlineData("99999999999999", "99999999999999")]
    [InlineData("5.", null)]
    [InlineData(".5", null)]
    [InlineData("1.2.3", null)]
    [InlineData("1\u06609", null)]
    [InlineData("999999999999999", null)]
    public void An_amount_without_a_unit_has_one_spelling(string printed, string? watts)
    {
        Dialect dialect = Of("""  "DrawWatts": { "unit": "W" }, "AllocatedWatts": { "unit": "W" } """);
        Reading reading = CaptureReader.Read(dialect, CaptureText.FromText($"port 1/4 25 {printed}\n", "text"), new ReadingContext());
        Assert.Equal(watts, reading.Controllers.Count == 0 ? null : Say(reading.Controllers[0].Ports[0].DrawWatts));
        Assert.Equal(watts is null ? [ProblemId.ValueUnreadable] : [], reading.Problems.Select(problem => problem.Id).Where(id => id == ProblemId.ValueUnreadable));
    }

    [Fact]
    public void A_unit_alone_as_a_mark_lets_no_other_in()
    {
        Dialect dialect = Of("""  "DrawWatts": { "decimalMark": "unit" }, "AllocatedWatts": { "unit": "W" } """);
        Reading reading = CaptureReader.Read(dialect, CaptureText.FromText("port 1/4 25 12W4\nport 1/5 25 12.4 W\n", "text"), new ReadingContext());
        Assert.Equal("DrawWatts '12.4 W' has a decimal mark other than its unit.", reading.Problems[0].Sentence);
        Assert.Equal(["4"], reading.Controllers[0].Ports.Select(port => port.Name));
    }

    // 5 % and 25 % of 370 W; 31.2 % of 370 W is 115.44 W; half of that 57.72 W.
    [Theory]
    [InlineData(Unit + "port 1/4 31,2 % 10 of 50%\n")]
    [InlineData("port 1/4 31,2 10 of 50 %\n" + Unit)]
    public void A_percentage_becomes_watts_once_all_is_read(string text)
    {
        Reading reading = Read(text);
        Assert.Empty(reading.Problems);
        Assert.Equal(("370", "18.5", "92.5", "124"), (Say(reading.Controllers[0].BudgetWatts), Say(reading.Controllers[0].GuardBandWatts), Say(reading.Controllers[0].AllocatedWatts), Say(reading.Controllers[0].DrawWatts)));
        Assert.Equal(("115.44", "1", "57.72"), (Say(reading.Controllers[0].Ports[0].AllocatedWatts), Say(reading.Controllers[0].Ports[0].DrawWatts), Say(reading.Controllers[0].Ports[0].LimitWatts)));
    }

    [Fact]
    public void A_percentage_of_what_was_not_read_is_told_and_its_row_left_out()
    {
        Reading reading = Read("unit 1 - - - 1240\nport 1/4 25% 10\nport 1/5 - 10 of 30 W\nport 1/6 - 10 of 50 %\n");
        Assert.Equal(
            [
                "ValueUnreadable 2 of 1: AllocatedWatts of port 1/4 is 25 % of BudgetWatts, which was not read. Read the device again with the command that prints it, or correct 'percentOf' of the dialect.",
                "ValueUnreadable 4 of 1: LimitWatts of port 1/6 is 50 % of AllocatedWatts, which was not read. Read the device again with the command that prints it, or correct 'percentOf' of the dialect.",
            ],
            reading.Problems.Select(problem => $"{problem.Id} {problem.Line} of {problem.Target}: {problem.Sentence} {problem.Advice}"));
        Assert.Equal(["5"], reading.Controllers[0].Ports.Select(port => port.Name));
        Assert.Equal(2, reading.Controllers[0].ReadingProblems);
    }

    [Fact]
    public void A_controller_with_a_percentage_of_nothing_is_left_out()
    {
        Reading reading = Read("unit 1 - 5 % - 1240\n");
        Assert.Empty(reading.Controllers);
        Assert.Equal("GuardBandWatts of controller 1 is 5 % of BudgetWatts, which was not read.", Assert.Single(reading.Problems).Sentence);
    }

    // A step of the last digit of 5 % of 370 W is 3.7 W.
    [Theory]
    [InlineData("18.5 W", "18.5", "")]
    [InlineData("20 W", "20", "")]
    [InlineData("22.2 W", "22.2", "")]
    [InlineData("22.3 W", null, "GuardBandWatts of controller 1 is '22.3' here and '5%' in line 1.")]
    [InlineData("14.7 W", null, "GuardBandWatts of controller 1 is '14.7' here and '5%' in line 1.")]
    public void An_amount_that_another_command_prints_must_be_within_the_percentage(string printed, string? guard, string told)
    {
        foreach (string text in new[] { $"{Unit}\nunit 1 370 W {printed} - -\n", $"unit 1 370 W {printed} - -\n\n{Unit}" })
        {
            Reading reading = Read(told.Length == 0 ? text + "\nport 1/4 - 10\n" : text);
            Assert.Equal(guard, reading.Controllers.Select(one => Say(one.GuardBandWatts)).FirstOrDefault());
            string expected = text.StartsWith(Unit, StringComparison.Ordinal) || told.Length == 0 ? told : $"GuardBandWatts of controller 1 is '5%' here and '{printed.Replace(" W", string.Empty, StringComparison.Ordinal)}' in line 1.";
            Assert.Equal(expected, string.Concat(reading.Problems.Select(problem => problem.Sentence)));
        }
    }

    private static string? Say(decimal? watts) => watts?.ToString(CultureInfo.InvariantCulture);

    private static Reading Read(string text) => CaptureReader.Read(Of(Rules), CaptureText.FromText(text, "text"), new ReadingContext());

    private static Dialect Of(string values)
    {
        DialectResult result = DialectFile.Parse(
            $$"""
            {
              "name": "amounts", "console": { "prompts": ["^> $"] },
              "blocks": [
                { "name": "unit", "of": "controller", "oneRecord": true,
                  "begins": ["unit (?<Unit>\\d+) (?<BudgetWatts>\\S+(?: W)?) (?<GuardBandWatts>\\S+(?: [W%])?) (?<AllocatedWatts>\\S+) (?<DrawWatts>\\S+)"] },
                { "name": "port", "of": "port", "oneRecord": true,
                  "begins": ["port (?<Unit>\\d+)/(?<Port>\\d+) (?<AllocatedWatts>\\S+(?: %)?) (?<DrawWatts>.+?)(?: of (?<LimitWatts>.+))?"] }
              ],
              "values": { {{values}} }
            }
            """,
            "amounts.dialect.json");
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }
}
