using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>Something goes wrong, and a link sees it.</summary>
public sealed class MishapTests
{
    [Theory]
    [InlineData("mole-1")]
    [InlineData("ferry-2")]
    public void A_console_that_hangs_says_nothing(string name)
    {
        using var night = new Night(name + ":Connect:Hangs");

        Problem problem = Assert.Throws<PoeOpsException>(() => night.Open(name)).Problem;

        Assert.Contains(problem.Id, new[] { ProblemId.LinkSilent, ProblemId.PromptNotSeen });
    }

    [Fact]
    public void A_console_that_closes_twice_takes_the_third_call()
    {
        using var night = new Night("mole-1:Connect:Closes:1-2");

        using TerminalLink link = night.Open("mole-1");

        Assert.Equal(2, night.Entries(DeviceEntryKind.Mishap).Count);
    }

    [Theory]
    [InlineData("mole-1")]
    [InlineData("ferry-2")]
    public void A_log_in_is_refused(string name)
    {
        using var night = new Night(name + ":LogIn:Refused");

        Assert.Equal(ProblemId.LogInRefused, Assert.Throws<PoeOpsException>(() => night.Open(name)).Problem.Id);
        Assert.NotEmpty(night.Entries(DeviceEntryKind.LogInRefused));
    }

    [Theory]
    [InlineData("mole-1", "Secret word? ")]
    [InlineData("ferry-2", "Your key: ")]
    public void A_password_is_asked_for_twice(string name, string question)
    {
        using var night = new Night(name + ":LogIn:PasswordTwice");
        using Caller caller = Caller.LogIn(night.Rehearsal, name);

        Assert.Equal(3, caller.Transcript.Split(question).Length);
    }

    [Theory]
    [InlineData("mole-1")]
    [InlineData("ferry-2")]
    public void A_second_secret_is_asked_for_and_may_be_missing(string name)
    {
        using var night = new Night(name + ":LogIn:SecondSecret");

        Assert.Equal(ProblemId.SecretMissing, Assert.Throws<PoeOpsException>(() => night.Open(name)).Problem.Id);
        using TerminalLink link = night.Open(name, night.Rehearsal.ElevationPassword);
        Assert.Empty(link.Read().Problems);
    }

    [Theory]
    [InlineData("mole-1")]
    [InlineData("ferry-2")]
    public void A_garbled_answer_is_never_read_as_something_else(string name)
    {
        using var night = new Night(name + ":Answer:Garbage");
        using TerminalLink link = night.Open(name);

        SwitchReading reading = link.Read();

        Assert.NotEmpty(reading.Problems);
        Assert.All(reading.Controllers, controller => Assert.Empty(controller.Ports));
    }

    [Theory]
    [InlineData("mole-1", 3)]
    [InlineData("ferry-2", 2)]
    public void A_log_line_in_the_middle_of_every_answer_changes_nothing(string name, int units)
    {
        using var night = new Night(name + ":Answer:LogLineInside");
        using TerminalLink link = night.Open(name);

        SwitchReading reading = link.Read();

        Assert.Empty(reading.Problems);
        Assert.Equal(units, reading.Controllers.Count);
        Assert.NotEmpty(night.Entries(DeviceEntryKind.Mishap));
    }

    [Fact]
    public void A_link_goes_in_the_middle_of_an_answer_and_a_new_one_reads_it_all()
    {
        using var night = new Night("ferry-2:Answer:LinkLost");
        using TerminalLink link = night.Open("ferry-2");
        Assert.Equal(ProblemId.LinkClosed, Assert.Throws<PoeOpsException>(() => link.Read()).Problem.Id);

        link.Reopen();

        Assert.Empty(link.Read().Problems);
    }

    [Theory]
    [InlineData("Refused", "the file server refused the transfer")]
    [InlineData("FileNotFound", "the file server has no such file")]
    [InlineData("Damaged", "the image is damaged")]
    public void A_transfer_fails_once_and_the_next_one_is_good(string what, string because)
    {
        using var night = new Night("mole-1/1:Transfer:" + what);
        using TerminalLink link = night.Open("mole-1");
        string file = night.Serve(Night.Kelp);

        LinkEvent first = night.Refresh(link, "1", file)[^1];
        link.Reopen();
        LinkEvent second = night.Refresh(link, "1", file)[^1];

        Assert.Equal((LinkEventKind.Failed, because), (first.Kind, first.Because));
        Assert.Equal(LinkEventKind.Succeeded, second.Kind);
    }

    [Theory]
    [InlineData("Transfer:Stalls", Stage.Transfer, 30, "3.8.0", 13)]
    [InlineData("Program:StuckAt40", Stage.Program, 40, null, 0)]
    public void A_stage_stands_still(string mishap, Stage stage, int percent, string? firmware, int powered)
    {
        using var night = new Night("mole-1/1:" + mishap);
        using TerminalLink link = night.Open("mole-1");
        night.RefreshUpTo(link, "1", night.Serve(Night.Kelp), stage, percent);

        LinkEvent next = link.Next(night.Rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(600)));
        using TerminalLink other = night.Open("mole-1");
        Controller unit = Night.Unit(other, "1");

        Assert.Equal(LinkEventKind.Silence, next.Kind);
        Assert.Equal((firmware, powered), (unit.Firmware, unit.PoweredPorts));
    }

    [Theory]
    [InlineData("mole-1", "1", "Transfer:LinkLost", "3.10.2")]
    [InlineData("mole-1", "1", "Program:LinkLost", "3.10.2")]
    [InlineData("mole-1", "1", "Reset:LinkLost", "3.10.2")]
    [InlineData("ferry-2", "A", "Program:LinkLost", "R3-B10p2")]
    public void A_link_is_lost_and_the_unit_carries_on_alone(string name, string unit, string mishap, string firmware)
    {
        using var night = new Night($"{name}/{unit}:{mishap}");
        using TerminalLink link = night.Open(name);

        IReadOnlyList<LinkEvent> events = night.Refresh(link, unit, night.Serve(name == "mole-1" ? Night.Kelp : Night.Oakum));
        Assert.Equal(LinkEventKind.Lost, events[^1].Kind);
        night.Await(DeviceEntryKind.InstallSucceeded);
        link.Reopen();

        Assert.Equal(firmware, Night.Unit(link, unit).Firmware);
    }

    [Theory]
    [InlineData("Verify:OldVersion", "3.8.0")]
    [InlineData("Verify:OtherVersion", "3.10.3")]
    public void A_unit_says_that_all_is_well_and_runs_something_else(string mishap, string firmware)
    {
        using var night = new Night("mole-1/1:" + mishap);
        using TerminalLink link = night.Open("mole-1");

        LinkEvent end = night.Refresh(link, "1", night.Serve(Night.Kelp))[^1];

        Assert.Equal("Refit of unit 1 is done; it runs 3.10.2.", end.Text);
        Assert.Equal(firmware, Night.Unit(link, "1").Firmware);
    }

    [Fact]
    public void Three_ports_stay_dark()
    {
        using var night = new Night("mole-1/1:Recover:PortsStayOff");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));
        night.Await(DeviceEntryKind.LoadServes, 10);

        Controller unit = Night.Unit(link, "1");

        Assert.Equal(["1", "2", "3", "15"], unit.Ports.Where(port => port.Status == DetectionStatus.Fault).Select(port => port.Name));
        Assert.Equal(10, unit.PoweredPorts);
    }

    [Fact]
    public void A_reset_takes_the_settings_back()
    {
        using var night = new Night("mole-1/1:Recover:SettingsReset");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));

        Assert.All(Night.Unit(link, "1").Ports, port => Assert.Equal((PortPriority.Low, null), (port.Priority, port.LimitWatts)));
    }

    [Fact]
    public void Loads_take_three_times_as_long()
    {
        using var night = new Night("mole-1/1:Recover:LoadsSlow");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));
        night.Await(DeviceEntryKind.LoadServes);

        DateTime granted = night.Entries(DeviceEntryKind.PortGranted)[0].Utc;
        DateTime serves = night.Entries(DeviceEntryKind.LoadServes)[0].Utc;
        Assert.Equal(3 * 45, (serves - granted).TotalSeconds, 0.2);
    }

    [Fact]
    public void A_controller_is_faulty_afterwards_and_feeds_nothing()
    {
        using var night = new Night("mole-1/1:Controller:Faulted");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));

        Controller unit = Night.Unit(link, "1");

        Assert.Equal((ControllerCondition.Faulted, 0), (unit.Condition, unit.PoweredPorts));
    }

    [Theory]
    [InlineData("mole-1", "1", "Unit 1: a refit is under way.")]
    [InlineData("ferry-2", "A", "hands on A: taken")]
    public void A_second_operator_is_at_work_for_a_while(string name, string unit, string words)
    {
        using var night = new Night($"{name}/{unit}:Unit:Busy:1-2");
        using TerminalLink link = night.Open(name);

        Assert.Equal(words, link.AskBusy());
        Assert.Equal(LinkEventKind.Busy, night.Refresh(link, unit, "a.img")[^1].Kind);
        Assert.Null(link.AskBusy());
    }

    [Fact]
    public void A_slow_switch_takes_ten_times_as_long_for_a_stage()
    {
        using var night = new Night("mole-1:Device:Slow");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));

        DateTime began = night.Rehearsal.Log.Single(entry => entry.Kind == DeviceEntryKind.StageBegan && entry.Stage == Stage.Program).Utc;
        DateTime ended = night.Rehearsal.Log.Single(entry => entry.Kind == DeviceEntryKind.StageEnded && entry.Stage == Stage.Program).Utc;
        Assert.True(ended - began >= TimeSpan.FromSeconds(899), $"It took {ended - began}.");
    }

    [Fact]
    public void A_link_whose_transcript_cannot_be_written_any_more_still_looks_and_says_so()
    {
        string folder = Directory.CreateTempSubdirectory("poeops-transcripts-").FullName;
        using var night = new Night();
        using TerminalLink link = night.Open("mole-1", transcripts: folder);
        Directory.Delete(folder, recursive: true);
        string? path = link.TranscriptPath;

        link.Reopen();
        SwitchReading reading = link.Read();

        Assert.Equal(path, link.TranscriptPath);
        Assert.Equal(ProblemId.FileNotWritable, Assert.Single(reading.Problems).Id);
        Assert.All(reading.Controllers, controller => Assert.Equal(1, controller.ReadingProblems));
        Assert.Equal(ProblemId.FileNotWritable, Assert.Throws<PoeOpsException>(() => night.Open("mole-1", transcripts: folder)).Problem.Id);
    }

    [Fact]
    public void A_mishap_of_one_unit_leaves_its_neighbour_alone()
    {
        using var night = new Night("mole-1/1:Verify:OldVersion");
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "2", night.Serve(Night.Kelp with { Version = "3.11.0" }));

        Assert.Equal("3.11.0", Night.Unit(link, "2").Firmware);
        Assert.Empty(night.Entries(DeviceEntryKind.Mishap));
    }
}
