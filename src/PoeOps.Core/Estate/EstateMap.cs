namespace PoeOps.Estate;

/// <summary>Everything that we look after, as an estate file says it. Made by <see cref="EstateFile"/>.</summary>
public sealed record EstateMap
{
    /// <summary>The estate's name.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The file that it was read from, as it was named.</summary>
    public string SourcePath { get; init; } = string.Empty;

    /// <summary>The host at which the units reach our file server, or null where nobody says.</summary>
    public string? FileServer { get; init; }

    /// <summary>Full paths of files and folders with dialects of the estate's own, in the order in which they are searched.</summary>
    public IReadOnlyList<string> DialectPaths { get; init; } = [];

    /// <summary>How long a pilot is watched before its fellows start; null where nobody says.</summary>
    public TimeSpan? Soak { get; init; }

    /// <summary>The places, in the order of the file.</summary>
    public IReadOnlyList<Site> Sites { get; init; } = [];

    /// <summary>What loads do for people, in the order of the file.</summary>
    public IReadOnlyList<Role> Roles { get; init; } = [];

    /// <summary>The role of a load that nothing else gives one.</summary>
    public Role? DefaultRole { get; init; }

    /// <summary>Patterns that give a load its role by the name its neighbour gave or its port's description, in order; the first that fits decides.</summary>
    public IReadOnlyList<RolePattern> RolePatterns { get; init; } = [];

    /// <summary>The clock of a rehearsal, or null for a real estate.</summary>
    public RehearsalClock? Rehearsal { get; init; }

    /// <summary>The switches of all sites.</summary>
    public IEnumerable<Switch> Switches => Sites.SelectMany(site => site.Switches);

    /// <summary>The switch of a name, without regard to case, or null.</summary>
    public Switch? FindSwitch(string name) => Switches.FirstOrDefault(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase));

    /// <summary>The site of a name, without regard to case, or null.</summary>
    public Site? FindSite(string name) => Sites.FirstOrDefault(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase));

    /// <summary>The machine's clock, or the rehearsal's in an estate that a rehearsal wrote.</summary>
    public Clock Clock() =>
        Rehearsal is { } rehearsal ? new ScaledClock(rehearsal.Speed, rehearsal.MachineStartUtc, rehearsal.StartUtc) : SystemClock.Instance;

    /// <summary>Adds what the estate knows to what was read of a switch: site, unit settings, and per port load, role and what the role says.</summary>
    /// <param name="s">The switch.</param>
    /// <param name="read">Its controllers as they were read.</param>
    /// <param name="problems">
    /// Where problems are added: <see cref="ProblemId.SettingFitsNothing"/> for a setting whose unit or port was not read, <see cref="ProblemId.PatternTooSlow"/>
    /// for a role's pattern that took too long; the latter counts among the controller's reading problems as well.
    /// </param>
    public IReadOnlyList<Controller> Apply(Switch s, IEnumerable<Controller> read, IList<Problem>? problems = null) =>
        new SettingsApplied(this, s, problems ?? []).To(read);
}
