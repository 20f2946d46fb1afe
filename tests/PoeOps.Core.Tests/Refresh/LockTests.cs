using System.Diagnostics;
using System.Globalization;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>Two runs never hold the same switch, and a crash blocks nobody for ever.</summary>
public sealed class LockTests : IDisposable
{
    private readonly OneNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_second_run_is_refused_while_the_first_has_the_switch_and_told_whose_it_is()
    {
        UnitResult? second = null;
        _night.GoesWell();
        _night.Link.OnStart = _ => second = new RefreshRun(_night.Options(new MemoryRecord())).Next();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);

        Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (second!.Outcome, second.ProblemId));
        Assert.StartsWith(
            $"The switch 'north-1' is held by {Environment.UserName} on {Environment.MachineName}, process {Environment.ProcessId.ToString(CultureInfo.InvariantCulture)}, since 20",
            second.Reason, StringComparison.Ordinal);
        Assert.Single(_night.Link.Calls, call => call.StartsWith("Start", StringComparison.Ordinal));
    }

    [Fact]
    public void One_console_has_one_lock_under_whatever_name_a_run_knows_its_switch()
    {
        UnitResult? second = null;
        string folder = Path.Combine(_night.Folder, "locks", "deeper");
        _night.GoesWell();
        _night.Link.OnStart = _ =>
        {
            Assert.True(File.Exists(Path.Combine(folder, "poeops-192.0.2.9-23.lock")));
            RunOptions other = _night.Options(new MemoryRecord());
            other = other with { LockFolder = folder, LockName = unit => "192.0.2.9-23", Plan = other.Plan with { Units = [.. other.Plan.Units.Select(unit => unit with { Switch = "north-one" })] } };
            second = new RefreshRun(other).Next();
        };

        UnitResult? first = new RefreshRun(_night.Options(new MemoryRecord()) with { LockFolder = folder, LockName = unit => "192.0.2.9-23" }).Next();

        Assert.Equal((StageOutcome.Done, StageOutcome.Refused, ProblemId.SwitchHeld), (first!.Outcome, second!.Outcome, second.ProblemId));
        Assert.Empty(Directory.GetFiles(folder));
    }

    [Fact]
    public void WhatIf_is_told_as_well()
    {
        UnitResult? second = null;
        _night.GoesWell();
        _night.Link.OnStart = _ => second = new RefreshRun(_night.Options(new MemoryRecord()) with { WhatIf = true }).Next();

        _night.Run();

        Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (second!.Outcome, second.ProblemId));
    }

    [Fact]
    public void The_lock_of_a_process_that_is_gone_is_taken_over_and_written_down()
    {
        int gone = EndedProcess();
        Leave(Environment.MachineName, "night-watch", gone, "long ago");
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);

        Assert.Contains(
            $"Note text=The lock of the switch 'north-1' was taken over from night-watch on {Environment.MachineName}, process {gone.ToString(CultureInfo.InvariantCulture)}, since 2026-11-30T22:00:00Z, which is gone.",
            JournalReplay.Read(_night.JournalPath).Entries.Single(entry => entry.Kind == RunEntryKind.Note).Kind + " " + JournalReplay.Read(_night.JournalPath).Entries.Single(entry => entry.Kind == RunEntryKind.Note).Text,
            StringComparison.Ordinal);
        Assert.False(File.Exists(_night.LockPath));
    }

    [Fact]
    public void A_process_that_got_the_number_of_one_that_is_gone_holds_nothing()
    {
        Leave(Environment.MachineName, "night-watch", Environment.ProcessId, "long ago");
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public void The_lock_of_another_host_is_left_alone()
    {
        Leave("elsewhere", "night-watch", 4711, "long ago");

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (result.Outcome, result.ProblemId));
        Assert.Equal("The switch 'north-1' is held by night-watch on elsewhere, process 4711, since 2026-11-30T22:00:00Z.", result.Reason);
        Assert.Empty(_night.Noticed);
        Assert.StartsWith("elsewhere\n", File.ReadAllText(_night.LockPath), StringComparison.Ordinal);
    }

    [Fact]
    public void The_lock_of_another_host_is_taken_over_by_force_alone_and_whose_it_was_is_told()
    {
        Leave("elsewhere", "night-watch", 4711, "long ago");
        _night.Force = true;
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);

        const string Told = "The lock of the switch 'north-1' was taken over from night-watch on elsewhere, process 4711, since 2026-11-30T22:00:00Z, by force: nobody here can see whether it is gone.";
        Assert.Equal([Told], _night.Noticed);
        Assert.Equal("text=" + Told, JournalReplay.Read(_night.JournalPath).Entries.Single(entry => entry.Kind == RunEntryKind.Note).Text);
        Assert.False(File.Exists(_night.LockPath));
    }

    [Fact]
    public void Force_takes_nothing_from_a_run_that_lives_on_this_host()
    {
        UnitResult? second = null;
        _night.GoesWell();
        _night.Link.OnStart = _ => second = new RefreshRun(_night.Options(new MemoryRecord()) with { Force = true, Approve = _ => false }).Next();

        _night.Run();

        Assert.Equal((StageOutcome.Refused, ProblemId.SwitchHeld), (second!.Outcome, second.ProblemId));
    }

    [Fact]
    public void Force_takes_no_lock_that_does_not_say_whose_it_is()
    {
        File.WriteAllText(_night.LockPath, "do not touch");
        _night.Force = true;

        Assert.Equal(ProblemId.SwitchHeld, Assert.Single(_night.Run()).ProblemId);
        Assert.Equal("do not touch", File.ReadAllText(_night.LockPath));
    }

    [Theory]
    [InlineData(false, StageOutcome.Refused)]
    [InlineData(true, StageOutcome.Skipped)]
    public void WhatIf_tells_what_force_would_do_and_leaves_the_lock(bool force, StageOutcome outcome)
    {
        Leave("elsewhere", "night-watch", 4711, "long ago");

        UnitResult? result = new RefreshRun(_night.Options(new MemoryRecord()) with { WhatIf = true, Force = force }).Next();

        Assert.Equal(outcome, result!.Outcome);
        Assert.StartsWith("elsewhere\n", File.ReadAllText(_night.LockPath), StringComparison.Ordinal);
    }

    [Fact]
    public void The_journals_lock_is_told_and_taken_over_in_the_same_way()
    {
        string file = _night.JournalPath + ".lock";
        int gone = EndedProcess();
        string text = string.Join("\n", "elsewhere", "night-watch", gone.ToString(CultureInfo.InvariantCulture), "long ago", "2026-11-30T22:00:00Z", "0123");
        string who = $"night-watch on elsewhere, process {gone.ToString(CultureInfo.InvariantCulture)}, since 2026-11-30T22:00:00Z";
        File.WriteAllText(file, text);

        Problem problem = Assert.Throws<PoeOpsException>(() => JournalFile.Open(_night.JournalPath)).Problem;
        Assert.Equal($"The journal '{_night.JournalPath}' cannot be written: it is being written by {who}.", problem.Sentence);
        Assert.Equal("Wait for that run to end; where it is known to be dead, take its lock over with -Force.", problem.Advice);
        using (JournalFile forced = JournalFile.Open(_night.JournalPath, force: true))
        {
            Assert.Equal([$"The lock of the journal was taken over from {who}, by force: nobody here can see whether it is gone."], forced.Remarks);
        }

        File.WriteAllText(file, text.Replace("elsewhere", Environment.MachineName, StringComparison.Ordinal));
        using JournalFile taken = JournalFile.Open(_night.JournalPath);
        Assert.Equal([$"The lock of the journal was taken over from {who.Replace("elsewhere", Environment.MachineName, StringComparison.Ordinal)}, which is gone."], taken.Remarks);
    }

    [Fact]
    public void A_lock_that_does_not_say_whose_it_is_is_somebodys()
    {
        File.WriteAllText(_night.LockPath, "do not touch");

        UnitResult result = Assert.Single(_night.Run());

        Assert.Equal(ProblemId.SwitchHeld, result.ProblemId);
        Assert.Equal($"The switch 'north-1' is held by an unknown run: its lock '{_night.LockPath}' does not say whose it is.", result.Reason);
    }

    [Fact]
    public void A_lock_that_a_crash_left_empty_blocks_nobody()
    {
        File.WriteAllText(_night.LockPath, "");
        _night.GoesWell();

        Assert.Equal(StageOutcome.Done, Assert.Single(_night.Run()).Outcome);
    }

    [Fact]
    public async Task Of_many_runs_that_find_the_lock_of_a_dead_one_at_once_one_alone_gets_the_switch()
    {
        int gone = EndedProcess();
        for (int round = 0; round < 20; round++)
        {
            Leave(Environment.MachineName, "night-watch", gone, "long ago");
            int holders = 0;
            int most = 0;
            int asked = 0;
            using Barrier start = new(6);

            // The question is asked while the lock is held: two at a time would be seen there.
            RunOptions options = _night.Options(new MemoryRecord()) with
            {
                Open = _ => new ScriptedLink(),
                Approve = _ =>
                {
                    int now = Interlocked.Increment(ref holders);
                    InterlockedMax(ref most, now);
                    Interlocked.Increment(ref asked);
                    Thread.Yield();
                    Interlocked.Decrement(ref holders);
                    return false;
                },
            };
            await Task.WhenAll(Enumerable.Range(0, 6).Select(_ => Task.Factory.StartNew(
                () =>
                {
                    start.SignalAndWait();
                    new RefreshRun(options with { Record = new MemoryRecord() }).Next();
                },
                TaskCreationOptions.LongRunning)));

            Assert.Equal(1, most);
            Assert.NotEqual(0, asked);
        }
    }

    private static void InterlockedMax(ref int most, int now)
    {
        int seen;
        while (now > (seen = Volatile.Read(ref most)))
        {
            Interlocked.CompareExchange(ref most, now, seen);
        }
    }

    private static int EndedProcess()
    {
        using Process process = Process.Start(new ProcessStartInfo("dotnet", "--version") { RedirectStandardOutput = true })!;
        process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return process.Id;
    }

    private void Leave(string host, string user, int process, string start) =>
        File.WriteAllText(_night.LockPath, string.Join("\n", host, user, process.ToString(CultureInfo.InvariantCulture), start, "2026-11-30T22:00:00Z", "0123"));
}
