using System.Management.Automation;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Writes the windows of a plan as a calendar file (iCalendar, RFC 5545): one event for each window of a site, in UTC, with what goes dark in it and for
/// how long, life-safety loads first. A calendar program that takes the file of a later plan replaces the events of the earlier one; with
/// <c>-Previous</c>, windows that are not used any more are cancelled. Warns of a plan whose estate has changed since, and of one with nothing to write.
/// </summary>
/// <example><code>Export-PseCalendar .\nights.ics -Plan .\plan.json</code><para>The calendar, and the file that it was written to.</para></example>
/// <example><code>Export-PseCalendar .\nights.ics -Plan .\new.plan.json -Previous .\old.plan.json -Force</code><para>The calendar of a new plan, in which windows that the old one used and the new one does not are cancelled.</para></example>
/// <remarks>
/// <para>The same plan gives the same bytes. The file invites nobody and has no alarms; who puts it into a calendar decides who sees it.</para>
/// <para>An event is no permission. Before life-safety loads go dark, inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.</para>
/// </remarks>
/// <whatif>Says which calendar would be written, with how many windows, and writes none. What would keep it from being written is an error.</whatif>
/// <confirm>Asks before the calendar is written.</confirm>
/// <seealso cref="NewPsePlanCommand"/>
/// <seealso cref="ExportPseNoticeCommand"/>
/// <seealso cref="GetPseWindowCommand"/>
/// <seealso topic="about_PoeOps_Notices"/>
/// <seealso topic="about_PoeOps_Planning"/>
[Cmdlet(VerbsData.Export, "PseCalendar", DefaultParameterSetName = FileSet, SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(FileInfo))]
public sealed class ExportPseCalendarCommand : PlanCommand
{
    /// <summary>The calendar to write, such as <c>nights.ics</c>; one that stands there is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>The plan file whose calendar went out before; its windows that are not used any more and not over are cancelled.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public string Previous { get; set; } = string.Empty;

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        Plan plan = GivenPlan();
        Plan? previous = Previous.Length == 0 ? null : ReadPlan(Previous);
        string? text = Run(() => new CalendarOrNone(CalendarFile.Of(plan, previous))).Text;
        if (PlanFile.Stale(plan) is { } stale)
        {
            WriteWarning($"{stale.Sentence} {stale.Advice}");
        }

        if (text is null)
        {
            WriteWarning("The plan has no units and no window is cancelled, so there is no event to write.");
            return;
        }

        WriteFile(plan, FilePath(Path), text, $"a calendar of {Counted(plan.Windows, "window")}");
    }

    private sealed record CalendarOrNone(string? Text);
}
