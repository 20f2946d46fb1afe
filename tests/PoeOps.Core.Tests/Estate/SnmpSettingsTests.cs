using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>What an estate says of the SNMP agents of its switches.</summary>
public sealed class SnmpSettingsTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private EstateResult Read(string text) => EstateFile.Read(_folder.Write("lagoon.estate.json", text));

    [Fact]
    public void Port_unit_of_watts_and_interfaces()
    {
        EstateResult result = Read(SampleEstate.Text);
        Assert.Empty(Told.Of(result.Problems));
        Switch one = result.Estate!.FindSwitch("quay-1")!;
        Assert.Equal((1161, MainPowerUnit.Tenths, 24, 101u, 124u), (one.SnmpPort, one.Snmp!.MainPower, one.Snmp.Interfaces.Count, one.Snmp.Interfaces["1/1"], one.Snmp.Interfaces["1/24"]));
        Assert.Equal((null, 161), (result.Estate.FindSwitch("quay-2")!.Snmp, result.Estate.FindSwitch("quay-2")!.SnmpPort));
    }

    [Fact]
    public void A_switch_that_is_reached_by_snmp_alone_needs_no_dialect()
    {
        EstateResult result = Read(SampleEstate.Text.Replace("\"link\": \"ssh\", \"dialect\": \"reef\"", "\"port\": 1162, \"link\": \"snmp\""));
        Assert.Empty(Told.Of(result.Problems));
        Switch one = result.Estate!.FindSwitch("quay-2")!;
        Assert.Equal((LinkKind.Snmp, 1162, 1162, ""), (one.Link, one.SnmpPort, one.TcpPort, one.Dialect));
        Assert.Equal(161, (one with { Port = null }).SnmpPort);
    }

    [Theory]
    [InlineData("\"tenths\"", "\"tenth\"", "'tenth' is no unit of an agent; the nearest is 'tenths'.")]
    [InlineData("\"port\": 1161", "\"port\": 0", "Found the number 0 where a whole number")]
    [InlineData("\"lastPort\": 24", "\"lastPort\": 2000", "The ports go from 1 to 2000, and 1 to 1024 ports were expected.")]
    [InlineData("\"firstPort\": 1, \"lastPort\": 24", "\"firstPort\": 5, \"lastPort\": 4", "The ports go from 5 to 4, and 1 to 1024 ports were expected.")]
    [InlineData("\"mainPower\"", "\"mainPwer\"", "'mainPwer' is not known")]
    public void Mistakes_are_told(string good, string bad, string sentence)
    {
        Assert.Contains(good, SampleEstate.Text);
        Problem problem = Assert.Single(Read(SampleEstate.Text.Replace(good, bad)).Problems);
        Assert.Contains(sentence, problem.Sentence);
        Assert.StartsWith("sites[0].switches[0].snmp", problem.Path);
    }
}
