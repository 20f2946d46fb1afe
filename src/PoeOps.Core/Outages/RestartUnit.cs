using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>A unit whose loads come back after its controller was reset.</summary>
public sealed record RestartUnit
{
    /// <summary>What its supplies can give the ports, watts, 0 or more.</summary>
    public decimal BudgetWatts { get; init; }

    /// <summary>What is kept back of it, watts, 0 or more.</summary>
    public decimal GuardBandWatts { get; init; }

    /// <summary>What is kept back of it beside that, per cent of it, 0 to 100.</summary>
    public decimal GuardBandPercent { get; init; }

    /// <summary>What a port claims.</summary>
    public RestartPolicy Policy { get; init; }

    /// <summary>The clause of IEEE 802.3 by which its PSE works.</summary>
    public PseClause Clause { get; init; }

    /// <summary>True where a port whose class does not fit is granted the next lower level that does (IEEE 802.3 clause 145): class 6, 4 or 3.</summary>
    public bool Demotes { get; init; }

    /// <summary>Seconds for one port: detection, classification and turn-on; above 0. 1 where nobody says (common practice, no source).</summary>
    public decimal StaggerSeconds { get; init; } = 1m;

    /// <summary>The ports that were powered before, in any order.</summary>
    public IReadOnlyList<RestartPort> Ports { get; init; } = [];

    /// <summary>What may be granted in all: the budget less the guard band, never below 0.</summary>
    public decimal GrantableWatts => Math.Max(0, BudgetWatts - GuardBandWatts - (BudgetWatts * GuardBandPercent / 100));

    /// <summary>The sum of what all ports claim at turn-on, watts.</summary>
    public decimal DemandWatts => Ports.Sum(FirstClaimWatts);

    /// <summary>What a port claims at turn-on: what is fixed for it, else its limit where the policy goes by limits, else the figure of its class.</summary>
    /// <param name="port">A port of the unit.</param>
    /// <returns>Watts at the PSE.</returns>
    /// <exception cref="PoeOpsException">It has a class that does not exist (<see cref="ProblemId.ClassUnknown"/>).</exception>
    public decimal FirstClaimWatts(RestartPort port) =>
        port.FixedWatts ?? (Policy == RestartPolicy.ByLimit && port.LimitWatts is { } limit ? limit : port.Signature.FigureWatts(Clause));
}

/// <summary>A port that was powered before the reset.</summary>
/// <param name="Name">Its name within the unit; each once.</param>
public sealed record RestartPort(string Name)
{
    /// <summary>Its priority: 1 critical, 2 high, 3 low (RFC 3621).</summary>
    public int Priority { get; init; } = 3;

    /// <summary>What its PD shows: one class, or one on each pairset; one that was not read counts as class 0.</summary>
    public PdSignature Signature { get; init; }

    /// <summary>What its load negotiated, watts at the PSE; null where it negotiates nothing.</summary>
    public decimal? NegotiatedWatts { get; init; }

    /// <summary>The limit that is set on it, watts at the PSE; null where there is none.</summary>
    public decimal? LimitWatts { get; init; }

    /// <summary>What is fixed for it by setting, watts at the PSE: its claim from turn-on, whatever the policy; null where nothing is.</summary>
    public decimal? FixedWatts { get; init; }

    /// <summary>What it was measured to draw before, watts at the PSE; null where it was not read.</summary>
    public decimal? DrawWatts { get; init; }

    /// <summary>Seconds from turn-on until its load has negotiated, 0 or more.</summary>
    public decimal NegotiateSeconds { get; init; }

    /// <summary>Seconds from turn-on until its load has booted, 0 or more.</summary>
    public decimal BootSeconds { get; init; }
}

/// <summary>Whether a port has power again.</summary>
public enum RestartOutcome
{
    /// <summary>It has all that it claims.</summary>
    Back,
    /// <summary>It has power, and less than its load asks for.</summary>
    Reduced,
    /// <summary>It has none, and nothing is left to happen that would change it.</summary>
    Refused,
}

/// <summary>What came of a port.</summary>
/// <param name="Name">The port.</param>
/// <param name="Outcome">Whether it has power again.</param>
/// <param name="BackSeconds">Seconds from the end of the reset until it was granted; null where it was refused.</param>
/// <param name="Watts">What it is granted in the end, watts at the PSE; 0 where it was refused.</param>
public sealed record PortRestart(string Name, RestartOutcome Outcome, decimal? BackSeconds, decimal Watts);

/// <summary>How the power that is granted changes.</summary>
/// <param name="Seconds">Seconds from the end of the reset.</param>
/// <param name="GrantedWatts">All that is granted from then on, watts.</param>
public sealed record GrantStep(decimal Seconds, decimal GrantedWatts);

/// <summary>How a unit's loads came back.</summary>
/// <param name="Ports">Each port, in the order in which they have their turn: by priority, then by name.</param>
/// <param name="Steps">The granted power over time, from 0 W at 0 s; a step for each instant at which it changes.</param>
public sealed record RestartResult(IReadOnlyList<PortRestart> Ports, IReadOnlyList<GrantStep> Steps)
{
    /// <summary>The least that would have to be grantable for anything to come out differently, watts; null where nothing was ever refused.</summary>
    internal decimal? NextGrantableWatts { get; init; }

    /// <summary>The ports that have no power in the end.</summary>
    public IReadOnlyList<PortRestart> Refused => [.. Ports.Where(port => port.Outcome == RestartOutcome.Refused)];
}
