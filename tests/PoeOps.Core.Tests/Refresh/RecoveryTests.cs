using System.Globalization;
using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>What was powered and how its ports were set is compared before and after.</summary>
public sealed class RecoveryTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void Loads_that_stay_dark_are_named_and_life_safety_is_said()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").Dark("1", "2"), TimeSpan.FromMilliseconds(200)));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.LoadsNotBack, 3, 1), (result.Outcome, result.ProblemId, result.Loads, result.LoadsBack));
        Assert.Equal(["desk phone on north-1/2/1 has no power", "help point A on north-1/2/2 (life-safety) has no power"], result.NotBack);
        Assert.Null(result.DarkSeconds);
        Assert.Equal(
            "It runs 3.0, but not everything is back: desk phone on north-1/2/1 has no power; help point A on north-1/2/2 (life-safety) has no power.", result.Reason);
    }

    [Fact]
    public void The_next_unit_waits_until_the_loads_serve_each_for_the_time_of_its_role()
    {
        // The phone has power at once and serves 60 s later; the camera has power 20 s later and serves 30 s after that.
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () =>
        {
            After(Sample.Unit("3.0").Dark("4"));
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => _night.Link.Units = [Sample.Unit("3.0")]);
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Done, 60), (result.Outcome, result.StageSeconds["Recover"]));
        Assert.Equal(20, result.DarkSeconds);
    }

    [Fact]
    public void Settings_that_are_to_be_left_are_left_and_named()
    {
        List<string> asked = [];
        _night.ApprovePutBack = (port, text) =>
        {
            asked.Add(text);
            return port.Name == "1";
        };
        _night.Link.OnPutBack = Restore;
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Defaults()));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Equal(["PutBack 1 AdminEnabled", "PutBack 1 LimitWatts"], _night.Link.Calls.Where(call => call.StartsWith("PutBack", StringComparison.Ordinal)));
        Assert.Equal(5, asked.Count);
        Assert.Equal(3, result.NotBack.Count);
        Assert.Equal(
            ["2 Priority", "4 Priority", "4 LimitWatts"],
            _night.Journal().Split('\n').Where(line => line.EndsWith("done=false; trouble=it was to be left", StringComparison.Ordinal))
                .Select(line => line.Split("port=north-1/2/")[1].Split("; found")[0].Replace("; setting=", " ", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_load_that_shows_another_class_afterwards_is_named()
    {
        _night.Link.Units = [Sample.Unit().With(port => port with { PdClass = 4 }, "1", "2")];
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { PdClass = port.Name == "2" ? 3 : 4 }, "1", "2")));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Equal(["the class of north-1/2/2 is 3 and was 4"], result.NotBack);
        Assert.DoesNotContain("PutBack", string.Join(" ", _night.Link.Calls), StringComparison.Ordinal);
    }

    [Fact]
    public void A_load_that_has_power_and_draws_nothing_is_named()
    {
        _night.Link.Units = [Sample.Unit().With(port => port with { DrawWatts = 6.2m })];
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { DrawWatts = port.Name == "2" ? 0 : 6.2m })));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Equal(["help point A on north-1/2/2 has power and draws nothing; it drew 6.2 W"], result.NotBack);
    }

    [Theory]
    [InlineData("3.9", "8", true)]
    [InlineData("4", "8", false)]
    [InlineData("12.1", "8", true)]
    [InlineData("12", "8", false)]
    [InlineData("0.5", "2.5", false)]
    [InlineData("0.4", "2.5", true)]
    public void A_load_that_draws_something_else_is_told_and_no_outcome(string now, string before, bool told)
    {
        _night.Link.Units = [Sample.Unit().With(port => port with { DrawWatts = decimal.Parse(before, CultureInfo.InvariantCulture) }, "4")];
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { DrawWatts = decimal.Parse(now, CultureInfo.InvariantCulture) }, "4")));

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal(told, _night.Journal().Contains($"Note text=camera on north-1/2/4 draws something else than before; drawWatts={now}; drewWatts={before}", StringComparison.Ordinal));
    }

    [Fact]
    public void Settings_that_the_reset_changed_are_put_back()
    {
        _night.Link.OnPutBack = Restore;
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Defaults()));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Done, ""), (result.Outcome, string.Join(", ", result.NotBack)));
        Assert.Equal(
            ["PutBack 1 AdminEnabled", "PutBack 1 LimitWatts", "PutBack 2 Priority", "PutBack 4 Priority", "PutBack 4 LimitWatts"],
            _night.Link.Calls.Where(call => call.StartsWith("PutBack", StringComparison.Ordinal)));
        Assert.Contains("PutBack port=north-1/2/1; setting=LimitWatts; found=LimitWatts of north-1/2/1 is not set and was 15.4; done=true", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void Settings_that_cannot_be_put_back_are_named()
    {
        _night.Link.OnPutBack = (_, _) => ScriptedLink.Fail(ProblemId.CommandRefused);
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { Priority = PortPriority.Low })));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Equal(["Priority of north-1/2/2 is Low and was Critical", "Priority of north-1/2/4 is Low and was High"], result.NotBack);

        // The first refusal may be a matter of rights that a fresh session has.
        Assert.Equal(["PutBack 2 Priority", "Reopen", "PutBack 2 Priority", "PutBack 4 Priority"], _night.Link.Calls.SkipWhile(call => call != "PutBack 2 Priority").Take(4));
        Assert.Contains("done=false; trouble=The device does not answer (CommandRefused).", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_session_that_lost_its_rights_is_replaced_before_a_setting_is_given_up()
    {
        bool first = true;
        _night.Link.OnPutBack = (_, _) =>
        {
            if (first)
            {
                first = false;
                ScriptedLink.Fail(ProblemId.CommandRefused);
            }

            _night.Link.Units = [Sample.Unit("3.0")];
        };
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { Priority = PortPriority.Low }, "2")));

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Contains("setting=Priority; found=Priority of north-1/2/2 is Low and was Critical; done=true", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_setting_that_the_device_takes_and_does_not_keep_is_named()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { Priority = PortPriority.Low }, "2")));

        Assert.Equal(["Priority of north-1/2/2 is Low and was Critical"], Assert.Single(_night.Run()).NotBack);
    }

    [Fact]
    public void Settings_are_compared_although_the_first_look_failed()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () =>
        {
            After(Sample.Unit("3.0").With(port => port with { Priority = PortPriority.Low }, "2"));
            _night.Link.OnRead.Enqueue(() => { });
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkClosed));
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Contains("PutBack 2 Priority", _night.Link.Calls);
    }

    [Fact]
    public void A_session_that_dies_while_a_setting_is_put_back_is_opened_again_and_the_setting_put_back_after_all()
    {
        int tries = 0;
        _night.Link.OnPutBack = (before, property) =>
        {
            if (tries++ == 0)
            {
                ScriptedLink.Fail(ProblemId.LinkClosed);
            }

            Restore(before, property);
        };
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Defaults()));

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Contains("Reopen", _night.Link.Calls);
    }

    [Fact]
    public void A_limit_where_there_was_none_is_a_difference()
    {
        _night.Link.Units = [Sample.Unit().With(port => port with { LimitWatts = null })];
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(Sample.Unit("3.0").With(port => port with { LimitWatts = null }).With(port => port with { LimitWatts = 15.4m }, "4")));

        Assert.Equal(["LimitWatts of north-1/2/4 is 15.4 and was not set"], Assert.Single(_night.Run()).NotBack);
    }

    [Fact]
    public void A_port_that_is_no_longer_listed_is_named_although_it_had_no_power()
    {
        Controller after = Sample.Unit("3.0");
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () => After(after with { Ports = [.. after.Ports.Where(port => port.Name != "3")] }));

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Degraded, ProblemId.SettingsDiffer), (result.Outcome, result.ProblemId));
        Assert.Equal(["port north-1/2/3 is no longer listed"], result.NotBack);
    }

    [Fact]
    public void A_unit_that_cannot_be_asked_in_the_end_is_not_called_done()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "done", before: () =>
        {
            After(Sample.Unit("3.0"));
            _night.Clock.Patience = TimeSpan.FromMilliseconds(200);
            _night.Link.OnRead.Enqueue(() => { });
            for (int i = 0; i < 1_000_000; i++)
            {
                _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.LinkSilent));
            }
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(StageOutcome.Degraded, result.Outcome);
        Assert.Equal(["the unit could not be asked at the end: The device does not answer (LinkSilent)."], result.NotBack);
        Assert.Equal(1, _night.Journal().Split('\n').Count(line => line.Contains(" Note ", StringComparison.Ordinal)));
    }

    private static Controller Defaults() => Sample.Unit("3.0")
        .With(port => port with { Priority = PortPriority.Low })
        .With(port => port with { LimitWatts = null, AdminEnabled = false, Status = DetectionStatus.Disabled }, "1")
        .With(port => port with { LimitWatts = 30m }, "4");

    private void After(Controller unit, TimeSpan? patience = null)
    {
        _night.Clock.Patience = patience ?? _night.Clock.Patience;
        _night.Link.Units = [unit];
    }

    private void Restore(Port before, string property) => _night.Link.Units =
    [
        _night.Link.Units[0].With(
            port => property switch
            {
                "AdminEnabled" => port with { AdminEnabled = before.AdminEnabled, Status = before.Status },
                "Priority" => port with { Priority = before.Priority },
                _ => port with { LimitWatts = before.LimitWatts },
            },
            before.Name),
    ];
}
