using System.Net;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>What a run needs.</summary>
public sealed record RunOptions
{
    /// <summary>The plan, as it was approved.</summary>
    public required Plan Plan { get; init; }

    /// <summary>Opens a way to the switch of a planned unit, logged in.</summary>
    public required Func<PlannedUnit, IUnitLink> Open { get; init; }

    /// <summary>Says why the switch of a planned unit must not be reached; null where it may be.</summary>
    public Func<PlannedUnit, Problem?> LinkRefusal { get; init; } = _ => null;

    /// <summary>Adds what the estate knows (roles, life-safety) to what was read of a switch.</summary>
    public required Func<PlannedUnit, SwitchReading, SwitchReading> Describe { get; init; }

    /// <summary>Reads a firmware text of a planned unit's family as a version; null where no spelling fits.</summary>
    public required Func<PlannedUnit, string?, ControllerVersion?> ReadVersion { get; init; }

    /// <summary>Where the run writes down what it does.</summary>
    public required IRunRecord Record { get; init; }

    /// <summary>Tells the time, and how to wait.</summary>
    public required Clock Clock { get; init; }

    /// <summary>The folder that holds the images.</summary>
    public required string ImageFolder { get; init; }

    /// <summary>Serves the images.</summary>
    public required ImageServing Serving { get; init; }

    /// <summary>Asked before each unit; false leaves it as it is.</summary>
    public required Func<GateReport, bool> Approve { get; init; }

    /// <summary>Asked before a port's setting is put back to what it was, with what differs in words; false leaves it and names it. Everything is put back where nobody asks.</summary>
    public Func<Port, string, bool> ApprovePutBack { get; init; } = (_, _) => true;

    /// <summary>A wish to stop, obeyed between units.</summary>
    public StopRequest Stop { get; init; } = new(null);

    /// <summary>Told how far a unit is; may do nothing.</summary>
    public Action<RunProgress> Watcher { get; init; } = _ => { };

    /// <summary>Told in one line what somebody at the host is to know at once; may do nothing.</summary>
    public Action<string> Notice { get; init; } = _ => { };

    /// <summary>What happened before the run and belongs into its record, in a sentence each.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>What earlier runs of the plan left, where this one goes on with them; else null.</summary>
    public RunPast? Past { get; init; }

    /// <summary>What whoever goes on with this run needs to know of it (where its plan lies, its folders), by name; written with its beginning.</summary>
    public IReadOnlyList<KeyValuePair<string, string?>> Settings { get; init; } = [];

    /// <summary>The lane of the plan whose units this run takes; null for all of a plan with one lane.</summary>
    public int? Lane { get; init; }

    /// <summary>True to run every gate and change nothing, neither a device nor a file.</summary>
    public bool WhatIf { get; init; }

    /// <summary>True where a person answers the question before each unit, and so accepts its life-safety loads.</summary>
    public bool Attended { get; init; }

    /// <summary>True to go on at other switches after a unit that failed or whose state nobody knows; never at the same one.</summary>
    public bool ContinueOnFailure { get; init; }

    /// <summary>The folder of the locks, one for each switch that a run holds: the same for all runs that must not meet.</summary>
    public required string LockFolder { get; init; }

    /// <summary>True to take over the locks of runs of other hosts, which nobody here can see the end of.</summary>
    public bool Force { get; init; }

    /// <summary>What a switch's lock is called; the switch's name unless it is said. The same console has one name in every estate.</summary>
    public Func<PlannedUnit, string> LockName { get; init; } = unit => unit.Switch;

    /// <summary>How long a device that says it is busy is asked again.</summary>
    public TimeSpan BusyWait { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>Gates that hold nobody up, by name; see <see cref="GateNames"/>.</summary>
    public IReadOnlyList<string> SkipGates { get; init; } = [];

    /// <summary>How many bytes may still be written where journal and transcripts are; null where nobody knows.</summary>
    public Func<long?> FreeBytes { get; init; } = () => null;

    /// <summary>The journal's path, for results; empty where there is none.</summary>
    public string JournalPath { get; init; } = string.Empty;
}

/// <summary>Where the image server listens, and how units reach it.</summary>
/// <param name="Bind">The local address to listen at.</param>
/// <param name="Port">The UDP port; 0 for any that is free.</param>
/// <param name="Host">The host by which the units reach it.</param>
/// <param name="Only">The one address that may fetch the image of a planned unit, or null for any.</param>
public sealed record ImageServing(IPAddress Bind, int Port, string Host, Func<PlannedUnit, IPAddress?> Only)
{
    /// <summary>Somebody else's file server, from which the units fetch in the place of ours; null for ours.</summary>
    public ExternalServer? External { get; init; }
}

/// <summary>How far a run is.</summary>
/// <param name="Index">The unit's place among those of the plan; the first is 1.</param>
/// <param name="Total">How many the plan has.</param>
/// <param name="Unit">The unit as its id prints.</param>
/// <param name="Stage">The stage.</param>
/// <param name="Percent">How much of the stage is done; null where nobody says.</param>
/// <param name="Text">What is going on, in a few words.</param>
public sealed record RunProgress(int Index, int Total, string Unit, Stage Stage, int? Percent, string Text)
{
    /// <summary>The unit as it was planned; null where nobody says.</summary>
    public PlannedUnit? Planned { get; init; }

    /// <summary>How long the unit has been in the stage, in the run's time.</summary>
    public TimeSpan InStage { get; init; }

    /// <summary>How long the stage will still take, in the run's time, where that is known and not only planned; else null.</summary>
    public TimeSpan? StageLeft { get; init; }
}
