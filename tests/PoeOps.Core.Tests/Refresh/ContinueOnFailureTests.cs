using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>After a failure a run may go on at other switches, never at the same one.</summary>
public sealed class ContinueOnFailureTests : IDisposable
{
    private readonly OneNight _night = new();
    private readonly ScriptedLink _second = new();

    public ContinueOnFailureTests()
    {
        // Whoever begins what is to be left alone waits for a device that says nothing: not for long.
        _night.Clock.Patience = TimeSpan.FromSeconds(1);
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Units.Add(OneNight.Planned(3, "2") with { Switch = "east-1" });
        _night.Link.Units = [Sample.Unit(), Sample.Unit(unit: "3")];
        _second.Say(LinkEventKind.Succeeded, "all done", before: () => _second.Units = [Sample.Unit("3.0")]);
    }

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_failure_leaves_the_rest_of_its_switch_alone_and_the_others_are_done()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good");

        List<UnitResult> results = Run(continueOnFailure: true, out RefreshRun run);

        Assert.Equal(
            [
                "north-1/2 Failed RefreshFailed The device said 'no good', which means: it was told to fail. It still runs 2.1 and is healthy.",
                "north-1/3 Refused RefreshFailed north-1/2 ended Failed, and nothing more is begun at its switch.",
                "east-1/2 Done  It runs 3.0, and everything is back.",
            ],
            results.Select(result => $"{result.UnitId} {result.Outcome} {result.ProblemId} {result.Reason}"));
        Assert.Null(run.StoppedBecause);
        Assert.Single(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
        Assert.Contains("Gate gate=SwitchBefore; passed=false; problem=RefreshFailed; reason=north-1/2 ended Failed, and nothing more is begun at its switch.", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void So_does_a_unit_whose_state_nobody_knows()
    {
        _night.Link.Say(LinkEventKind.Succeeded, "all done", before: () =>
        {
            _night.Link.Units = [Sample.Unit("2.7"), Sample.Unit(unit: "3")];
            _night.Clock.Patience = TimeSpan.Zero;
        });

        List<UnitResult> results = Run(continueOnFailure: true, out _);

        Assert.Equal(["north-1/2 Uncertain VersionNotReached", "north-1/3 Refused VersionNotReached", "east-1/2 Done "], results.Select(result => $"{result.UnitId} {result.Outcome} {result.ProblemId}"));
    }

    [Fact]
    public void A_second_image_of_the_unit_that_failed_says_so_of_the_first()
    {
        _night.Units[1] = OneNight.Planned(2) with { FromFirmware = "3.0", ToFirmware = "3.1" };
        _night.Link.Say(LinkEventKind.Failed, "no good");

        List<UnitResult> results = Run(continueOnFailure: true, out _);

        Assert.Equal("The image before it, 3.0, ended Failed on this unit.", results[1].Reason);
    }

    [Fact]
    public void Without_it_the_first_failure_ends_the_run()
    {
        _night.Link.Say(LinkEventKind.Failed, "no good");

        UnitResult result = Assert.Single(Run(continueOnFailure: false, out RefreshRun run));

        Assert.Equal("north-1/2 ended Failed", run.StoppedBecause);
        Assert.Equal(StageOutcome.Failed, result.Outcome);
        Assert.Equal(["north-1/3", "east-1/2"], run.Remaining.Select(unit => unit.UnitId.ToString()));
    }

    private List<UnitResult> Run(bool continueOnFailure, out RefreshRun run)
    {
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        run = new RefreshRun(_night.Options(journal) with { ContinueOnFailure = continueOnFailure, Open = unit => unit.Switch == "east-1" ? _second : _night.Link });
        List<UnitResult> results = [];
        while (run.Next() is { } result)
        {
            results.Add(result);
        }

        return results;
    }
}
