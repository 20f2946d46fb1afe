using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

public sealed class PlanFileTests : IDisposable
{
    private const string Altered =
        "PlanAltered - -: The plan's text was changed after it was made: its fingerprint does not fit it. Make the plan again with New-PsePlan, and have it approved again.";

    private readonly ScratchFolder _folder = new();

    private string Path => _folder.Path("a.plan.json");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_plan_is_written_for_people_to_read()
    {
        Plan written = PlanFile.Write(SamplePlan.Plan, Path, overwrite: false);
        Assert.Equal(SamplePlan.Text.Replace("FINGERPRINT", written.Fingerprint, StringComparison.Ordinal).ReplaceLineEndings("\n"), File.ReadAllText(Path).ReplaceLineEndings("\n"));
    }

    [Theory]
    [InlineData("lagoon.estate.json", false)]
    [InlineData("lagoon.estate.json", true)]
    [InlineData("sub/../lagoon.estate.json", true)]
    [InlineData("link.json", true)]
    public void The_estate_is_never_replaced_by_its_plan(string name, bool overwrite)
    {
        const string Estate = "an estate";
        string estate = _folder.Write("lagoon.estate.json", Estate);
        File.CreateSymbolicLink(_folder.Path("link.json"), estate);
        Directory.CreateDirectory(_folder.Path("sub"));
        Plan plan = SamplePlan.Plan with { EstatePath = estate, EstateSha256 = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Estate))) };
        string path = _folder.Path(name);

        Problem problem = Assert.Throws<PoeOpsException>(() => PlanFile.Write(plan, path, overwrite)).Problem;

        Assert.Equal(ProblemId.FileExists, problem.Id);
        Assert.Equal($"The file '{path}' holds the estate that the plan is made from, and is never replaced by it.", problem.Sentence);
        Assert.Equal(problem, PlanFile.Check(plan, path, overwrite));
        Assert.Equal(Estate, File.ReadAllText(estate));
    }

    [Fact]
    public void A_check_tells_what_the_writing_would_and_writes_nothing()
    {
        Assert.Null(PlanFile.Check(SamplePlan.Plan, Path, overwrite: false));
        Assert.False(File.Exists(Path));
        _folder.Write("a.plan.json", "{}");
        foreach (string path in new[] { Path, _folder.Path("none/a.plan.json"), _folder.FullPath })
        {
            Assert.Equal(Assert.Throws<PoeOpsException>(() => PlanFile.Write(SamplePlan.Plan, path, overwrite: false)).Problem, PlanFile.Check(SamplePlan.Plan, path, overwrite: false));
        }

        Assert.Null(PlanFile.Check(SamplePlan.Plan, Path, overwrite: true));
    }

    [Fact]
    public void The_fingerprint_is_the_digest_of_everything_else()
    {
        // RFC 8259 text of all keys but the two first, without space, in UTF-8.
        Plan written = PlanFile.Write(SamplePlan.Plan, Path, overwrite: false);
        using JsonTextReader reader = new(new StringReader(File.ReadAllText(Path))) { DateParseHandling = DateParseHandling.None, FloatParseHandling = FloatParseHandling.Decimal };
        JObject root = JObject.Load(reader);
        root.Remove("$schema");
        root.Remove("fingerprint");
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(root.ToString(Formatting.None)))), written.Fingerprint);
    }

    [Fact]
    public void A_plan_is_read_back_as_it_was_written()
    {
        Plan written = PlanFile.Write(SamplePlan.Plan, Path, overwrite: false);
        PlanResult read = PlanFile.Read(Path);
        Assert.Empty(Told.Of(read.Problems));
        Plan plan = read.Plan!;
        Assert.Equal(Bare(written), Bare(plan));
        Assert.Equal(written.EstateParts, plan.EstateParts);
        Assert.Equal(written.Baselines.Select(one => (one.Path, one.Sha256, string.Join(" ", one.Parts))), plan.Baselines.Select(one => (one.Path, one.Sha256, string.Join(" ", one.Parts))));
        Assert.Equal(written.Units[0] with { StageTimes = plan.Units[0].StageTimes, DarkLoads = plan.Units[0].DarkLoads }, Assert.Single(plan.Units));
        Assert.Equal(written.Units[0].DarkLoads, plan.Units[0].DarkLoads);
        Assert.Equal(written.Units[0].StageTimes.Stages, plan.Units[0].StageTimes.Stages);
        Assert.Equal(written.Obstacles, plan.Obstacles);
        Assert.Equal((DateTimeKind.Utc, DateTimeKind.Utc), (plan.CreatedUtc.Kind, plan.Units[0].StartUtc.Kind));
    }

    [Fact]
    public void What_nobody_said_is_still_unsaid_when_it_is_read_back()
    {
        Plan plan = SamplePlan.Plan;
        PlannedUnit bare = plan.Units[0] with { Serial = null, Release = null, LifeSafetyAcceptedBy = null, LifeSafetyAcceptedUtc = null, ImageFamily = "" };
        PlanFile.Write(plan with { Units = [bare] }, Path, overwrite: false);
        PlannedUnit read = PlanFile.Read(Path).Plan!.Units[0];
        Assert.Equal((null, null, null, null, ""), (read.Serial, read.Release, read.LifeSafetyAcceptedBy, read.LifeSafetyAcceptedUtc, read.ImageFamily));
    }

    [Fact]
    public void A_made_plan_goes_through_its_file()
    {
        Plan plan = Planner.Plan([Lagoon.Behind("quay-1/1"), Lagoon.Behind("rock-1/1")], Lagoon.Estate(_folder), Lagoon.Options);
        PlanFile.Write(plan, Path, overwrite: false);
        PlanResult read = PlanFile.Read(Path);
        Assert.Empty(Told.Of(read.Problems));
        Assert.Equal((1, 1, plan.EstateSha256), (read.Plan!.Units.Count, read.Plan.Obstacles.Count, read.Plan.EstateSha256));
        Assert.Null(PlanFile.Stale(read.Plan));
    }

    [Fact]
    public void A_plan_that_was_changed_by_hand_is_refused()
    {
        Change("\"loads\": 22", "\"loads\": 2");
        PlanResult read = PlanFile.Read(Path);
        Assert.Equal([Altered], Told.Of(read.Problems));
        Assert.Equal((null, Path), (read.Plan, read.Problems[0].File));
    }

    [Fact]
    public void No_value_of_a_plan_can_be_changed_unnoticed()
    {
        PlanFile.Write(SamplePlan.Plan, Path, overwrite: false);
        string text = File.ReadAllText(Path);
        string[] paths = [.. Leaves(text).Select(leaf => leaf.Path)];
        Assert.Equal(88, paths.Length); // every line of the sample that holds a value of its own
        foreach (string path in paths.Where(path => path != "['$schema']" && path != "$schema"))
        {
            JObject root = Load(text);
            JValue leaf = (JValue)root.SelectToken(path)!;
            leaf.Value = Other(leaf);
            File.WriteAllText(Path, root.ToString(Formatting.Indented));
            PlanResult read = PlanFile.Read(Path);
            Assert.True(read.Plan is null && read.Problems.Count > 0, $"{path} was changed to {leaf} and nobody noticed.");
        }
    }

    [Fact]
    public void A_unit_taken_out_or_put_in_another_order_is_noticed()
    {
        Plan plan = SamplePlan.Plan;
        PlanFile.Write(plan with { Units = [plan.Units[0], plan.Units[0] with { Order = 2, Unit = "3" }] }, Path, overwrite: false);
        string text = File.ReadAllText(Path);
        JObject root = Load(text);
        ((JArray)root["units"]!)[0].Remove();
        File.WriteAllText(Path, root.ToString());
        Assert.Equal([Altered], Told.Of(PlanFile.Read(Path).Problems));

        root = Load(text);
        JToken first = root["units"]![0]!;
        first.Remove();
        ((JArray)root["units"]!).Add(first);
        File.WriteAllText(Path, root.ToString());
        Assert.Equal([Altered], Told.Of(PlanFile.Read(Path).Problems));
    }

    [Theory]
    [InlineData("\"hops\": 1", "\"hopps\": 1", "JsonMissingKey 31 units[0]: The key 'hops' is missing, and a whole number was expected in it. Add 'hops' to the object that begins in this line.", "units[0].hopps: The key 'hopps' is not known here; the nearest is 'hops'.")]
    [InlineData("\"loads\": 22", "\"loads\": \"22\"", "JsonWrongType 59 units[0].loads: ", null)]
    [InlineData("\"order\": 1", "\"order\": 0", "JsonBadValue 32 units[0].order: ", null)]
    [InlineData("\"startUtc\": \"2026-12-01T22:00:00Z\"", "\"startUtc\": \"2026-12-01 22:00\"", "JsonBadValue 49 units[0].startUtc: '2026-12-01 22:00' is no UTC time. Write it such as 2026-12-01T21:00:00Z.", null)]
    [InlineData("\"a.img\"", "\"../a.img\"", "JsonBadValue 44 units[0].image.file: '../a.img' is not a plain file name that can be sent to a device.", null)]
    [InlineData("\"switch\": \"quay-1\"", "\"switch\": \"quay-1\\u0007\"", @"HiddenCharacter 34 units[0].switch: The text 'quay-1\u0007' holds the control character U+0007, which nobody sees", null)]
    [InlineData("\"NoWindowFits\"", "\"NoWindowFit\"", "JsonBadValue 127 obstacles[0].problem: 'NoWindowFit' is no kind of problem; the nearest is 'NoWindowFits'. Make the plan again with New-PsePlan.", null)]
    [InlineData("\"NoWindowFits\"", "\"5\"", "JsonBadValue 127 obstacles[0].problem: '5' is no kind of problem", null)]
    [InlineData("\"obstacles\": [", "\"obstacles\": 1, \"o\": [", "JsonWrongType 122 obstacles: ", null)]
    public void A_mistake_is_told_with_its_line_and_path(string right, string wrong, string first, string? second)
    {
        Change(right, wrong);
        PlanResult read = PlanFile.Read(Path);
        string[] told = Told.Of(read.Problems);
        Assert.Null(read.Plan);
        Assert.StartsWith(first, told[0], StringComparison.Ordinal);
        Assert.All(read.Problems, problem => Assert.Equal(Path, problem.File));
        if (second is not null)
        {
            Assert.Contains(told, one => one.Contains(second, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void A_file_that_is_no_plan_gives_problems_and_no_plan()
    {
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(PlanFile.Read(Path).Problems).Id);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(PlanFile.Read(_folder.Write("b.plan.json", "")).Problems).Id);
        Assert.Equal(ProblemId.JsonSyntax, Assert.Single(PlanFile.Read(_folder.Write("c.plan.json", "{ \"name\": ")).Problems).Id);
        Assert.Contains(PlanFile.Read(_folder.Write("d.plan.json", "{}")).Problems, problem => problem.Sentence.StartsWith("The key 'fingerprint' is missing", StringComparison.Ordinal));
    }

    [Fact]
    public void A_plan_is_never_written_over_another_unless_it_may()
    {
        PlanFile.Write(SamplePlan.Plan, Path, overwrite: false);
        string before = File.ReadAllText(Path);
        Plan other = SamplePlan.Plan with { Name = "other" };
        Assert.Equal(ProblemId.FileExists, Assert.Throws<PoeOpsException>(() => PlanFile.Write(other, Path, overwrite: false)).Problem.Id);
        Assert.Equal(before, File.ReadAllText(Path));
        PlanFile.Write(other, Path, overwrite: true);
        Assert.Equal("other", PlanFile.Read(Path).Plan!.Name);
    }

    [Fact]
    public void A_plan_whose_estate_has_changed_or_gone_is_stale()
    {
        EstateMap estate = Lagoon.Estate(_folder);
        Plan plan = Planner.Plan([Lagoon.Behind("quay-1/1")], estate, Lagoon.Options);
        Assert.Null(PlanFile.Stale(plan));

        File.AppendAllText(estate.SourcePath, " ");
        const string Again = "Make the plan again with New-PsePlan, and have it approved again.";
        Assert.Equal($"PlanStale - -: The estate file '{estate.SourcePath}' has changed since the plan was made. {Again}", Told.Of(PlanFile.Stale(plan)!));
        File.Delete(estate.SourcePath);
        Assert.Equal($"PlanStale - -: The estate file '{estate.SourcePath}' cannot be read. {Again}", Told.Of(PlanFile.Stale(plan)!));
    }

    [Fact]
    public void The_estate_is_known_by_the_digest_of_its_bytes()
    {
        // SHA-256 of the two octets of "{}", by sha256sum of GNU coreutils.
        Plan plan = SamplePlan.Plan with { Baselines = [], EstatePath = _folder.Write("a.estate.json", "{}"), EstateSha256 = "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a" };
        Assert.Null(PlanFile.Stale(plan));
        Assert.Equal(ProblemId.PlanStale, PlanFile.Stale(plan with { EstateSha256 = "" })!.Id);
    }

    private static Plan Bare(Plan plan) => plan with { Units = [], Obstacles = [], EstateParts = [], Baselines = [] };

    private void Change(string right, string wrong)
    {
        PlanFile.Write(SamplePlan.Plan, Path, overwrite: true);
        string text = File.ReadAllText(Path);
        Assert.Contains(right, text, StringComparison.Ordinal);
        File.WriteAllText(Path, text.Replace(right, wrong, StringComparison.Ordinal));
    }

    private static IEnumerable<JValue> Leaves(string text) => Load(text).Descendants().OfType<JValue>();

    private static JObject Load(string text)
    {
        using JsonTextReader reader = new(new StringReader(text)) { DateParseHandling = DateParseHandling.None, FloatParseHandling = FloatParseHandling.Decimal };
        return JObject.Load(reader);
    }

    // Another value that the key takes as well, wherever there is one.
    private static object Other(JValue leaf) => leaf.Value switch
    {
        bool flag => !flag,
        decimal number => number + 1,
        long number => number + 1,
        string text when text.EndsWith('Z') => text.Replace(":00", ":01", StringComparison.Ordinal),
        string text when text.Length == 64 => "0" + text[1..],
        string text when text == nameof(ProblemId.NoWindowFits) => nameof(ProblemId.NotPlannable),
        _ => string.Create(CultureInfo.InvariantCulture, $"{leaf.Value}x"),
    };
}
