using PoeOps.Core.Tests.Files;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning;

public sealed class PlanFileTests : IDisposable
{
    private static readonly DateTime Night = new(2026, 12, 1, 22, 0, 0, DateTimeKind.Utc);
    private readonly ScratchFolder _folder = new();

    private string Path => _folder.Path("plan.json");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_plan_is_read_back_as_it_was_written_and_fits_the_schema()
    {
        Plan written = PlanFile.Write(Sample(), Path, overwrite: false);
        PlanResult read = PlanFile.Read(Path);
        Assert.Empty(Told.Of(read.Problems));
        Assert.Equal((written.Fingerprint, written.Units[0] with { StageTimes = null! }), (read.Plan!.Fingerprint, read.Plan.Units[0] with { StageTimes = null! }));
        Assert.True(new SchemaCheck("plan").Takes(File.ReadAllText(Path)));
    }

    [Fact]
    public void A_plan_that_was_changed_by_hand_is_refused()
    {
        PlanFile.Write(Sample(), Path, overwrite: false);
        File.WriteAllText(Path, File.ReadAllText(Path).Replace("\"loads\": 22", "\"loads\": 2", StringComparison.Ordinal));
        Assert.Equal(ProblemId.PlanAltered, Assert.Single(PlanFile.Read(Path).Problems).Id);
    }

    [Fact]
    public void A_plan_is_never_written_over_another()
    {
        PlanFile.Write(Sample(), Path, overwrite: false);
        Assert.Equal(ProblemId.FileExists, Assert.Throws<PoeOpsException>(() => PlanFile.Write(Sample(), Path, overwrite: false)).Problem.Id);
    }

    [Fact]
    public void A_plan_whose_estate_has_changed_is_stale()
    {
        Plan plan = Sample() with { EstatePath = _folder.Write("a.estate.json", "{}"), EstateSha256 = new string('0', 64) };
        Assert.Equal(ProblemId.PlanStale, PlanFile.Stale(plan)!.Id);

        // SHA-256 of the two octets of "{}", by sha256sum of GNU coreutils.
        Assert.Null(PlanFile.Stale(plan with { EstateSha256 = "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a" }));
    }

    private static Plan Sample() => new()
    {
        Name = "harbour",
        CreatedUtc = Night,
        EstatePath = "harbour.estate.json",
        Units =
        [
            new PlannedUnit
            {
                Order = 1, Site = "quay", Switch = "quay-1", Unit = "2", Model = "KL-24", FromFirmware = "3.8", ToFirmware = "3.10", ImageFile = "a.img", ImageBytes = 3,
                ImageSha256 = "00", ImageFamily = "f", StartUtc = Night, EndUtc = Night, WindowOpensUtc = Night, WindowClosesUtc = Night, WorstSeconds = 90.5, Loads = 22,
            },
        ],
    };
}
