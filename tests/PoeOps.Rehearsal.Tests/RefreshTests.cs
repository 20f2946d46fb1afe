using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>An image is loaded for real: over TFTP, from a server of ours, on the word of a link.</summary>
public sealed class RefreshTests
{
    [Fact]
    public void A_kelpline_fetches_its_image_over_TFTP_and_says_every_stage_on_the_line()
    {
        using var night = new Night();
        using TerminalLink link = night.Open("mole-1");

        IReadOnlyList<LinkEvent> events = night.Refresh(link, "1", night.Serve(Night.Kelp));

        Assert.Equal(LinkEventKind.Succeeded, events[^1].Kind);
        Assert.Equal("Refit of unit 1 is done; it runs 3.10.2.", events[^1].Text);
        Stage[] stages = [Stage.Transfer, Stage.Erase, Stage.Program, Stage.Reset];
        Assert.Equal(stages, events.Where(one => one.Kind == LinkEventKind.StageBegan).Select(one => one.Stage!.Value));
        Assert.Equal(stages, events.Where(one => one.Kind == LinkEventKind.StageEnded).Select(one => one.Stage!.Value));
        Assert.Equal(100, events.Last(one => one.Kind == LinkEventKind.Progress && one.Stage == Stage.Program).Percent);
        Assert.Single(night.Server.Transfers);
        Assert.Equal("3.10.2", Night.Unit(link, "1").Firmware);
    }

    [Fact]
    public void An_oakum_works_in_the_background_ends_the_session_at_its_reset_and_runs_the_new_firmware_afterwards()
    {
        using var night = new Night();
        using TerminalLink link = night.Open("ferry-2");

        IReadOnlyList<LinkEvent> events = night.Refresh(link, "A", night.Serve(Night.Oakum));
        Assert.Equal(LinkEventKind.Lost, events[^1].Kind);
        night.Await(DeviceEntryKind.InstallSucceeded);
        link.Reopen();

        Controller unit = Night.Unit(link, "A");
        Assert.Equal("R3-B10p2", unit.Firmware);
        Assert.Equal(ControllerCondition.Healthy, unit.Condition);
        using Caller caller = Caller.LogIn(night.Rehearsal, "ferry-2");
        Assert.Equal(
            "begin renewal A\r\n  image ......... image-0.img\r\n  leg ........... over\r\n  end ........... renewed to R3-B10p2\r\nend renewal A\r\n", caller.Ask("how far A"));
    }

    [Theory]
    [InlineData("mole-1", "1")]
    [InlineData("ferry-2", "A")]
    public void Loads_go_dark_at_Erase_and_come_back_one_by_one_after_Reset(string name, string unit)
    {
        using var night = new Night();
        using TerminalLink link = night.Open(name);
        Controller before = Night.Unit(link, unit);

        night.Refresh(link, unit, night.Serve(name == "mole-1" ? Night.Kelp : Night.Oakum));
        night.Await(DeviceEntryKind.LoadServes, before.PoweredPorts);
        link.Reopen();
        Controller after = Night.Unit(link, unit);

        Assert.Equal(before.Ports, after.Ports);
        IReadOnlyList<DeviceEntry> log = night.Rehearsal.Log;
        DateTime erase = At(log, DeviceEntryKind.StageBegan, Stage.Erase);
        DateTime reset = At(log, DeviceEntryKind.StageBegan, Stage.Reset);
        Assert.Equal(before.PoweredPorts, log.Count(entry => entry.Kind == DeviceEntryKind.PortDark));
        Assert.All(log.Where(entry => entry.Kind == DeviceEntryKind.PortDark), entry => Assert.True(entry.Utc >= erase && entry.Utc < reset));
        Assert.All(log.Where(entry => entry.Kind == DeviceEntryKind.PortGranted), entry => Assert.True(entry.Utc > reset));
        Assert.Equal(
            before.Ports.Where(port => port.Delivering).OrderBy(port => port.Priority).Select(port => "port " + port.Name),
            night.Entries(DeviceEntryKind.PortGranted).Select(entry => entry.Text.Split(',')[0]));
    }

    [Fact]
    public void Ports_are_granted_power_a_second_apart_and_a_load_serves_after_the_time_of_its_role()
    {
        using var night = new Night();
        using TerminalLink link = night.Open("mole-1");
        night.Refresh(link, "1", night.Serve(Night.Kelp));
        night.Await(DeviceEntryKind.LoadServes, 13);

        IReadOnlyList<DeviceEntry> granted = night.Entries(DeviceEntryKind.PortGranted);
        for (int i = 1; i < granted.Count; i++)
        {
            Assert.Equal(1, (granted[i].Utc - granted[i - 1].Utc).TotalSeconds, 0.2);
        }

        // mole.estate.json: a radio restarts in 180 s, a help point in 45 s, anything else in 60 s.
        Assert.Equal(180, SecondsToServe(night, "port 9,"), 0.2);
        Assert.Equal(45, SecondsToServe(night, "port 12,"), 0.2);
        Assert.Equal(60, SecondsToServe(night, "port 13,"), 0.2);
    }

    [Fact]
    public void While_it_is_erased_a_controller_runs_nothing_and_feeds_nothing()
    {
        using var night = new Night("mole-1/1:Program:StuckAt40");
        using TerminalLink link = night.Open("mole-1");
        night.RefreshUpTo(link, "1", night.Serve(Night.Kelp), Stage.Program, 40);
        using TerminalLink other = night.Open("mole-1");

        Controller unit = Night.Unit(other, "1");

        Assert.Equal(ControllerCondition.Refreshing, unit.Condition);
        Assert.Null(unit.Firmware);
        Assert.Equal((0, 0m, 0m), (unit.PoweredPorts, unit.DrawWatts, unit.AllocatedWatts));
        Assert.All(unit.Ports, port => Assert.Null(port.Neighbour));
        Assert.Equal("Unit 1: a refit is under way.", other.AskBusy());
    }

    [Theory]
    [InlineData("family", "the image is for another family")]
    [InlineData("model", "the image is for another hardware model")]
    [InlineData("loadsOn", "the firmware that runs is too old for this image")]
    [InlineData("size", "the image is not whole")]
    [InlineData("payload", "the image is damaged")]
    [InlineData("magic", "what was fetched is no image")]
    [InlineData("empty", "what was fetched is no image")]
    public void A_wrong_image_is_refused_before_anything_is_erased(string wrong, string because)
    {
        foreach (string name in new[] { "mole-1", "ferry-2" })
        {
            using var night = new Night();
            using TerminalLink link = night.Open(name);
            string unit = name == "mole-1" ? "1" : "A";
            Controller before = Night.Unit(link, unit);

            IReadOnlyList<LinkEvent> events = night.Refresh(link, unit, ServeWrong(night, name == "mole-1" ? Night.Kelp : Night.Oakum, wrong));

            Assert.Equal(LinkEventKind.Failed, events[^1].Kind);
            Assert.Equal(because, events[^1].Because);
            Assert.DoesNotContain(night.Rehearsal.Log, entry => entry.Stage is Stage.Erase or Stage.Program);
            link.Reopen();
            Controller after = Night.Unit(link, unit);
            Assert.Equal(before.Ports, after.Ports);
            Assert.Equal((before.Firmware, ControllerCondition.Healthy), (after.Firmware, after.Condition));
        }
    }

    [Theory]
    [InlineData("mole-1", "1")]
    [InlineData("ferry-2", "A")]
    public void A_file_that_the_server_does_not_have_is_said_to_be_missing(string name, string unit)
    {
        using var night = new Night();
        using TerminalLink link = night.Open(name);

        LinkEvent end = night.Refresh(link, unit, "no-such.img")[^1];

        Assert.Equal((LinkEventKind.Failed, "the file server has no such file"), (end.Kind, end.Because));
    }

    [Fact]
    public void A_second_refresh_of_a_unit_at_work_is_refused_and_one_of_its_neighbour_is_not()
    {
        using var night = new Night("ferry-2/A:Program:StuckAt40");
        using TerminalLink link = night.Open("ferry-2");
        string file = night.Serve(Night.Oakum);
        night.RefreshUpTo(link, "A", file, Stage.Program, 40);
        using TerminalLink other = night.Open("ferry-2");

        Assert.Equal("hands on A: taken", other.AskBusy());
        Assert.Equal(LinkEventKind.Busy, night.Refresh(other, "A", file)[^1].Kind);
        Assert.Equal(LinkEventKind.Lost, night.Refresh(other, "B", file)[^1].Kind);
    }

    [Fact]
    public void A_question_that_is_answered_with_no_leaves_everything_as_it_is()
    {
        using var night = new Night();
        using Caller caller = Caller.LogIn(night.Rehearsal, "mole-1");
        caller.Ask("take helm");
        caller.Send($"refit unit 1 from 127.0.0.1 at {night.Server.Endpoint!.Port} with a.img\r");
        caller.Expect("(yes/no) ");

        Assert.Equal("Nothing was done.\r\n", caller.Ask("no"));
        Assert.Equal("the question was answered with no", Assert.Single(night.Entries(DeviceEntryKind.InstallRefused)).Text);
        Assert.Empty(night.Server.Transfers);
    }

    [Theory]
    [InlineData("mole-1", "1", "9")]
    [InlineData("ferry-2", "A", "7")]
    public void Settings_are_put_back_by_the_commands_of_the_dialect(string name, string unit, string port)
    {
        using var night = new Night();
        using TerminalLink link = night.Open(name);
        Port was = Night.Unit(link, unit).Ports.Single(one => one.Name == port);
        Port other = was with { AdminEnabled = false, Priority = PortPriority.Critical, LimitWatts = null };
        Array.ForEach(["AdminEnabled", "Priority", "LimitWatts"], property => link.PutBack(other, property));
        Port changed = Night.Unit(link, unit).Ports.Single(one => one.Name == port);
        Assert.Equal((false, PortPriority.Critical, null), (changed.AdminEnabled, changed.Priority, changed.LimitWatts));

        Array.ForEach(["AdminEnabled", "Priority", "LimitWatts"], property => link.PutBack(was, property));
        night.Await(DeviceEntryKind.LoadServes);

        Assert.Equal(was, Night.Unit(link, unit).Ports.Single(one => one.Name == port));
        Assert.Equal(6, night.Entries(DeviceEntryKind.SettingChanged).Count);
    }

    private static DateTime At(IEnumerable<DeviceEntry> log, DeviceEntryKind kind, Stage stage) => log.Single(entry => entry.Kind == kind && entry.Stage == stage).Utc;

    private static double SecondsToServe(Night night, string port) =>
        (night.Entries(DeviceEntryKind.LoadServes).Single(entry => entry.Text.StartsWith(port, StringComparison.Ordinal)).Utc
            - night.Entries(DeviceEntryKind.PortGranted).Single(entry => entry.Text.StartsWith(port, StringComparison.Ordinal)).Utc).TotalSeconds;

    private static string ServeWrong(Night night, ImageHeader good, string wrong) => wrong switch
    {
        "family" => night.Serve(good with { Family = "barnacle-pse" }),
        "model" => night.Serve(good with { Models = ["KL-99"] }),
        "loadsOn" => night.Serve(good with { LoadsOn = "3.9.0" }),
        "size" => night.Serve(good, image => image[..^1]),
        "payload" => night.Serve(good, image => [.. image[..^1], (byte)'?']),
        "magic" => night.Serve(good, image => [(byte)'p', .. image[1..]]),
        _ => night.Serve(good, _ => []),
    };
}
