using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests;

/// <summary>The auditor finds each rule that is broken: journals and logs doctored once for each.</summary>
public sealed class AuditorTests
{
    private static readonly DateTime Noon = new(2026, 12, 1, 12, 0, 0, DateTimeKind.Utc);
    private static readonly string[] Gates = ["Stop", "Window", "Coverage", "Disk", "Image", "Lock", "Busy", "Reading", "Healthy", "Budget", "LifeSafety"];

    private readonly List<JournalEntry> _journal = [];
    private readonly List<DeviceEntry> _devices = [];

    public AuditorTests()
    {
        Write(RunEntryKind.RunBegan, "", 0);
        Unit("a/1", 1);
        Unit("b/1", 30);
        Write(RunEntryKind.RunEnded, "", 60);
    }

    [Fact]
    public void A_good_night_passes() => Assert.Empty(Auditor.Audit(_journal, _devices));

    [Fact]
    public void Two_units_at_once_are_found()
    {
        JournalEntry end = _journal.First(entry => entry.Kind == RunEntryKind.End);
        _ = _journal.Remove(end);
        _journal.Insert(_journal.FindLastIndex(entry => entry.Kind == RunEntryKind.End), end);
        Found("1: line ", "b/1 begins while a/1 is at work.");
    }

    [Fact]
    public void An_end_that_is_not_written_is_found()
    {
        _ = _journal.RemoveAll(entry => entry.Kind == RunEntryKind.End && entry.Unit == "b/1");
        Found("1: ", "b/1 was begun and its end is not written.");
    }

    [Theory]
    [InlineData("a/1", "2: a/1 took a command at 11:41:00, when the journal does not have it at work.")]
    [InlineData("c/1", "2: c/1 took 1 commands, and the journal has 0 beginnings.")]
    public void A_command_before_its_Begin_is_found(string unit, string told)
    {
        int at = _devices.FindIndex(entry => entry.Kind == DeviceEntryKind.InstallBegan);
        _devices[at] = _devices[at] with { Utc = Noon.AddMinutes(-19), Switch = unit[..1] };
        Assert.Contains(told, Auditor.Audit(_journal, _devices));
    }

    [Theory]
    [InlineData("Reading")]
    [InlineData("Image")]
    [InlineData("Window")]
    [InlineData("Lock")]
    public void A_gate_that_was_left_out_is_found(string gate)
    {
        _ = _journal.RemoveAll(entry => entry.Kind == RunEntryKind.Gate && entry.Unit == "b/1" && entry.Facts["gate"] == gate);
        Found("3: line ", $"b/1 begins without {gate}.");
    }

    [Theory]
    [InlineData("Failed")]
    [InlineData("Uncertain")]
    public void A_unit_that_begins_after_a_bad_end_is_found(string outcome)
    {
        int at = _journal.FindIndex(entry => entry.Kind == RunEntryKind.End);
        _journal[at] = _journal[at] with { Facts = new Dictionary<string, string> { ["outcome"] = outcome } };
        Found("4: line ", $"b/1 begins after a/1 ended {outcome}.");
    }

    [Fact]
    public void A_unit_that_begins_after_a_stop_is_found()
    {
        _journal.Insert(_journal.FindIndex(entry => entry.Kind == RunEntryKind.End) + 1, new JournalEntry { Kind = RunEntryKind.StopAsked, Utc = Noon });
        Found("6: line ", "b/1 begins after a stop was asked for.");
    }

    [Fact]
    public void A_unit_that_is_loaded_twice_for_one_Begin_is_found()
    {
        _devices.Add(_devices.Last(entry => entry.Kind == DeviceEntryKind.InstallBegan));
        Found("2: ", "b/1 took 2 commands, and the journal has 1 beginnings.");
    }

    [Theory]
    [InlineData(DeviceEntryKind.InstallSucceeded, "is Done, and its device says InstallBegan.")]
    [InlineData(DeviceEntryKind.PortGranted, "is Done, and port 1 is dark.")]
    public void Done_that_is_not_done_is_found(DeviceEntryKind missing, string told)
    {
        _ = _devices.RemoveAll(entry => entry.Kind == missing && entry.Switch == "b");
        Found("8: line ", told);
    }

    private void Found(string begins, string ends)
    {
        string told = Assert.Single(Auditor.Audit(_journal, _devices).Take(1));
        Assert.StartsWith(begins, told, StringComparison.Ordinal);
        Assert.EndsWith(ends, told, StringComparison.Ordinal);
    }

    private void Unit(string unit, int minute)
    {
        foreach (string gate in Gates)
        {
            Write(RunEntryKind.Gate, unit, minute, ("gate", gate), ("passed", "true"));
        }

        Write(RunEntryKind.Begin, unit, minute);
        Device(unit, minute + 1, DeviceEntryKind.InstallBegan, "x.img");
        Device(unit, minute + 2, DeviceEntryKind.PortDark, "port 1, phone");
        Device(unit, minute + 8, DeviceEntryKind.InstallSucceeded, "runs 3");
        Device(unit, minute + 9, DeviceEntryKind.PortGranted, "port 1, phone");
        Write(RunEntryKind.End, unit, minute + 12, ("outcome", "Done"));
    }

    private void Write(RunEntryKind kind, string unit, int minute, params (string Name, string Value)[] facts) =>
        _journal.Add(new JournalEntry { Line = _journal.Count + 1, Kind = kind, Unit = unit, Utc = Noon.AddMinutes(minute), Facts = facts.ToDictionary(fact => fact.Name, fact => fact.Value) });

    private void Device(string unit, int minute, DeviceEntryKind kind, string text) => _devices.Add(new DeviceEntry(Noon.AddMinutes(minute), unit.Split('/')[0], unit.Split('/')[1], kind, text));
}
