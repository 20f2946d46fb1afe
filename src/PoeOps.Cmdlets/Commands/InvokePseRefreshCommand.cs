using System.Management.Automation;
using PoeOps.Calendar;
using PoeOps.Cmdlets.Completion;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Refreshes the units of a plan, one after the other: gates, question, transfer, erase, program, reset, verify, recover. Each step is in the
/// journal before it is done. Ctrl+C, the stop file or the window's end ends the run after the unit in progress, which is always watched to its end.
/// </summary>
/// <example><code>Invoke-PseRefresh -Plan .\plan.json -ImageFolder .\images -Journal .\night.journal.jsonl -WhatIf</code><para>Runs every gate and changes nothing.</para></example>
/// <example><code>Invoke-PseRefresh -Plan .\plan.json -ImageFolder .\images -Journal .\night.journal.jsonl -Credential $c -Confirm:$false</code><para>An unattended night: units with life-safety loads are refused unless the plan accepts each by name, and switches by Telnet or raw TCP unless the estate says "clearText": true for each.</para></example>
/// <example><code>Invoke-PseRefresh -Resume .\night.journal.jsonl -Credential $c</code><para>Goes on where that run stopped or broke off; a unit whose end is not written is asked first.</para></example>
[Cmdlet(VerbsLifecycle.Invoke, "PseRefresh", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.High, DefaultParameterSetName = "Plan")]
[OutputType(typeof(UnitResult))]
public sealed partial class InvokePseRefreshCommand : LinkCommand
{
    private StopRequest _stop = new(null);
    private PlanWatch? _watch;
    private volatile Func<string?>? _notice;
    private string _journal = string.Empty;

    /// <summary>The plan file, as it was approved. With <c>-Resume</c>, where the plan lies now, if it was moved.</summary>
    [Parameter(Mandatory = true, Position = 0, ParameterSetName = "Plan", ValueFromPipelineByPropertyName = true)]
    [Parameter(ParameterSetName = "Resume")]
    [ValidateNotNullOrEmpty]
    public string Plan { get; set; } = string.Empty;

    /// <summary>The folder that holds the images. With <c>-Resume</c>, the one of the run that is gone on with, where not given.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Plan")]
    [Parameter(ParameterSetName = "Resume")]
    [ValidateNotNullOrEmpty]
    public string ImageFolder { get; set; } = string.Empty;

    /// <summary>
    /// The journal file; its folder must exist and takes the transcripts as well. An existing journal is continued, unless its run broke off while a unit
    /// was at work.
    /// </summary>
    [Parameter(Mandatory = true, ParameterSetName = "Plan")]
    public string Journal { get; set; } = string.Empty;


    /// <summary>
    /// A file whose existence stops the run after the unit in progress, whatever is in it; <c>stop</c> in the journal's folder where not given. It is not
    /// taken away: while it is there, no run begins a unit.
    /// </summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? StopFile { get; set; }

    /// <summary>The folder of the locks that keep two runs from one switch; this machine's where not given. Name a shared one where several machines refresh.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string? LockFolder { get; set; }

    /// <summary>
    /// Gates that hold nobody up, by name: Window, Coverage, Disk, Busy, Healthy, Budget, LifeSafety, Pilot. Each that was closed is in the journal. The image's
    /// digest, the fresh reading, the lock and the journal are never skipped.
    /// </summary>
    [Parameter]
    [ArgumentCompleter(typeof(GateCompleter))]
    [ValidateNotNull]
    public string[] SkipGate { get; set; } = [];

    /// <summary>
    /// Goes on at other switches after a unit that failed or whose state nobody knows, never at the same one. Without it, the first such unit ends the run.
    /// </summary>
    [Parameter]
    public SwitchParameter ContinueOnFailure { get; set; }

    /// <summary>
    /// Takes over the locks of a run on another host, for a host that is known to be dead: nobody here can see whether its run is. It does nothing
    /// else: no gate is left out, no question, no life-safety load is accepted, and a run that lives on this host keeps its locks.
    /// </summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <summary>Leaves settings that the reset put back to default as they are, and names them. Without it each is put back, and asked about like the unit itself.</summary>
    [Parameter]
    public SwitchParameter NoRestore { get; set; }

    /// <summary>The lane of the plan whose units this run takes, for a plan with several: each lane is a run of its own. With <c>-Resume</c>, the one of the run that is gone on with, where not given.</summary>
    [Parameter]
    [ValidateRange(1, 1000)]
    public int? Lane { get; set; }

    /// <summary>How long a device that says it is busy is asked again.</summary>
    [Parameter]
    public TimeSpan BusyWait { get; set; } = TimeSpan.FromMinutes(2);

    private protected override bool FollowsUnits => true;

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if ((GateNames.Check(SkipGate) ?? TwoServers()) is { } wrongLine)
        {
            Fail(wrongLine);
        }

        bool resumes = ParameterSetName == "Resume";
        _journal = FilePath(resumes ? Resume : Journal);
        Plan plan = resumes ? PlanOfRun() : PlanOfLine();
        if (PlanFile.Stale(plan) is { } stale)
        {
            Fail(stale);
        }

        if (LaneChoice.Check(plan, Lane) is { } wrongLane)
        {
            Fail(wrongLane);
        }

        if (plan.Units.Count == 0)
        {
            WriteWarning($"The plan '{FilePath(Plan)}' has no units, so nothing is refreshed.");
        }

        EstateResult estate = CheckedEstate.Read(plan.EstatePath);
        EstateMap map = Demand(estate.Estate, estate.Problems);
        TellEstate(map, plan.EstatePath);
        if (plan.Units.Count > 0 && ImageCheck.FolderProblem(FilePath(ImageFolder)) is { } noFolder)
        {
            // Else each unit would be refused for the same slip, one after the other.
            Fail(noFolder);
        }

        _stop = new StopRequest(
            StopFile is null ? System.IO.Path.Combine(System.IO.Path.GetDirectoryName(_journal) ?? ".", "stop") : FilePath(StopFile), () => _watch?.Changed);
        if (IsWhatIf)
        {
            if (JournalFile.Check(_journal) is { } wrong)
            {
                Fail(wrong);
            }

            Refresh(plan, map, new MemoryRecord(), Past(plan, resumes));
            return;
        }

        using JournalFile record = Run(() => JournalFile.Open(_journal, Force));
        foreach (string remark in record.Remarks)
        {
            WriteWarning(remark);
        }

        // Read while nobody else can write it any more.
        Refresh(plan, map, record, Past(plan, resumes));
    }

    private Plan PlanOfLine()
    {
        PlanResult read = PlanFile.Read(FilePath(Plan));
        Plan plan = Demand(read.Plan, read.Problems);
        TellPlan(plan, FilePath(Plan));
        _watch = new PlanWatch(FilePath(Plan));
        if (JournalResume.Unfinished(_journal) is { } unfinished)
        {
            Fail(unfinished);
        }

        return plan;
    }

    private void Refresh(Plan plan, EstateMap estate, IRunRecord record, RunPast? past)
    {
        using PipelinePump pump = new();
        RunOptions options = Run(() => Options(plan, estate, record, past, pump));
        RefreshRun run = new(options);
        _remaining = () => run.Remaining;
        try
        {
            using ProcessEnd processEnd = new(because => Detach(run, because));
            using StopNotice notice = new(run, options);
            _notice = notice.Take;
            notice.Watch(line => Say(line, pump));
            while (Run(() => pump.Run(run.Next)) is { } result)
            {
                Tell(result);
            }
        }
        finally
        {
            // Whatever ended the pipeline, no further unit begins, and the journal says that the run is over.
            _stop.Ask();
            _pumpIsOver = true;
            _ = run.Next();
            _shown?.End();
            SweepSsh();
        }

        if (past is not null && run.Remaining.Count == 0 && run.TakenUp == 0)
        {
            WriteWarning($"Nothing is left of the run of '{_journal}'.");
        }

        if (run.StoppedBecause is { } because && run.Remaining.Count > 0)
        {
            WriteWarning($"The run stopped because {because}. Not begun: {string.Join(", ", run.Remaining.Select(unit => unit.UnitId.ToString()).Distinct())}.");
        }
    }

    private void Tell(UnitResult result)
    {
        if (Stopped.IsCancellationRequested)
        {
            // The stopped pipeline takes no object any more, and its end is what somebody is waiting for.
            Host.UI.WriteLine(PlainText.Of($"{result.UnitId} ended {result.Outcome}: {result.Reason}"));
        }

        _shown?.EndUnit();
        WriteObject(result);
        bool well = result.Outcome == StageOutcome.Skipped || (result.Outcome == StageOutcome.Done && result.ProblemId is null);
        if (!well)
        {
            WriteWarning($"{result.UnitId} ended {result.Outcome} ({result.ProblemId}): {result.Reason}");
        }
    }
}
