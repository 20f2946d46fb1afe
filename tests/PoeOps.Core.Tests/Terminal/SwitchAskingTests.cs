using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Which commands are sent to which device: for each port, and by its release and models.</summary>
public sealed class SwitchAskingTests
{
    private const string Asks = """
        "ask": { "release": ["tell pier"], "controllers": ["tell berths"],
          "ports": [ { "each": "unit", "variants": [
            { "when": { "release": "^7\\.", "model": "^H-" }, "send": "tell lamps {Unit}" },
            { "when": { "model": "^H-9$" }, "send": "tell lanterns {Unit}" } ] } ],
          "neighbours": [ { "send": "tell friend {Unit}/{Port}", "each": "port" } ],
          "busy": [ { "each": "switch", "variants": [ { "when": { "release": "^8" }, "send": "tell hands" }, { "send": "tell work" } ] } ] },
        "refresh": { "commands": { "tftp": "refit {Unit}" }, "busy": ["at work$"] }
        """;

    private static readonly Dictionary<string, string> Pier = new()
    {
        ["tell pier"] = "pier pier-1 sails 7.2\r\n",
        ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n 2 H-9 3.8 sound\r\n 3 - - empty\r\n-- berths\r\n",
        ["tell lamps 1"] = "lamps of berth 1\r\n 1 lit burns first\r\n 2 out dark last\r\n-- lamps\r\n",
        ["tell lamps 2"] = "lamps of berth 2\r\n 7 lit burns last\r\n-- lamps\r\n",
        ["tell lanterns 2"] = "lamps of berth 2\r\n 7 lit burns last\r\n-- lamps\r\n",
        ["tell friend 1/1"] = "friend is gull\r\n",
        ["tell friend 1/2"] = "friend is tern\r\n",
        ["tell friend 2/7"] = "friend is auk\r\n",
        ["tell work"] = "all hands at work\r\n",
        ["tell hands"] = "all hands at work\r\n",
    };

    [Fact]
    public void A_command_is_sent_for_each_port_of_each_unit_and_its_answer_is_of_that_port()
    {
        (IReadOnlyList<string> heard, SwitchReading reading, string? busy) = Read(Pier);

        Assert.Equal(["tell pier", "tell berths", "tell lamps 1", "tell lamps 2", "tell friend 1/1", "tell friend 1/2", "tell friend 2/7", "tell work"], heard);
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(
            ["pier-1/1/1 gull", "pier-1/1/2 tern", "pier-1/2/7 auk"], reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.PortId} {port.Neighbour}"));
        Assert.Equal("all hands at work", busy);
    }

    [Fact]
    public void Of_variants_the_first_that_fits_the_release_and_the_model_is_sent_for_each_unit_anew()
    {
        (IReadOnlyList<string> heard, SwitchReading reading, _) = Read(new(Pier) { ["tell pier"] = "pier pier-1 sails 8.0\r\n" });

        Assert.Equal(["tell pier", "tell berths", "tell lanterns 2", "tell friend 2/7", "tell hands"], heard);
        Assert.Equal(
            ["NoVariantFits - -: No variant of the command for Ports fits unit 1: its release is '8.0' and its model 'H-8'. Add a variant for it to 'ask' of the dialect, or a last one without 'when'."],
            Told.Of(reading.Problems.Where(problem => problem.Id != ProblemId.PortsMissing)));
        Assert.All(reading.Problems, problem => Assert.Equal("pier-1/1", problem.Target));
        Assert.Equal(["1 2", "2 0", "3 0"], reading.Controllers.Select(one => $"{one.Unit} {one.ReadingProblems}"));
    }

    [Fact]
    public void What_is_not_known_fits_no_variant_that_asks_for_it()
    {
        (IReadOnlyList<string> heard, SwitchReading reading, _) = Read(Pier, Asks.Replace("\"release\": [\"tell pier\"], ", "", StringComparison.Ordinal));

        Assert.Equal(["tell berths", "tell lanterns 2", "tell friend 2/7", "tell work"], heard);
        Assert.Contains("its release is not known and its model 'H-8'", Assert.Single(reading.Problems, problem => problem.Id == ProblemId.NoVariantFits).Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{ \"each\": \"unit\", \"send\": \"a {Port}\" }", "PropertyUnknown 1 ask.ports[0].send: '{Port}' in 'a {Port}' stands for nothing here; the nearest is '{Unit}'. The placeholders that are filled here are {Unit}.")]
    [InlineData("{ \"variants\": [ { \"send\": \"a\" }, { \"send\": \"b\" } ] }", "JsonBadValue 1 ask.ports[0].variants[1]: This variant is never sent: the one before it has no 'when' and fits everything. Put the variant without 'when' last.")]
    [InlineData("{ \"send\": \"a\", \"variants\": [ { \"send\": \"b\" } ] }", "JsonBadValue 1 ask.ports[0].send: A command has either 'send' or 'variants', and both are here. Remove one; a last variant without 'when' is sent where no other fits.")]
    public void A_command_that_cannot_be_meant_so_is_a_mistake(string command, string told) =>
        Assert.Equal([told], Told.Of(DialectFile.Parse(SampleDialect("{ \"send\": \"recite eyes {Unit}\", \"each\": \"unit\" }", command), "a.dialect.json").Problems));

    private static string SampleDialect(string right, string wrong) =>
        Dialects.SampleDialect.With(right, wrong).Replace("\n", " ", StringComparison.Ordinal);

    private static (IReadOnlyList<string> Heard, SwitchReading Reading, string? Busy) Read(Dictionary<string, string> answers, string asks = Asks)
    {
        List<string> heard = [];
        using ScriptedConsole console = new(peer =>
        {
            peer.Write(Lantern.Prompt);
            peer.Serve(Lantern.Prompt, command => { heard.Add(command); return command + "\r\n"; }, answers);
        });
        using TerminalLink link = Lantern.Link(console, Lantern.Dialect(more: asks, blocks: """
            , { "name": "friend", "of": "port", "begins": ["^friend is (?<Neighbour>\\S+)$"], "oneRecord": true }
            """));
        SwitchReading reading = link.Read();
        return (heard, reading, link.AskBusy());
    }
}
