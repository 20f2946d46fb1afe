using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;

namespace PoeOps.Core.Tests.Baselines;

public sealed class BaselineSchemaTests : IDisposable
{
    private static readonly SchemaCheck Schema = new("baseline");
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_key_is_described_and_no_other_is_taken() => Assert.Empty(Schema.Gaps());

    [Theory]
    [InlineData("", "")]
    [InlineData("entry", "entries[0]")]
    [InlineData("releases", "entries[0].releases")]
    [InlineData("image", "entries[0].image")]
    [InlineData("header", "entries[0].image.header")]
    [InlineData("stageSeconds", "entries[0].stageSeconds")]
    [InlineData("time", "entries[0].stageSeconds.Erase")]
    [InlineData("hop", "entries[0].hops[0]")]
    public void The_schema_and_the_reader_know_the_same_keys(string definition, string path) =>
        Assert.Equal(KnownKeys.Of(SampleBaseline.Text, Problems)[path], Schema.Keys[definition]);

    [Fact]
    public void No_object_of_the_schema_is_left_out_above() => Assert.Equal(8, Schema.Keys.Count);

    [Fact]
    public void The_sample_fits() => Assert.True(Schema.Takes(SampleBaseline.Text));

    [Theory]
    [InlineData("\"name\"", "\"nmae\"")]
    [InlineData("\"bytes\": 2048", "\"bytes\": 0")]
    [InlineData("\"bytes\": 2048", "\"bytes\": 20.5")]
    [InlineData("\"0123456789abcdef0123", "\"0123456789abcdeg0123")]
    [InlineData("reef-2.0.4.img", "a/b.img")]
    [InlineData("\"text\": \"REEF\"", "\"text\": \"REEF\", \"hex\": \"52\"")]
    [InlineData("\"text\": \"REEF\"", "\"text\": \"R\\u00e9EF\"")]
    [InlineData("\"hex\": \"7F 52 45\"", "\"hex\": \"7F 52 4\"")]
    [InlineData("\"hex\": \"7F 52 45\"", "\"offset\": 4096, \"hex\": \"7F\"")]
    [InlineData("\"Verify\"", "\"Recover\"")]
    [InlineData("\"typical\": 5,", "\"typical\": -5,")]
    [InlineData("\"model\": \"Kelp-8\"", "\"model\": \"\"")]
    [InlineData("\"releases\": { \"from\": \"8\" }", "\"releases\": \"8\"")]
    public void What_the_schema_refuses_the_reader_refuses_as_well(string right, string wrong)
    {
        Assert.Contains(right, SampleBaseline.Text);
        string text = SampleBaseline.Text.Replace(right, wrong);
        Assert.False(Schema.Takes(text));
        Assert.NotEmpty(Problems(text));
    }

    private IReadOnlyList<Problem> Problems(string text) => BaselineFile.Read(_folder.Write("a.baseline.json", text)).Problems;
}
