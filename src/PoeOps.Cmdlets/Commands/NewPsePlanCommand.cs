using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Puts the drifted units in order into the windows of their sites and writes the plan to a file. Gives the plan; what cannot be planned is in
/// its obstacles and is warned about, and so is a plan of no units. Under <c>-WhatIf</c> an error says what would keep the file from being written.
/// </summary>
/// <example><code>$outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json</code><para>A plan from now on, with ten minutes of reserve.</para></example>
/// <example><code>$outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json -AcceptLifeSafety quay-1/2 -WhatIf</code><para>What the plan would be, without the file.</para></example>
/// <example><code>$outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json -From 2026-12-02 -Reserve 00:20:00 | Select-Object -ExpandProperty Units</code><para>The units of a plan from that day on, in order, with twenty minutes of reserve.</para></example>
/// <remarks>
/// <para>The plan carries a fingerprint of what it was made from. When the estate changes afterwards, it is refused, and a new one is to be made.</para>
/// <para>To accept a life-safety load is to say that those affected know, that another means is there, and that whoever has to decide by local codes has decided. The plan keeps who said so.</para>
/// </remarks>
/// <whatif>Gives the plan and writes no file. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the plan file is written.</confirm>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso cref="StartPseRehearsalCommand"/>
/// <seealso topic="about_PoeOps_Windows"/>
/// <seealso topic="about_PoeOps_Outages"/>
/// <seealso topic="about_PoeOps_Refresh"/>
[Cmdlet(VerbsCommon.New, "PsePlan", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(Plan))]
public sealed class NewPsePlanCommand : PoeCommand
{
    private readonly List<Outage> _outages = [];
    private EstateMap? _estate;

    /// <summary>A unit's outage as <c>Measure-PseOutage</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true)]
    public Outage? InputObject { get; set; }

    /// <summary>The estate file, for its windows.</summary>
    [Parameter(Mandatory = true)]
    [Alias("EstatePath")]
    public string Estate { get; set; } = string.Empty;

    /// <summary>The plan file to write; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>Plan from this time on; local unless it says otherwise. Now, by the estate's clock, where not given.</summary>
    [Parameter]
    public DateTime? From { get; set; }

    /// <summary>Time to keep back at each window's end.</summary>
    [Parameter]
    public TimeSpan Reserve { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>Units whose life-safety loads may go dark, by id. Kept in the plan with who said so and when.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    public UnitId[] AcceptLifeSafety { get; set; } = [];

    /// <summary>Units that may be refreshed although their reading has problems, by id.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    public UnitId[] AcceptReadingProblem { get; set; } = [];

    /// <summary>Units that may be refreshed although some of their loads do not come back within the budget, by id. Kept in the plan with how many they are.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    public UnitId[] AcceptRefusedLoad { get; set; } = [];

    /// <summary>Who accepts; the user of this process where not given.</summary>
    /// <value>The user of this process</value>
    [Parameter]
    public string AcceptedBy { get; set; } = Environment.UserName;

    /// <summary>Replaces a plan file that stands there; never the estate file.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        EstateResult result = EstateFile.Read(FilePath(Estate));
        _estate = Demand(result.Estate, result.Problems);
    }

    /// <inheritdoc/>
    protected override void ProcessRecord() => _outages.Add(InputObject!);

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        string path = FilePath(Path);
        Plan plan = Run(() => Planner.Plan(_outages, _estate!, Options()));
        Problem? wrong = PlanFile.Check(plan, path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        if (ShouldProcess(path, $"Write a plan of {plan.Units.Count} refreshes"))
        {
            plan = Run(() => PlanFile.Write(plan, path, Force));
        }
        else if (wrong is not null)
        {
            WriteProblem(wrong);
        }

        Warn(plan);
        WriteObject(plan);
    }

    private void Warn(Plan plan)
    {
        foreach (UnitId unit in AcceptLifeSafety.Concat(AcceptReadingProblem).Concat(AcceptRefusedLoad).Where(unit => _outages.All(outage => outage.UnitId != unit)).Distinct())
        {
            WriteWarning($"{unit} is named as accepted and is not among the units that came in; compare its name with theirs.");
        }

        foreach (Obstacle obstacle in plan.Obstacles)
        {
            WriteWarning($"{obstacle.UnitId} is not planned: {obstacle.Reason} {obstacle.WouldHelp}");
        }

        if (plan.Units.Count == 0)
        {
            WriteWarning(FormattableString.Invariant(
                $"The plan has no units: of the controllers that came in, {plan.NothingToDo} have nothing to load and {plan.Obstacles.Count} cannot be planned."));
        }
    }

    private PlanOptions Options()
    {
        DateTime now = _estate!.Clock().UtcNow;
        return new PlanOptions
        {
            CreatedUtc = now,
            FromUtc = From?.ToUniversalTime() ?? now,
            Reserve = Reserve,
            LifeSafety = [.. AcceptLifeSafety.Select(unit => new LifeSafetyAcceptance(unit, AcceptedBy, now))],
            ReadingProblems = AcceptReadingProblem,
            RefusedLoads = AcceptRefusedLoad,
        };
    }
}
