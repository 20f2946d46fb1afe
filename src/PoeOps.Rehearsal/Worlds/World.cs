namespace PoeOps.Rehearsal.Worlds;

/// <summary>
/// What is true in a rehearsal: which models, firmware and loads every switch of the estate has. Read from <c>NAME.world.json</c> beside
/// <c>NAME.estate.json</c>; the estate says where and when, the world says what is there.
/// </summary>
public sealed record World
{
    /// <summary>The file that it was read from.</summary>
    public string SourcePath { get; init; } = string.Empty;

    /// <summary>What the rehearsal's clock shows at its start, UTC; null for the machine's own time.</summary>
    public DateTime? StartUtc { get; init; }

    /// <summary>Who may log in, at every switch.</summary>
    public string User { get; init; } = string.Empty;

    /// <summary>The secret that goes with <see cref="User"/>; made up, and only for simulated switches.</summary>
    public string Password { get; init; } = string.Empty;

    /// <summary>The second secret, for switches that ask for one.</summary>
    public string ElevationPassword { get; init; } = string.Empty;

    /// <summary>Seconds that a switch thinks before it answers a command.</summary>
    public double AnswerSeconds { get; init; }

    /// <summary>Hardware models.</summary>
    public IReadOnlyList<WorldModel> Models { get; init; } = [];

    /// <summary>Kinds of loads.</summary>
    public IReadOnlyList<WorldLoad> Loads { get; init; } = [];

    /// <summary>The switches.</summary>
    public IReadOnlyList<WorldSwitch> Switches { get; init; } = [];
}

/// <summary>A hardware model of a unit.</summary>
public sealed record WorldModel
{
    /// <summary>The model as the switch prints it; no space in it.</summary>
    public string Model { get; init; } = string.Empty;

    /// <summary>How many PSE ports it has, named 1 and up.</summary>
    public int PortCount { get; init; }

    /// <summary>What its supplies can give its ports, watts.</summary>
    public decimal BudgetWatts { get; init; }

    /// <summary>What of the budget is kept back, watts.</summary>
    public decimal GuardBandWatts { get; init; }

    /// <summary>The family that an image must name to be taken.</summary>
    public string ImageFamily { get; init; } = string.Empty;

    /// <summary>How long its refresh takes.</summary>
    public StageSeconds StageSeconds { get; init; } = new();
}

/// <summary>How long the stages of a refresh take, seconds of the rehearsal's clock.</summary>
public sealed record StageSeconds
{
    /// <summary>The unit fetches its image.</summary>
    public double Transfer { get; init; }

    /// <summary>The old firmware is erased.</summary>
    public double Erase { get; init; }

    /// <summary>The new firmware is written.</summary>
    public double Program { get; init; }

    /// <summary>The controller restarts.</summary>
    public double Reset { get; init; }
}

/// <summary>A kind of load: what it claims and draws.</summary>
public sealed record WorldLoad
{
    /// <summary>What the kind is called in this file.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The class of the PD, 0 to 8.</summary>
    public int PdClass { get; init; }

    /// <summary>What it draws, watts at the PSE.</summary>
    public decimal DrawWatts { get; init; }

    /// <summary>Port <c>n</c> draws <c>((7 · n) mod 5) − 2</c> of these more, so that no two neighbours draw the same; 0 for all alike.</summary>
    public decimal DrawStepWatts { get; init; }

    /// <summary>What it asks for once it has negotiated, watts at the PSE; null for a load that stays at its class figure.</summary>
    public decimal? NegotiatedWatts { get; init; }

    /// <summary>Seconds from power to serving; null for the time of the role that the estate gives the port.</summary>
    public double? RestartSeconds { get; init; }

    /// <summary>Seconds from power until it has negotiated; null for the time of the role that the estate gives the port.</summary>
    public double? NegotiateSeconds { get; init; }
}
