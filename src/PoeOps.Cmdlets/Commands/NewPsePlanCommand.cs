using System.Management.Automation;
using PoeOps.Calendar;
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
/// <example><code>($outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json -Confidence 0.99).Risks</code><para>A plan whose reserve follows from the spread of the stage times, and how likely each window is too short for it.</para></example>
/// <example><code>$outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json -From 2026-12-02 -Reserve 00:20:00 | Select-Object -ExpandProperty Units</code><para>The units of a plan from that day on, in order, with twenty minutes of reserve.</para></example>
/// <example><code>$outages | New-PsePlan -Estate .\harbour.estate.json -Path .\plan.json -Soak 2.00:00:00 -Lanes 2 -Until 2027-03-01</code><para>A plan for two runs at a time, at different sites, in which the fellows of a pilot wait for two days, and no window closes after the end of February.</para></example>
/// <example><code>New-PsePlan -AfterJournal .\night.journal.jsonl -Path .\rest.plan.json</code><para>A plan for what a stopped night left, in the approved windows where that is possible.</para></example>
/// <remarks>
/// <para>The plan carries a fingerprint of what it was made from. When the estate or a baseline changes afterwards, it is refused with what of it changed, and a new one is to be made.</para>
/// <para>To accept a life-safety load is to say that those affected know, that another means is there, and that whoever has to decide by local codes has decided. The plan keeps who said so.</para>
/// </remarks>
/// <whatif>Gives the plan and writes no file. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the plan file is written.</confirm>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso cref="InvokePseRefreshCommand"/>
/// <seealso cref="StartPseRehearsalCommand"/>
/// <seealso cref="GetPseWindowCommand"/>
/// <seealso cref="ExportPseCalendarCommand"/>
/// <seealso cref="ExportPseNoticeCommand"/>
/// <seealso topic="about_PoeOps_Planning"/>
/// <seealso topic="about_PoeOps_Windows"/>
/// <seealso topic="about_PoeOps_Risk"/>
/// <seealso topic="about_PoeOps_Outages"/>
/// <seealso topic="about_PoeOps_Refresh"/>
[Cmdlet(VerbsCommon.New, "PsePlan", SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low, DefaultParameterSetName = "Outages")]
[OutputType(typeof(Plan))]
public sealed partial class NewPsePlanCommand : PoeCommand
{
    private readonly List<Outage> _outages = [];
    private EstateMap? _estate;

    /// <summary>A unit's outage as <c>Measure-PseOutage</c> gives it.</summary>
    [Parameter(Mandatory = true, ValueFromPipeline = true, ParameterSetName = "Outages")]
    [Parameter(ValueFromPipeline = true, ParameterSetName = "AfterJournal")]
    public Outage? InputObject { get; set; }

    /// <summary>The estate file, for its windows. With <c>-AfterJournal</c> that of the plan that was run, where not given.</summary>
    [Parameter(Mandatory = true, ParameterSetName = "Outages")]
    [Parameter(ParameterSetName = "AfterJournal")]
    [Alias("EstatePath")]
    [ValidateNotNullOrEmpty]
    public string Estate { get; set; } = string.Empty;

    /// <summary>The plan file to write; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>Plan from this time on; local unless it says otherwise. Now, by the estate's clock, where not given.</summary>
    [Parameter]
    public DateTime? From { get; set; }

    /// <summary>No window that closes after this time is used; local unless it says otherwise.</summary>
    [Parameter]
    public DateTime? Until { get; set; }

    /// <summary>How many windows of each site are looked at, from <c>-From</c> on.</summary>
    [Parameter]
    [ValidateRange(1, 2000)]
    public int MostWindows { get; set; } = 60;

    /// <summary>
    /// How many runs may be at work at a time, 1 where not given: each at sites of its own, on a machine of its own, with <c>-Lane</c> of <c>Invoke-PseRefresh</c>. With
    /// <c>-AfterJournal</c> as many as the plan had.
    /// </summary>
    [Parameter]
    [ValidateRange(1, 1000)]
    public int? Lanes { get; set; }

    /// <summary>
    /// How long the first unit of each model and image, the pilot, is watched after its loads serve again, before the others of its kind start. What the
    /// estate says where not given, and 24 hours where it says nothing; none in the estate of a rehearsal.
    /// </summary>
    [Parameter]
    public TimeSpan? Soak { get; set; }

    /// <summary>Time to keep back at each window's end.</summary>
    [Parameter]
    public TimeSpan Reserve { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>
    /// Sets the reserve, in place of <c>-Reserve</c>, so that a unit which starts as late as its window lets it still ends in time with this probability: above
    /// 0.5, at most 0.999. The longest reserve that a unit asks for is that of all; <c>about_PoeOps_Risk</c> says how it is worked out.
    /// </summary>
    [Parameter]
    public double? Confidence { get; set; }

    /// <summary>Units whose life-safety loads may go dark, by id. Kept in the plan with who said so and when.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    [ValidateNotNull]
    public UnitId[] AcceptLifeSafety { get; set; } = [];

    /// <summary>Units that may be refreshed although their reading has problems, by id.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    [ValidateNotNull]
    public UnitId[] AcceptReadingProblem { get; set; } = [];

    /// <summary>Units that may be refreshed although some of their loads do not come back within the budget, by id. Kept in the plan with how many they are.</summary>
    [Parameter]
    [ArgumentCompleter(typeof(UnitCompleter))]
    [ValidateNotNull]
    public UnitId[] AcceptRefusedLoad { get; set; } = [];

    /// <summary>Who accepts; the user of this process where not given.</summary>
    /// <value>The user of this process</value>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string AcceptedBy { get; set; } = Environment.UserName;

    /// <summary>Replaces a plan file that stands there; never the estate file.</summary>
    [Parameter]
    public SwitchParameter Force { get; set; }

    /// <inheritdoc/>
    protected override void BeginProcessing()
    {
        if ((PlanOptions.Check(Reserve, Soak) ?? ReserveTwice() ?? (Confidence is { } confidence ? OverrunRisk.Check(confidence) : null)) is { } wrong)
        {
            Fail(wrong);
        }

        if (Estate.Length > 0)
        {
            EstateResult result = CheckedEstate.Read(FilePath(Estate));
            _estate = Demand(result.Estate, result.Problems);
            TellEstate(_estate, FilePath(Estate));
        }
    }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (InputObject is not null)
        {
            _outages.Add(InputObject);
        }
    }

    /// <inheritdoc/>
    protected override void EndProcessing()
    {
        string path = FilePath(Path);
        if (ParameterSetName == "Outages" && _outages.Count == 0)
        {
            Fail(new Problem(
                ProblemId.NothingToPlan, $"Not one outage came in, so no plan was made and '{path}' was not written.",
                "Look at what the commands before it in the pipeline said, and at which units Test-PseDrift finds behind.") { Target = path });
        }

        PlanOptions options = ParameterSetName == "AfterJournal" ? Run(LeftOver) : Run(() => Options(_estate!));
        WriteVerbose(FormattableString.Invariant($"Planning {Counted(_outages.Count, "outage")} from {options.FromUtc:yyyy-MM-dd HH:mm} UTC on, in at most {Counted(options.MostWindows, "window")} of each site."));
        Plan plan = Run(() => Planner.Plan(_outages, _estate!, options));
        WriteVerbose(FormattableString.Invariant($"Planned {Counted(plan.Units.Count, "refresh", "refreshes")} in {Counted(plan.Windows, "window")}; {plan.Obstacles.Count} cannot be planned, and {plan.NothingToDo} have nothing to load."));
        Problem? wrong = PlanFile.Check(plan, path, Force);
        if (wrong is not null && !IsWhatIf)
        {
            Fail(wrong);
        }

        if (ShouldProcess(path, $"Write a plan of {Counted(plan.Units.Count, "refresh", "refreshes")}"))
        {
            plan = Run(() => PlanFile.Write(plan, path, Force));
            TellWritten("the plan", path);
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

        foreach (string lone in LoneCoverage.Of(_estate!))
        {
            WriteWarning(lone);
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

    private Problem? ReserveTwice() => Confidence is not null && MyInvocation.BoundParameters.ContainsKey(nameof(Reserve))
        ? new Problem(ProblemId.ReserveTwice, "Both a reserve (-Reserve) and a confidence (-Confidence), which sets one, were given.", "Give one of the two.")
        : null;

    private TimeSpan ReserveFor(IEnumerable<Outage> outages, double confidence)
    {
        TimeSpan reserve = OverrunRisk.ReserveFor(outages.SelectMany(outage => outage.Drift.Path).Select(hop => hop.Times), confidence);
        WriteVerbose(FormattableString.Invariant($"A confidence of {confidence} asks for {reserve.TotalSeconds} s of reserve."));
        return reserve;
    }

    private PlanOptions Options(EstateMap estate)
    {
        DateTime now = estate.Clock().UtcNow;
        return new PlanOptions
        {
            CreatedUtc = now,
            FromUtc = From?.ToUniversalTime() ?? now,
            UntilUtc = Until?.ToUniversalTime(),
            MostWindows = MostWindows,
            Reserve = Confidence is { } confidence ? ReserveFor(_outages, confidence) : Reserve,
            Lanes = Lanes ?? 1,
            Soak = Soak,
            LifeSafety = [.. AcceptLifeSafety.Select(unit => new LifeSafetyAcceptance(unit, AcceptedBy, now))],
            ReadingProblems = AcceptReadingProblem,
            RefusedLoads = AcceptRefusedLoad,
        };
    }
}
