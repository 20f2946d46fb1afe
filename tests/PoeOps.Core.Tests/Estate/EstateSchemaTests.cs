using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class EstateSchemaTests : IDisposable
{
    private static readonly SchemaCheck Schema = new("estate");
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_key_is_described_and_no_other_is_taken() => Assert.Empty(Schema.Gaps());

    [Theory]
    [InlineData("", "")]
    [InlineData("role", "roles[0]")]
    [InlineData("site", "sites[0]")]
    [InlineData("limits", "limits")]
    [InlineData("limits", "sites[0].limits")]
    [InlineData("busyHours", "sites[0].busyHours[0]")]
    [InlineData("coverageGroup", "sites[0].coverageGroups[0]")]
    [InlineData("window", "sites[0].windows[0]")]
    [InlineData("extraWindow", "sites[0].extraWindows[0]")]
    [InlineData("freeze", "sites[0].freezes[0]")]
    [InlineData("switch", "sites[0].switches[0]")]
    [InlineData("unit", "sites[0].switches[0].units[0]")]
    [InlineData("load", "sites[0].switches[0].loads[0]")]
    [InlineData("snmp", "sites[0].switches[0].snmp")]
    [InlineData("interfaces", "sites[0].switches[0].snmp.interfaces[0]")]
    [InlineData("power", "power")]
    [InlineData("power", "sites[0].switches[0].power")]
    [InlineData("power", "sites[0].switches[0].units[0].power")]
    [InlineData("efficiencyPoint", "power.efficiency[0]")]
    [InlineData("rehearsal", "rehearsal")]
    public void The_schema_and_the_reader_know_the_same_keys(string definition, string path) =>
        Assert.Equal(KnownKeys.Of(SampleEstate.Text, Problems)[path], Schema.Keys[definition]);

    [Fact]
    public void No_object_of_the_schema_is_left_out_above() => Assert.Equal(17, Schema.Keys.Count);

    [Fact]
    public void The_sample_fits() => Assert.True(Schema.Takes(SampleEstate.Text));

    [Theory]
    [InlineData("\"zone\": \"Europe/Lisbon\",", "")]
    [InlineData("\"zone\"", "\"zoen\"")]
    [InlineData("\"port\": 2323", "\"port\": \"2323\"")]
    [InlineData("\"port\": 2323", "\"port\": 0")]
    [InlineData("\"port\": 4001, ", "")]
    [InlineData("\"link\": \"telnet\"", "\"link\": \"Telnet\"")]
    [InlineData("\"127.0.0.11\"", "\"127.0.0.11;x\"")]
    [InlineData("\"name\": \"quay-2\"", "\"name\": \"quay/2\"")]
    [InlineData("\"Tuesday\"", "\"Thuesday\"")]
    [InlineData("\"22:30\"", "\"24:30\"")]
    [InlineData("\"PT5H\"", "\"5 hours\"")]
    [InlineData("\"PT5H\"", "\"PT\"")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": [1, 0]")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": 6")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": -2")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": 1.5")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": \"Last\"")]
    [InlineData("\"week\": [1, \"last\"]", "\"week\": []")]
    [InlineData("\"everyWeeks\": 2", "\"everyWeeks\": 0")]
    [InlineData("\"everyWeeks\": 2", "\"everyWeeks\": 53")]
    [InlineData("\"2027-06-30\"", "\"June\"")]
    [InlineData("\"localTime\": \"Second\"", "\"localTime\": \"second\"")]
    [InlineData("\"2026-12-20\"", "\"20.12.2026\"")]
    [InlineData("\"soak\": \"PT12H\"", "\"soak\": \"12 hours\"")]
    [InlineData("\"limits\": { \"units\": 8 }", "\"limits\": { }")]
    [InlineData("\"darkLoads\": 120", "\"darkLoads\": 0")]
    [InlineData("\"until\": \"20:00\", \"weight\": 3.5", "\"until\": \"25:00\", \"weight\": 3.5")]
    [InlineData("\"weight\": 3.5", "\"weight\": -1")]
    [InlineData("\"apart\": \"recovered\"", "\"apart\": \"hour\"")]
    [InlineData("\"^tel-\"", "\"\"")]
    [InlineData("\"name\": \"Radios\"", "\"name\": \" Radios\"")]
    [InlineData("\"coverageGroup\": \"radios\"", "\"coverageGroup\": \"radios \"")]
    [InlineData("\"2026-12-08T22:30\"", "\"8 December\"")]
    [InlineData("\"speed\": 60", "\"speed\": 0")]
    [InlineData("\"pseType\": 2", "\"pseType\": 5")]
    [InlineData("\"policy\": \"draw\"", "\"policy\": \"Draw\"")]
    [InlineData("\"supplyWatts\": [370, 715.5]", "\"supplyWatts\": [370, 0]")]
    [InlineData("\"supplyWatts\": [370, 715.5]", "\"supplyWatts\": [370, \"715\"]")]
    [InlineData("\"figure\": 0.92", "\"figure\": 92")]
    [InlineData("\"efficiency\": 0.9", "\"efficiency\": 0")]
    [InlineData("\"guardBandPercent\": 5", "\"guardBandPercent\": 101")]
    [InlineData("\"staggerSeconds\": 0.5", "\"staggerSeconds\": 0")]
    [InlineData("\"ports\": \"20\", \"role\": \"help point\"", "\"ports\": \"20\"")]
    [InlineData("\"restartSeconds\": 90, ", "")]
    public void What_the_schema_refuses_the_reader_refuses_as_well(string right, string wrong)
    {
        Assert.Contains(right, SampleEstate.Text);
        string text = SampleEstate.Text.Replace(right, wrong);
        Assert.False(Schema.Takes(text));
        Assert.NotEmpty(Problems(text));
    }

    [Fact]
    public void What_may_be_left_out_is_left_out_by_both()
    {
        string text = SampleEstate.Text.Replace(", \"apart\": \"recovered\"", "", StringComparison.Ordinal);
        Assert.NotEqual(SampleEstate.Text, text);
        Assert.True(Schema.Takes(text));
        Assert.Empty(Problems(text));
    }

    private IReadOnlyList<Problem> Problems(string text) => EstateFile.Read(_folder.Write("a.estate.json", text)).Problems;
}
