using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A wish to stop, and the window's end: what is said at once, and what the run does after the unit in progress.</summary>
public sealed class StopTests : IDisposable
{
    private readonly OneNight _night = new();
    private readonly List<string> _said = [];

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_stop_while_a_unit_is_at_work_is_told_at_once_and_once()
    {
        string file = Path.Combine(_night.Folder, "stop");
        _night.Stop = new StopRequest(file);
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.GoesWell();
        RefreshRun? run = null;
        StopNotice? notice = null;
        _night.Link.OnStart = order =>
        {
            Take(notice!);
            File.WriteAllText(file, "");
            Take(notice!);
            Take(notice!);
            Assert.Equal("north-1/2", run!.InProgress!.UnitId.ToString());
            _night.Fetch(order);
        };
        Run(out run, out notice);

        Assert.Equal([$"The run stops because the stop file '{file}' is there: no further unit starts, and north-1/2 is watched to its end."], _said);
        Assert.Null(run.InProgress);
        Assert.Equal(["north-1/3"], run.Remaining.Select(unit => unit.UnitId.ToString()));
    }

    [Fact]
    public void A_stop_before_a_unit_was_begun_promises_nothing_about_it()
    {
        StopNotice? notice = null;
        _night.Answer = _ =>
        {
            _night.Stop.Ask();
            Take(notice!);
            return true;
        };
        Run(out _, out notice);

        Assert.Equal(["The run stops because a stop was asked for: no further unit starts."], _said);
    }

    [Fact]
    public void A_window_that_closes_on_a_unit_is_told_and_ends_the_run_after_it()
    {
        _night.Units[0] = _night.Units[0] with { WindowClosesUtc = HandClock.Start.AddMinutes(28) };
        _night.Units.Add(OneNight.Planned(2, "3") with { WindowClosesUtc = HandClock.Start.AddMinutes(28) });
        _night.Units.Add(OneNight.Planned(3, "4") with { WindowOpensUtc = HandClock.Start.AddDays(1), WindowClosesUtc = HandClock.Start.AddDays(2) });
        StopNotice? notice = null;
        _night.Link.OnStart = order =>
        {
            _night.Clock.MoveOn(28 * 60);
            Take(notice!);
            Take(notice!);
            _night.Fetch(order);
        };
        _night.GoesWell();
        Run(out RefreshRun run, out notice);

        Assert.Equal(["The window of north-1/2 closed 2026-12-01 22:58 UTC: no further unit starts in it, and north-1/2 is watched to its end."], _said);
        Assert.Equal("no window is open long enough for any unit that is left", run.StoppedBecause);
        Assert.Equal(["north-1/3", "north-1/4"], run.Remaining.Select(unit => unit.UnitId.ToString()));
        Assert.EndsWith(" RunEnded because=no window is open long enough for any unit that is left; notBegun=north-1/3, north-1/4", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_window_that_one_unit_still_fits_keeps_the_run_going()
    {
        _night.Units[0] = _night.Units[0] with { WindowClosesUtc = HandClock.Start.AddMinutes(28) };
        _night.Units.Add(OneNight.Planned(2, "3") with { WindowClosesUtc = HandClock.Start.AddMinutes(28) });
        _night.Units.Add(OneNight.Planned(3) with { WindowClosesUtc = HandClock.Start.AddHours(9) });
        _night.GoesWell();

        IReadOnlyList<UnitResult> results = _night.Run();

        Assert.Equal([StageOutcome.Done, StageOutcome.Refused, StageOutcome.Skipped], results.Select(result => result.Outcome));
        Assert.Equal([null, ProblemId.WindowClosed, ProblemId.NothingToDo], results.Select(result => result.ProblemId));
    }

    [Fact]
    public void What_is_to_be_said_is_found_without_being_asked_for()
    {
        using ManualResetEventSlim heard = new();
        _night.GoesWell();
        StopNotice? notice = null;
        _night.Link.OnStart = order =>
        {
            notice!.Watch(line =>
            {
                _said.Add(line);
                heard.Set();
            });
            _night.Stop.Ask();
            Assert.True(heard.Wait(TimeSpan.FromSeconds(20)));
            _night.Fetch(order);
        };
        Run(out _, out notice);
        notice.Dispose();

        Assert.Equal("The run stops because a stop was asked for: no further unit starts, and north-1/2 is watched to its end.", Assert.Single(_said));
    }

    private void Take(StopNotice notice) => _said.AddRange(notice.Take() is { } line ? [line] : []);

    private void Run(out RefreshRun run, out StopNotice notice)
    {
        using JournalFile journal = JournalFile.Open(_night.JournalPath);
        RunOptions options = _night.Options(journal);
        run = new RefreshRun(options);
        notice = new StopNotice(run, options);
        while (run.Next() is not null)
        {
            continue;
        }
    }
}
