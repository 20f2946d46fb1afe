using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A device that ended its idle session between the gates and the command. The command was not sent: the gates are run again, and it goes out once.</summary>
public sealed class EndedBeforeCommandTests : IDisposable
{
    private readonly OneNight _night = new();
    private int _starts;

    public void Dispose() => _night.Dispose();

    [Fact]
    public void The_unit_is_read_again_and_the_command_goes_out_over_the_new_session()
    {
        _night.Link.OnStart = order =>
        {
            EndFor(1);
            _night.Fetch(order);
        };
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
        Assert.Equal(["Busy?", "Read", "Start 2 br-3.0.img", "Busy?", "Read", "Start 2 br-3.0.img"], _night.Link.Calls.Take(6));
        Assert.Equal(
            "text=The device does not answer (SessionEnded). Nothing was sent; every gate at the link is run again over a new session.",
            JournalReplay.Read(_night.JournalPath).Entries.First(entry => entry.Kind == RunEntryKind.Note).Text);
    }

    [Fact]
    public void One_that_does_so_twice_is_refused_and_nothing_was_loaded()
    {
        _night.Link.OnStart = _ => EndFor(9);

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(
            (StageOutcome.Refused, ProblemId.SessionEnded, "The device does not answer (SessionEnded). It had done so before; nothing was loaded."),
            (result.Outcome, result.ProblemId, result.Reason));
        Assert.Equal(2, _starts);
    }

    // The session may have ended because the switch restarted: what it says now counts.
    [Fact]
    public void One_that_is_no_longer_as_planned_is_not_loaded()
    {
        _night.Link.OnStart = _ =>
        {
            _night.Becomes("3.0");
            EndFor(1);
        };

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Skipped, ProblemId.NothingToDo), (result.Outcome, result.ProblemId));
        Assert.Equal(1, _starts);
    }

    [Fact]
    public void One_that_then_cannot_be_asked_is_refused()
    {
        _night.Link.OnStart = _ =>
        {
            _night.Link.OnRead.Enqueue(() => ScriptedLink.Fail(ProblemId.SessionsFull));
            EndFor(1);
        };

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(
            (StageOutcome.Refused, ProblemId.SessionsFull,
                "The device does not answer (SessionEnded). Then the unit could not be asked: The device does not answer (SessionsFull). Nothing was loaded."),
            (result.Outcome, result.ProblemId, result.Reason));
        Assert.Equal(1, _starts);
    }

    private void EndFor(int times)
    {
        if (++_starts <= times)
        {
            ScriptedLink.Fail(ProblemId.SessionEnded);
        }
    }
}
