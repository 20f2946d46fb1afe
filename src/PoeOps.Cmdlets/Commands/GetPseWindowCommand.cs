using System.Management.Automation;
using PoeOps.Cmdlets.Completion;
using PoeOps.Calendar;
using PoeOps.Estate;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Lists the next windows of an estate's sites, merged in order of opening, in local time and UTC, as New-PsePlan uses them. A local opening that comes
/// twice when clocks go back means the first of the two unless the site's <c>localTime</c> says Second; one that never comes moves forward by the gap.
/// Each window says in <c>LocalTime</c> and <c>Note</c> where that was decided. Lengths are time that really goes by.
/// </summary>
/// <example><code>Get-PseWindow -Estate .\harbour.estate.json</code><para>The next twenty windows of the whole estate.</para></example>
/// <example><code>Get-PseWindow -Estate .\harbour.estate.json -Site 'ferry hall' -From 2026-12-01 -Count 60 -IncludeFrozen</code><para>Sixty windows of one site from December on, and the openings between them that a freeze drops, with the reason.</para></example>
/// <remarks>
/// <para>A window says when work is allowed, and not that it is safe. Before loads that keep people safe go dark, inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.</para>
/// <para>Nothing is looked for more than ten years ahead. -Verbose says of each opening that a freeze dropped which one it was.</para>
/// </remarks>
/// <seealso cref="NewPsePlanCommand"/>
/// <seealso cref="ExportPseCalendarCommand"/>
/// <seealso topic="about_PoeOps_Windows"/>
/// <seealso topic="about_PoeOps_Planning"/>
/// <seealso topic="about_PoeOps_Estate"/>
[Cmdlet(VerbsCommon.Get, "PseWindow")]
[OutputType(typeof(Window))]
public sealed class GetPseWindowCommand : PoeCommand
{
    private const int MostNamed = 5;

    /// <summary>The estate file.</summary>
    [Parameter(Mandatory = true, Position = 0, ValueFromPipelineByPropertyName = true)]
    [Alias("EstatePath")]
    public string Estate { get; set; } = string.Empty;

    /// <summary>The sites, by name; wildcards are allowed. All sites where not given.</summary>
    [Parameter(Position = 1)]
    [ArgumentCompleter(typeof(SitePatternCompleter))]
    [ValidateNotNullOrEmpty]
    public string[] Site { get; set; } = [];

    /// <summary>Windows that are open at this time or open after it; local time of this machine unless it says otherwise. Now, by the estate's clock, where not given.</summary>
    [Parameter]
    public DateTime? From { get; set; }

    /// <summary>
    /// How many windows, of all the sites together and not of each: the first to open. Fewer come where there are no more within ten years. Openings that
    /// <c>-IncludeFrozen</c> adds do not count.
    /// </summary>
    [Parameter]
    [ValidateRange(1, 100000)]
    public int Count { get; set; } = 20;

    /// <summary>
    /// Gives the openings as well that a freeze drops, up to the last window, or for a year where there are fewer windows than <c>-Count</c>. Each is
    /// <c>Frozen</c>, and <c>Freeze</c> says which one dropped it and why. Nobody may work in them.
    /// </summary>
    [Parameter]
    public SwitchParameter IncludeFrozen { get; set; }

    /// <summary>
    /// The time zone whose local times are shown, by its IANA or Windows name, in place of each site's own. It changes what is shown and not when a window opens.
    /// </summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    [ArgumentCompleter(typeof(ZoneCompleter))]
    public string? Zone { get; set; }

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        if (Zone is not null && Zones.Check(Zone) is { } unknown)
        {
            Fail(unknown, Zone);
        }

        EstateResult result = CheckedEstate.Read(FilePath(Estate));
        EstateMap estate = Demand(result.Estate, result.Problems);
        TellEstate(estate, FilePath(Estate));
        if (estate.Sites.Count == 0)
        {
            WriteWarning($"The estate '{estate.Name}' has no sites, so no window opens.");
        }

        WindowList list = WindowList.Of(Selected(estate), From?.ToUniversalTime() ?? estate.Clock().UtcNow, Count);
        WriteVerbose($"Found {Counted(list.Windows.Count, "window")}, and {Counted(list.Dropped.Count, "opening")} that a freeze drops.");
        WriteProblems(list.Problems);
        Say(list);
        WriteObject((IncludeFrozen ? list.All : list.Windows).Select(window => Zone is null ? window : window.In(Zone)), enumerateCollection: true);
    }

    private void Say(WindowList list)
    {
        if (list.Without.Count > 0)
        {
            string more = list.Without.Count > MostNamed ? $" and {list.Without.Count - MostNamed} more" : string.Empty;
            WriteWarning($"No window opens within ten years at {string.Join(", ", list.Without.Take(MostNamed).Select(name => $"'{name}'"))}{more}.");
        }

        foreach (Window dropped in list.Dropped.Select(window => Zone is null ? window : window.In(Zone)))
        {
            WriteVerbose(FormattableString.Invariant($"'{dropped.Site}' has no window on {dropped.OpensLocal:yyyy-MM-dd} at {dropped.OpensLocal:HH:mm}: it is dropped by the freeze {dropped.Freeze}."));
        }
    }

    private List<Site> Selected(EstateMap estate)
    {
        List<Site> selected = [];
        foreach (string name in Site)
        {
            var pattern = NamePatterns.Of([name]);
            Site[] fitting = estate.FindSite(name) is { } exact ? [exact] : [.. estate.Sites.Where(site => pattern.Fits(site.Name))];
            if (fitting.Length == 0)
            {
                WriteProblem(WindowList.NoSite(estate, name));
            }

            selected.AddRange(fitting.Except(selected));
        }

        return Site.Length == 0 ? [.. estate.Sites] : selected;
    }
}
