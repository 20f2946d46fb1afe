using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>
/// What a plan says, what journals tell that was done, and what is left: plain values, made once, that every format of a report prints. The same plan
/// and journals give the same summary.
/// </summary>
public sealed record RunSummary
{
    /// <summary>The plan's name, or what the journal calls it; empty where nobody says.</summary>
    public string PlanName { get; init; } = string.Empty;

    /// <summary>The plan's fingerprint, or that of the last run's; empty where nobody says.</summary>
    public string Fingerprint { get; init; } = string.Empty;

    /// <summary>When the plan was made, UTC; null where there is none.</summary>
    public DateTime? PlanCreatedUtc { get; init; }

    /// <summary>The time up to which this tells: that of the last entry of a journal, else that of the plan, UTC; null where there is neither.</summary>
    public DateTime? AsOfUtc { get; init; }

    /// <summary>True where there is a plan to hold things against.</summary>
    public bool HasPlan { get; init; }

    /// <summary>True where a journal tells of a run.</summary>
    public bool HasRun { get; init; }

    /// <summary>True for a plan of which nothing was done yet, as far as anybody was told.</summary>
    internal bool IsPlanAlone => HasPlan && !HasRun && Journals.Count == 0;

    /// <summary>Says that this tells of a rehearsal, at which speed, and that nothing real was touched; empty for a real night.</summary>
    public string Rehearsal { get; init; } = string.Empty;

    /// <summary>Which loads are still without power; of a plan alone, which go dark and when.</summary>
    public Answer StillDark { get; init; } = Answer.None;

    /// <summary>Whether a life-safety load was dark longer than planned; of a plan alone, which of them go dark, for how long and on what ground.</summary>
    public Answer LifeSafety { get; init; } = Answer.None;

    /// <summary>Which units need a hand; of a plan alone, which are not planned and why.</summary>
    public Answer ByHand { get; init; } = Answer.None;

    /// <summary>How many units are in each state, each image on a unit counted once.</summary>
    public IReadOnlyList<StateCount> States { get; init; } = [];

    /// <summary>How many controllers had nothing to load when the plan was made; null where there is no plan.</summary>
    public int? NothingToDo { get; init; }

    /// <summary>Minutes without power that were planned, typical times, summed over the loads of units whose times are known; null where there are none.</summary>
    public double? PlannedDarkLoadMinutes { get; init; }

    /// <summary>Minutes out of service that were planned: until the loads serve again, typical times, summed over the loads of units whose times are known; null where there are none.</summary>
    public double? PlannedOutOfServiceLoadMinutes { get; init; }

    /// <summary>The longest times that a load is dark and out of service in one refresh of the plan.</summary>
    public LongestTimes Longest { get; init; } = new();

    /// <summary>How long a pilot is watched before its fellows start, seconds; null where there is no plan.</summary>
    public double? SoakSeconds { get; init; }

    /// <summary>How many runs may be at work at a time; null where there is no plan.</summary>
    public int? Lanes { get; init; }

    /// <summary>Minutes without power that a journal tells of, summed over the loads that came back; null where none tells.</summary>
    public double? RealDarkLoadMinutes { get; init; }

    /// <summary>One image on one unit each, in the order of the plan, or else of the journals.</summary>
    public IReadOnlyList<UnitSummary> Units { get; init; } = [];

    /// <summary>The loads that went dark or are to go dark, by unit and port; all images of a unit together.</summary>
    public IReadOnlyList<LoadSummary> Loads { get; init; } = [];

    /// <summary>The windows in order; of a journal alone, its runs.</summary>
    public IReadOnlyList<WindowSummary> Windows { get; init; } = [];

    /// <summary>How power is granted after the reset, by unit; units of which nothing is known are not there.</summary>
    public IReadOnlyList<RestartCurve> Curves { get; init; } = [];

    /// <summary>Units that are not planned.</summary>
    public IReadOnlyList<Obstacle> Obstacles { get; init; } = [];

    /// <summary>The journals and how far they can be relied on.</summary>
    public IReadOnlyList<JournalSummary> Journals { get; init; } = [];

    /// <summary>The images, each once.</summary>
    public IReadOnlyList<ImageSummary> Images { get; init; } = [];

    /// <summary>The transcripts that the journals name, each once.</summary>
    public IReadOnlyList<TranscriptSummary> Transcripts { get; init; } = [];

    /// <summary>What should be known before this is relied on, a sentence or two each.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>What is wrong with what this was made from: told first, never hidden.</summary>
    public IReadOnlyList<Problem> Problems { get; init; } = [];

    /// <summary>Makes the summary.</summary>
    /// <param name="plan">The plan; null where there is none.</param>
    /// <param name="journals">The journals of its runs, in any order; none where nothing was done yet.</param>
    public static RunSummary Of(Plan? plan, IReadOnlyList<JournalSource> journals) => new SummaryMaker(plan, journals).Make();
}

/// <summary>The answer to one of the three questions of whoever opens a report.</summary>
/// <param name="Question">The question.</param>
/// <param name="Verdict">The answer in a few words.</param>
/// <param name="Sentence">What it rests on, in a sentence or two; empty where there is no more to say.</param>
/// <param name="Items">What the answer counts, each in a few words.</param>
/// <param name="IsGood">True where nothing is wrong and nothing is unknown.</param>
public sealed record Answer(string Question, string Verdict, string Sentence, IReadOnlyList<string> Items, bool IsGood)
{
    /// <summary>The units that it counts, each once, as their ids print; empty where it counts none.</summary>
    public IReadOnlyList<string> Units { get; init; } = [];

    internal static Answer None { get; } = new(string.Empty, string.Empty, string.Empty, [], IsGood: true);
}

/// <summary>The longest times of a plan in one refresh, seconds; each null where a time is not known or no load goes dark.</summary>
public sealed record LongestTimes
{
    /// <summary>Without power, typical times.</summary>
    public double? DarkTypical { get; init; }

    /// <summary>Without power, where every stage takes its worst time.</summary>
    public double? DarkWorst { get; init; }

    /// <summary>Until the load serves again, typical times.</summary>
    public double? OutOfServiceTypical { get; init; }

    /// <summary>Until the load serves again, where every stage takes its worst time.</summary>
    public double? OutOfServiceWorst { get; init; }
}

/// <summary>How many units are in a state.</summary>
/// <param name="State">The state.</param>
/// <param name="Units">How many.</param>
public sealed record StateCount(UnitState State, int Units);

/// <summary>A window of a plan, or a run of a journal where there is no plan.</summary>
public sealed record WindowSummary
{
    /// <summary>The site; empty for a run.</summary>
    public string Site { get; init; } = string.Empty;

    /// <summary>When it opens, UTC; of a run, when it began.</summary>
    public DateTime OpensUtc { get; init; }

    /// <summary>When it closes, UTC; of a run, when its last entry was written.</summary>
    public DateTime ClosesUtc { get; init; }

    /// <summary>True where somebody is at hand on site.</summary>
    public bool Attended { get; init; }

    /// <summary>False for a run, whose window nobody says.</summary>
    public bool IsPlanned { get; init; }

    /// <summary>The time zone of the site; empty where it is not known, and for a run.</summary>
    public string Zone { get; init; } = string.Empty;

    /// <summary>What the clocks of the site are ahead of UTC when it opens; null where their zone is not known.</summary>
    public TimeSpan? OpensOffset { get; init; }

    /// <summary>The same when it closes.</summary>
    public TimeSpan? ClosesOffset { get; init; }

    /// <summary>When by the plan the loads of its last unit serve again in the worst case, UTC; null for a run.</summary>
    public DateTime? EndsUtc { get; init; }

    /// <summary>How many loads go dark in it; null for a run.</summary>
    public int? Loads { get; init; }

    /// <summary>How many of them people can come to harm without; null for a run.</summary>
    public int? LifeSafetyLoads { get; init; }

    /// <summary>Time kept back at its end, seconds; null for a run.</summary>
    public double? ReserveSeconds { get; init; }

    /// <summary>How likely it is too short for its plan; null where a time is not known, and where something was done already.</summary>
    public double? OverrunProbability { get; init; }

    /// <summary>The units in it that are pilots, as their ids print.</summary>
    public IReadOnlyList<string> Pilots { get; init; } = [];

    /// <summary>The coverage groups of its units: the name with the units of it in this window.</summary>
    public IReadOnlyList<string> CoverageGroups { get; init; } = [];

    /// <summary>The places of its units in <see cref="RunSummary.Units"/>; the first is 0.</summary>
    public IReadOnlyList<int> Units { get; init; } = [];
}
