using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Journal;
using PoeOps.Outages;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that says what a run is to go by, and warns before it begins.
public sealed partial class InvokePseRefreshCommand
{
    private RunOptions Options(Plan plan, EstateMap estate, IRunRecord record, RunPast? past, PipelinePump pump)
    {
        string folder = System.IO.Path.GetDirectoryName(_journal) ?? ".";
        var run = new EstateRun(estate, Links(estate, IsWhatIf ? null : folder, pump));
        PlannedUnit[] toDo = [.. plan.Units.Where(unit => Lane is null || unit.Lane == Lane).Where(unit => past is null || !past.Units.TryGetValue(unit.Order, out UnitPast? before) || !before.IsAtTarget)];
        WarnOfLifeSafety(toDo);
        string? inClear = run.ClearTextWarning(toDo);
        if (inClear is not null)
        {
            WriteWarning(inClear);
        }

        StageProgress shown = _shown = new StageProgress(this, ShowsProgress, estate.Clock(), () => Stopped.IsCancellationRequested);
        return new RunOptions
        {
            Plan = plan,
            Open = run.Open,
            LinkRefusal = run.Refusal,
            Describe = run.Describe,
            ReadVersion = run.ReadVersion,
            Record = Told(record, pump),
            Clock = estate.Clock(),
            ImageFolder = FilePath(ImageFolder),
            Serving = External(run.Serving(FileServer, ServerPort, plan)),
            Approve = report => pump.OnPipeline(() => Ask(report)),
            ApprovePutBack = (port, text) => !NoRestore && pump.OnPipeline(() => !Stopped.IsCancellationRequested && ShouldProcess($"{port.PortId}: {text}", "Put the setting back")),
            Stop = _stop,
            Watcher = shown.IsWanted ? progress => Watch(shown, progress, pump) : _ => { },
            Lane = Lane,
            WhatIf = IsWhatIf,
            Attended = IsAttended,
            ContinueOnFailure = ContinueOnFailure,
            Force = Force,
            Notice = line => Say(line, pump),
            Remarks = [.. (record as JournalFile)?.Remarks ?? [], .. inClear is null ? Array.Empty<string>() : [inClear]],
            LockFolder = LockFolder is null ? EstateRun.CommonLockFolder : FilePath(LockFolder),
            LockName = run.LockName,
            BusyWait = BusyWait,
            SkipGates = SkipGate,
            FreeBytes = () => DiskSpace.FreeAt(folder),
            JournalPath = IsWhatIf ? string.Empty : _journal,
            Past = past,
            Settings = Settings(),
        };
    }

    private bool Ask(GateReport report) =>
        !Stopped.IsCancellationRequested && ShouldProcess($"{report.Unit.UnitId}: {report.Action}", report.Question, "Refresh a PSE controller");

    // Where a person is asked before each unit, the question says it.
    private void WarnOfLifeSafety(PlannedUnit[] toDo)
    {
        if (!IsWhatIf && !IsAttended && Planning.Plan.LifeSafetyLoadsOf(toDo) is > 0 and int loads)
        {
            WriteWarning(LifeSafety.Caution(loads));
        }
    }
}
