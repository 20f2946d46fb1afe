using PoeOps.Power;

namespace PoeOps.Estate;

/// <summary>How the power of units is fed and handed out, as the estate says it. A null says that it does not.</summary>
public sealed record PowerSettings
{
    /// <summary>The Type of the PSE (IEEE 802.3).</summary>
    public PseType? PseType { get; init; }

    /// <summary>What a port claims while the loads come back after a reset.</summary>
    public RestartPolicy? Policy { get; init; }

    /// <summary>Seconds that one port takes after a reset: detection, classification, turn-on.</summary>
    public decimal? StaggerSeconds { get; init; }

    /// <summary>True where a port whose class does not fit is granted a lower one.</summary>
    public bool? Demotes { get; init; }

    /// <summary>The supplies of each unit.</summary>
    public Supplies? Supplies { get; init; }

    /// <summary>The supplies' efficiency.</summary>
    public Efficiency? Efficiency { get; init; }

    /// <summary>What is kept back of the budget, per cent of it.</summary>
    public decimal? GuardBandPercent { get; init; }

    /// <summary>These settings, and where they say nothing, those of the whole that they are a part of.</summary>
    /// <param name="part">The settings; null where there are none.</param>
    /// <param name="whole">Those of the whole; null where there are none.</param>
    public static PowerSettings? Within(PowerSettings? part, PowerSettings? whole) => part is null || whole is null ? part ?? whole : new()
    {
        PseType = part.PseType ?? whole.PseType,
        Policy = part.Policy ?? whole.Policy,
        StaggerSeconds = part.StaggerSeconds ?? whole.StaggerSeconds,
        Demotes = part.Demotes ?? whole.Demotes,
        Supplies = part.Supplies ?? whole.Supplies,
        Efficiency = part.Efficiency ?? whole.Efficiency,
        GuardBandPercent = part.GuardBandPercent ?? whole.GuardBandPercent,
    };
}
