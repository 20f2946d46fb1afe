using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>The process of a run is made to end: the record says what it let go of, and nothing after that.</summary>
public sealed class DetachTests : IDisposable
{
    private const string Because = "the process was made to end: it was asked to end";

    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_unit_at_work_ends_detached_and_nothing_is_written_behind_it()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Link.Say(LinkEventKind.StageBegan, "erasing", Stage.Erase).Say(LinkEventKind.Succeeded, "done", before: () =>
        {
            _night.Current!.Detach(Because);
            _night.Current.Detach("again");
            _night.Becomes("3.0");
        });

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Done, ProblemId.JournalNotWritable), (result.Outcome, result.ProblemId));
        string[] last = _night.Journal().Split('\n')[^2..];
        Assert.EndsWith(
            $"End outcome=Detached; problem=RunDetached; reason=The run was made to let go of it in Erase because {Because}. It was not interrupted and goes on by itself; -Resume asks what became of it.",
            last[0], StringComparison.Ordinal);
        Assert.EndsWith($"RunEnded because={Because}; notBegun=north-1/3", last[1], StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_between_two_units_has_nothing_to_let_go_of()
    {
        _night.Units.Add(OneNight.Planned(2, "3"));
        _night.Answer = _ =>
        {
            _night.Current!.Detach(Because);
            return false;
        };

        Assert.Equal(ProblemId.JournalNotWritable, Assert.Throws<PoeOpsException>(() => _night.Run()).Problem.Id);
        Assert.EndsWith($"RunEnded because={Because}; notBegun=north-1/2, north-1/3", _night.Journal(), StringComparison.Ordinal);
        Assert.DoesNotContain("Detached", _night.Journal(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_unit_that_was_let_go_of_is_open_for_whoever_goes_on()
    {
        JournalEntry[] entries =
        [
            Entry(1, RunEntryKind.RunBegan, "", ("fingerprint", "f")), Entry(2, RunEntryKind.Begin, "a/1", ("order", "1")), Entry(3, RunEntryKind.End, "a/1", ("outcome", "Detached")),
        ];
        var reading = new JournalReading(entries, []);

        Assert.Equal(["a/1"], reading.OpenUnits);
        Assert.True(JournalResume.Past(reading, "f").Units[1].IsOpen);
    }

    private static JournalEntry Entry(int line, RunEntryKind kind, string unit, params (string Name, string Value)[] facts) =>
        new() { Line = line, Kind = kind, Unit = unit, Facts = facts.ToDictionary(fact => fact.Name, fact => fact.Value) };
}
