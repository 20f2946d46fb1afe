using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Refreshes the units of a plan, one after the other: gates, question, transfer, erase, program, reset, verify, recover. Each step is in the
/// journal before it is done. Ctrl+C or the stop file ends the run after the unit in progress.
/// </summary>
/// <example><code>Invoke-PseRefresh -Plan .\plan.json -ImageFolder .\images -Journal .\night.journal.jsonl -WhatIf</code><para>Runs every gate and changes nothing.</para></example>
/// <example><code>Invoke-PseRefresh -Plan .\plan.json -ImageFolder .\images -Journal .\night.journal.jsonl -Credential $c -Confirm:$false</code><para>An unattended night: units with life-safety loads are refused unless the plan accepts each by name.</para></example>
[Cmdlet(VerbsLifecycle.Invoke, "PseRefresh", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.High)]
[OutputType(typeof(UnitResult))]
public sealed class InvokePseRefreshCommand : PoeCommand
{
    private StopRequest _stop = new(null);

    /// <summary>The plan file, as it was approved.</summary>
    [Parameter(Mandatory = true, Position = 0, ValueFromPipelineByPropertyName = true)]
    public string Plan { get; set; } = string.Empty;

    /// <summary>The folder that holds the images.</summary>
    [Parameter(Mandatory = true)]
    public string ImageFolder { get; set; } = string.Empty;

    /// <summary>The journal file; its folder must exist and takes the transcripts as well. An existing journal is continued.</summary>
    [Parameter(Mandatory = true)]
    public string Journal { get; set; } = string.Empty;

    /// <summary>User and password for the consoles. A rehearsal brings its own.</summary>
    [Parameter]
    [Credential]
    public PSCredential? Credential { get; set; }

    /// <summary>The secret for elevation, where a console asks for another than the password.</summary>
    [Parameter]
    [Credential]
    public PSCredential? ElevationCredential { get; set; }

    /// <summary>The host that the units fetch their image from: this machine as they see it. The estate's where not given.</summary>
    [Parameter]
    public string? FileServer { get; set; }

    /// <summary>The UDP port of the image server; 69 where not given.</summary>
    [Parameter]
    [ValidateRange(1, 65535)]
    public int? ServerPort { get; set; }

    /// <summary>A file whose existence stops the run after the unit in progress; <c>stop</c> in the journal's folder where not given.</summary>
    [Parameter]
    public string? StopFile { get; set; }

    /// <summary>The folder of the locks that keep two runs from one switch; this machine's where not given. Name a shared one where several machines refresh.</summary>
    [Parameter]
    public string? LockFolder { get; set; }

    /// <summary>How long a device that says it is busy is asked again.</summary>
    [Parameter]
    public TimeSpan BusyWait { get; set; } = TimeSpan.FromMinutes(2);

    // A person answers unless the question was switched off on the line or for the whole session.
    private bool IsAttended => MyInvocation.BoundParameters.TryGetValue("Confirm", out object? bound)
        ? ((SwitchParameter)bound).IsPresent
        : !string.Equals(GetVariableValue("ConfirmPreference")?.ToString(), nameof(ConfirmImpact.None), StringComparison.OrdinalIgnoreCase);

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        var watch = new PlanWatch(FilePath(Plan));
        PlanResult read = PlanFile.Read(FilePath(Plan));
        Plan plan = Demand(read.Plan, read.Problems);
        if (PlanFile.Stale(plan) is { } stale)
        {
            Fail(stale);
        }

        if (plan.Units.Count == 0)
        {
            WriteWarning($"The plan '{FilePath(Plan)}' has no units, so nothing is refreshed.");
        }

        EstateResult estate = EstateFile.Read(plan.EstatePath);
        EstateMap map = Demand(estate.Estate, estate.Problems);
        string journal = FilePath(Journal);
        _stop = new StopRequest(StopFile is null ? System.IO.Path.Combine(System.IO.Path.GetDirectoryName(journal) ?? ".", "stop") : FilePath(StopFile), () => watch.Changed);
        if (IsWhatIf)
        {
            if (JournalFile.Check(journal) is { } wrong)
            {
                Fail(wrong);
            }

            Refresh(plan, map, new MemoryRecord(), string.Empty);
            return;
        }

        using JournalFile record = Run(() => JournalFile.Open(journal));
        Refresh(plan, map, record, journal);
    }

    /// <inheritdoc/>
    protected override void StopProcessing()
    {
        _stop.Ask();
        base.StopProcessing();
    }

    private void Refresh(Plan plan, EstateMap estate, IRunRecord record, string journal)
    {
        using PipelinePump pump = new();
        RefreshRun run = new(Run(() => Options(plan, estate, record, journal, pump)));
        try
        {
            while (Run(() => pump.Run(run.Next)) is { } result)
            {
                Tell(result);
            }
        }
        finally
        {
            // Whatever ended the pipeline, no further unit begins, and the journal says that the run is over.
            _stop.Ask();
            _ = run.Next();
        }

        if (run.StoppedBecause is { } because && run.Remaining.Count > 0)
        {
            WriteWarning($"The run stopped because {because}. Not begun: {string.Join(", ", run.Remaining.Select(unit => unit.UnitId.ToString()))}.");
        }
    }

    private void Tell(UnitResult result)
    {
        WriteProgress(new ProgressRecord(1, "Refreshing PSE controllers", "done") { RecordType = ProgressRecordType.Completed });
        WriteObject(result);
        bool well = result.Outcome == StageOutcome.Skipped || (result.Outcome == StageOutcome.Done && result.ProblemId is null);
        if (!well)
        {
            WriteWarning($"{result.UnitId} ended {result.Outcome} ({result.ProblemId}): {result.Reason}");
        }
    }

    private RunOptions Options(Plan plan, EstateMap estate, IRunRecord record, string journal, PipelinePump pump)
    {
        string folder = System.IO.Path.GetDirectoryName(FilePath(Journal)) ?? ".";
        var secrets = new SecretSource(estate, Credential, ElevationCredential);
        var links = new SwitchLinks(new DialectFinder(estate).Find, secrets.Of, estate.Clock(), IsWhatIf ? null : folder);
        var run = new EstateRun(estate, links);
        var shown = new StageProgress(this, () => Stopped.IsCancellationRequested);
        return new RunOptions
        {
            Plan = plan,
            Open = run.Open,
            Describe = run.Describe,
            ReadVersion = run.ReadVersion,
            Record = record,
            Clock = estate.Clock(),
            ImageFolder = FilePath(ImageFolder),
            Serving = run.Serving(FileServer, ServerPort, plan),
            Approve = report => pump.OnPipeline(() => Ask(report)),
            Stop = _stop,
            Watcher = progress => pump.Show(() => shown.Show(progress)),
            WhatIf = IsWhatIf,
            Attended = IsAttended,
            LockFolder = LockFolder is null ? EstateRun.CommonLockFolder : FilePath(LockFolder),
            LockName = run.LockName,
            BusyWait = BusyWait,
            JournalPath = journal,
        };
    }

    private bool Ask(GateReport report) =>
        !Stopped.IsCancellationRequested && ShouldProcess($"{report.Unit.UnitId}: {report.Action}", report.Question, "Refresh a PSE controller");
}
