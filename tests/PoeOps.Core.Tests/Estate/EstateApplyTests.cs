using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Estate;

/// <summary>What the estate adds to what was read of a switch.</summary>
public sealed class EstateApplyTests : IDisposable
{
    private readonly ScratchFolder _folder = new();
    private readonly List<Problem> _problems = [];

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_unit_gets_what_the_estate_says_of_it_and_keeps_the_rest()
    {
        Controller read = new() { Switch = "quay-1", Unit = "1", GuardBandWatts = 3, BudgetWatts = 370, ReadingProblems = 1, Ports = [Port("1")] };
        Controller one = Assert.Single(Apply(read));
        Assert.Equal(("quay", "radios", true, 10.5m, 370m, 1), (one.Site, one.CoverageGroup, one.HoldsManagement, one.GuardBandWatts, one.BudgetWatts, one.ReadingProblems));

        Controller other = Apply(read with { Unit = "2" })[0];
        Assert.Equal(("quay", "", false, 18.5m), (other.Site, other.CoverageGroup, other.HoldsManagement, other.GuardBandWatts)); // 5 % of 370
    }

    [Fact]
    public void A_unit_gets_how_its_power_is_fed_and_handed_out()
    {
        Controller read = new() { Switch = "quay-1", Unit = "1", GuardBandWatts = 3, Ports = [Port("1")] };
        Controller one = Apply(read)[0];
        Assert.Equal((PseType.Type4, RestartPolicy.ByLimit, 0.5m, true, 1085.5m), (one.PseType, one.RestartPolicy, one.StaggerSeconds, one.Demotes, one.BudgetWatts));
        Assert.Equal([370m, 715.5m], one.SupplyWatts);
        Assert.Equal(0.9m, one.Efficiency!.At(0.5m));

        // What the device says of itself holds.
        Controller other = Apply(read with { Unit = "2", BudgetWatts = 370, PseType = PseType.Type1 })[0];
        Assert.Equal((PseType.Type1, RestartPolicy.ByDraw, 0.5m, false, 370m, 18.5m), (other.PseType, other.RestartPolicy, other.StaggerSeconds, other.Demotes, other.BudgetWatts, other.GuardBandWatts));
    }

    [Theory]
    [InlineData("5", "help-west", "x", "phone", "ticket hall")] // the estate's word goes first
    [InlineData("20", null, null, "help point", null)]
    [InlineData("9", "TEL-77", "camera", "phone", "TEL-77")] // by the neighbour's name, whatever its case
    [InlineData("9", null, "wall handset", "phone", "wall handset")] // by the description
    [InlineData("9", "radio", "help us", "help point", "radio")]
    [InlineData("9", "tel-1", "help us", "phone", "tel-1")] // the first role that fits decides
    [InlineData("9", "", " ", "other", null)] // nothing fits: the default
    public void A_port_gets_its_load_and_role(string port, string? neighbour, string? description, string role, string? load)
    {
        Port one = Apply(new Controller { Switch = "quay-1", Unit = "1", Ports = [Port(port) with { Neighbour = neighbour, Description = description }] })[0].Ports[0];
        Assert.Equal((role, load, "quay"), (one.Role, one.Load, one.Site));
    }

    [Fact]
    public void A_port_gets_what_its_role_says()
    {
        Port one = Apply(new Controller { Switch = "quay-1", Unit = "1", Ports = [Port("20")] })[0].Ports[0];
        Assert.Equal((true, 45.0, 10.0), (one.LifeSafety, one.RestartSeconds, one.Weight));
    }

    [Fact]
    public void Settings_that_fit_nothing_that_was_read_are_told()
    {
        Apply(new Controller { Switch = "quay-1", Unit = "2", Ports = [Port("1") with { Unit = "2" }] });
        Assert.Equal(
            [
                "SettingFitsNothing 21 -: The estate has settings for unit '1' of switch 'quay-1', but no such unit was read. Correct the unit or the ports in the estate, or read the whole switch.",
                "SettingFitsNothing 22 -: The estate names loads on ports 1-8,12 of unit '1' of switch 'quay-1', but none of these ports was read. Correct the unit or the ports in the estate, or read the whole switch.",
                "SettingFitsNothing 22 -: The estate names loads on ports 20 of unit '1' of switch 'quay-1', but none of these ports was read. Correct the unit or the ports in the estate, or read the whole switch.",
            ],
            Told.Of(_problems));
        Assert.All(_problems, problem => Assert.Equal("quay-1", problem.Target));
    }

    [Fact]
    public void The_settings_of_a_switch_that_could_not_be_read_are_not_told()
    {
        EstateMap estate = EstateFile.Read(_folder.Write("a.estate.json", SampleEstate.Text)).Estate!;
        _problems.Add(new Problem(ProblemId.CaptureBinary, "The file holds bytes that no console prints as text.", "Save it again."));
        Assert.Empty(estate.Apply(estate.FindSwitch("quay-1")!, [], _problems));
        Assert.Equal(ProblemId.CaptureBinary, Assert.Single(_problems).Id);
    }

    [Fact]
    public void A_pattern_that_takes_too_long_is_told_and_counts_against_the_reading()
    {
        string text = SampleEstate.Text.Replace("\"^tel-\"", "\"^(a+)+$\"");
        Controller one = Apply(new Controller { Switch = "quay-1", Unit = "1", Ports = [Port("5"), Port("20"), Port("9") with { Neighbour = new string('a', 60) + "!" }] }, text)[0];
        Assert.Equal(1, one.ReadingProblems);
        Problem problem = Assert.Single(_problems);
        Assert.Equal(
            "PatternTooSlow - -: The pattern '^(a+)+$' of the role 'phone' took longer than 250 ms on what port quay-1/1/9 is called, so it is not known whether the port has that role. "
            + "Write the pattern without repetitions inside repetitions, or give the port its role under loads.",
            Told.Of(problem));
        Assert.Equal("quay-1/1/9", problem.Target);
    }

    private static Port Port(string name) => new() { Switch = "quay-1", Unit = "1", Name = name, Status = DetectionStatus.DeliveringPower };

    private IReadOnlyList<Controller> Apply(Controller read, string? text = null)
    {
        EstateMap estate = EstateFile.Read(_folder.Write("a.estate.json", text ?? SampleEstate.Text)).Estate!;
        return estate.Apply(estate.FindSwitch("quay-1")!, [read], _problems);
    }
}
