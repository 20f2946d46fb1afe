using PoeOps.Core.Tests.Files;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

public sealed class PlanSchemaTests : IDisposable
{
    private static readonly SchemaCheck Schema = new("plan");
    private static readonly string Sample = SamplePlan.Text.Replace("FINGERPRINT", new string('f', 64), StringComparison.Ordinal);
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_key_is_described_and_no_other_is_taken() => Assert.Empty(Schema.Gaps());

    [Theory]
    [InlineData("", "")]
    [InlineData("unit", "units[0]")]
    [InlineData("source", "baselines[0]")]
    [InlineData("part", "baselines[0].parts[0]")]
    [InlineData("part", "estateParts[0]")]
    [InlineData("image", "units[0].image")]
    [InlineData("stageSeconds", "units[0].stageSeconds")]
    [InlineData("time", "units[0].stageSeconds.Erase")]
    [InlineData("darkLoad", "units[0].darkLoads[0]")]
    [InlineData("obstacle", "obstacles[0]")]
    public void The_schema_and_the_reader_know_the_same_keys(string definition, string path) =>
        Assert.Equal(KnownKeys.Of(Sample, Problems)[path], Schema.Keys[definition]);

    [Fact]
    public void No_object_of_the_schema_is_left_out_above() => Assert.Equal(9, Schema.Keys.Count);

    [Fact]
    public void Plans_with_and_without_what_may_be_unsaid_fit()
    {
        PlanFile.Write(SamplePlan.Plan, _folder.Path("a.plan.json"), overwrite: false);
        Assert.True(Schema.Takes(File.ReadAllText(_folder.Path("a.plan.json"))));
        Plan bare = SamplePlan.Plan with { Units = [SamplePlan.Plan.Units[0] with { Serial = null, Release = null, LifeSafetyAcceptedBy = null, LifeSafetyAcceptedUtc = null, ImageFamily = "" }], Obstacles = [] };
        PlanFile.Write(bare, _folder.Path("b.plan.json"), overwrite: false);
        Assert.True(Schema.Takes(File.ReadAllText(_folder.Path("b.plan.json"))));
    }

    [Theory]
    [InlineData("\"name\": \"harbour\",", "")]
    [InlineData("\"hops\"", "\"hopps\"")]
    [InlineData("\"loads\": 22", "\"loads\": \"22\"")]
    [InlineData("\"loads\": 22", "\"loads\": -1")]
    [InlineData("\"order\": 1", "\"order\": 1.5")]
    [InlineData("\"windowAttended\": true", "\"windowAttended\": \"yes\"")]
    [InlineData("\"2026-12-01T22:00:00Z\"", "\"2026-12-01T22:00:00+01:00\"")]
    [InlineData("\"2026-11-30T22:00:00Z\"", "\"yesterday\"")]
    [InlineData("\"worstSeconds\": 2400.5", "\"worstSeconds\": -1")]
    [InlineData("\"a.img\"", "\"../a.img\"")]
    [InlineData("\"sha256\": \"a", "\"sha256\": \"x")]
    [InlineData("\"switch\": \"quay-1\"", "\"switch\": \"quay/1\"")]
    [InlineData("\"Erase\"", "\"Recover\"")]
    [InlineData("\"restart\": \"Back\"", "\"restart\": \"back\"")]
    [InlineData("\"drawWatts\": 6.3", "\"drawWatts\": -6.3")]
    [InlineData("\"port\": \"8\",", "")]
    [InlineData("\"reason\": \"It is too long.\",", "")]
    public void What_the_schema_refuses_the_reader_refuses_as_well(string right, string wrong)
    {
        Assert.Contains(right, Sample, StringComparison.Ordinal);
        string text = Sample.Replace(right, wrong, StringComparison.Ordinal);
        Assert.False(Schema.Takes(text));
        Assert.DoesNotContain(ProblemId.PlanAltered, Problems(text).Select(problem => problem.Id));
        Assert.NotEmpty(Problems(text));
    }

    private IReadOnlyList<Problem> Problems(string text) => PlanFile.Read(_folder.Write("c.plan.json", text)).Problems;
}
