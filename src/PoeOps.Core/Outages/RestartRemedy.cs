using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>What is changed so that more loads come back.</summary>
public enum RemedyKind
{
    /// <summary>More supply.</summary>
    Supply,
    /// <summary>A port fixed at what its load negotiates, so that it claims no more from turn-on.</summary>
    Fix,
    /// <summary>A port raised to the highest priority.</summary>
    Raise,
    /// <summary>Some ports fixed and others raised.</summary>
    Mixed,
}

/// <summary>One change.</summary>
/// <param name="Kind">What is changed.</param>
/// <param name="Port">The port; empty for supply.</param>
/// <param name="Watts">So many more watts of supply, or the limit to fix the port at, watts at the PSE; 0 for a port that is raised.</param>
public sealed record RestartChange(RemedyKind Kind, string Port, decimal Watts);

/// <summary>A set of changes after which every load of a unit comes back, and none with less than before: it was simulated with exactly these figures.</summary>
/// <param name="Changes">The changes; those of ports in the order in which the ports have their turn.</param>
/// <param name="IsLeast">
/// True where every smaller set of changes that <see cref="RestartRemedies"/> knows was tried, or shown to change nothing, and helps not; supply to the milliwatt.
/// </param>
public sealed record RestartRemedy(IReadOnlyList<RestartChange> Changes, bool IsLeast)
{
    /// <summary>What is changed.</summary>
    public RemedyKind Kind => Changes.Select(change => change.Kind).Distinct().Count() == 1 ? Changes[0].Kind : RemedyKind.Mixed;

    /// <summary>So many more watts of supply; 0 for other kinds.</summary>
    public decimal Watts => Kind == RemedyKind.Supply ? Changes[0].Watts : 0;

    /// <summary>The ports that are changed; empty for supply.</summary>
    public IReadOnlyList<string> Ports => Kind == RemedyKind.Supply ? [] : [.. Changes.Select(change => change.Port)];

    /// <summary>The unit as it would be.</summary>
    /// <param name="unit">The unit as it is.</param>
    public RestartUnit ApplyTo(RestartUnit unit)
    {
        Dictionary<string, RestartChange> byPort = Changes.Where(change => change.Port.Length > 0).ToDictionary(change => change.Port, StringComparer.OrdinalIgnoreCase);
        return unit with
        {
            BudgetWatts = unit.BudgetWatts + Watts,
            Ports = [.. unit.Ports.Select(port => !byPort.TryGetValue(port.Name, out RestartChange? change) ? port : change.Kind == RemedyKind.Fix ? port with { FixedWatts = change.Watts } : port with { Priority = 1 })],
        };
    }

    /// <summary>The changes in words.</summary>
    public override string ToString() => Kind == RemedyKind.Supply
        ? $"{StrictNumber.Print(Watts, "W")} more supply"
        : string.Join(", and ", new[] { Fixed(), Raised() }.Where(text => text.Length > 0));

    private string Fixed()
    {
        RestartChange[] fixedOnes = [.. Changes.Where(change => change.Kind == RemedyKind.Fix)];
        return fixedOnes.Length switch
        {
            0 => string.Empty,
            1 => $"port {fixedOnes[0].Port} fixed at the {StrictNumber.Print(fixedOnes[0].Watts, "W")} that its load negotiates",
            _ => $"ports fixed at what their loads negotiate ({string.Join(", ", fixedOnes.Select(change => $"{change.Port} at {StrictNumber.Print(change.Watts, "W")}"))})",
        };
    }

    private string Raised()
    {
        string[] raised = [.. Changes.Where(change => change.Kind == RemedyKind.Raise).Select(change => change.Port)];
        return raised.Length == 0 ? string.Empty : $"{(raised.Length == 1 ? "port" : "ports")} {string.Join(", ", raised)} raised to the highest priority";
    }
}
