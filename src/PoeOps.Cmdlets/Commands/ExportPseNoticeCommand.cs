using System.Management.Automation;
using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Cmdlets.Commands;

/// <summary>
/// Writes a notice for the people of each site of a plan, in plain words: when their devices go dark by the clocks of the site, which and for how long,
/// what comes back by itself, whom to call and what not to do. Each as text and as a page, in a folder. Warns of each site without a contact. A plan
/// whose estate has changed since is refused.
/// </summary>
/// <example><code>Export-PseNotice .\notices -Plan .\plan.json</code><para>A text and a page for each site, and their files.</para></example>
/// <example><code>Export-PseNotice .\notices -Plan .\plan.json -Format Text -Contact 'the network desk, extension 100'</code><para>Texts alone, with one contact for all sites.</para></example>
/// <remarks>
/// <para>A notice is one of the things to do before loads go dark, and not the whole of it. Where life-safety loads are among them, inform those affected in time to answer, provide another means for as long as it lasts, follow local codes, and have licensed practice decide.</para>
/// <para>What a notice says of times is what the plan says; it cannot know who is in the building that night. Read each before it goes out.</para>
/// </remarks>
/// <whatif>Says which notices would be written, and writes none. What would keep one from being written is an error.</whatif>
/// <confirm>Asks before each notice is written.</confirm>
/// <seealso cref="NewPsePlanCommand"/>
/// <seealso cref="ExportPseCalendarCommand"/>
/// <seealso cref="MeasurePseOutageCommand"/>
/// <seealso topic="about_PoeOps_Notices"/>
/// <seealso topic="about_PoeOps_Planning"/>
[Cmdlet(VerbsData.Export, "PseNotice", DefaultParameterSetName = FileSet, SupportsShouldProcess = true, ConfirmImpact = ConfirmImpact.Low)]
[OutputType(typeof(FileInfo))]
public sealed class ExportPseNoticeCommand : PlanCommand
{
    /// <summary>The folder; made where it is not there. A notice that stands in it is kept unless <c>-Force</c>.</summary>
    [Parameter(Mandatory = true, Position = 0)]
    public string Path { get; set; } = string.Empty;

    /// <summary>Text, a page, or both.</summary>
    [Parameter]
    [ValidateNotNullOrEmpty]
    public NoticeFormat[] Format { get; set; } = [NoticeFormat.Text, NoticeFormat.Html];

    /// <summary>Whom to call, in place of what the estate says for each site (<c>contact</c>).</summary>
    [Parameter]
    [ValidateNotNull]
    public string Contact { get; set; } = string.Empty;

    /// <inheritdoc/>
    protected override void ProcessRecord()
    {
        Plan plan = GivenPlan();
        if (PlanFile.Stale(plan) is { } stale)
        {
            Fail(stale);
        }

        EstateResult read = CheckedEstate.Read(plan.EstatePath);
        EstateMap estate = Demand(read.Estate, read.Problems);
        TellEstate(estate, plan.EstatePath);
        IReadOnlyList<SiteNotice> notices = Run(() => SiteNotices.Of(plan, estate, Contact));
        if (notices.Count == 0)
        {
            WriteWarning("The plan has no units, so there is nobody to notify.");
        }

        foreach (SiteNotice notice in notices.Where(notice => !notice.HasContact))
        {
            WriteWarning($"The notice of '{notice.Site}' names nobody to call: give the site a 'contact' in the estate file, or say -Contact.");
        }

        WriteAll(NoticeFile.Of(notices, FilePath(Path), Format));
    }

    // All or none, as far as it can be told before.
    private void WriteAll(IReadOnlyList<NoticeFile> files)
    {
        Problem[] wrong = [.. files.Select(file => file.Check(Force)).OfType<Problem>()];
        if (wrong.Length > 0 && !IsWhatIf)
        {
            Fail(wrong[0]);
        }

        foreach (NoticeFile file in files.Where(file => ShouldProcess(file.Path, $"Write the notice of {file.Site}")))
        {
            Run(() =>
            {
                file.Write(Force);
                return true;
            });
            TellWritten($"the notice of {file.Site}", file.Path);
            WriteObject(InvokeProvider.Item.Get([file.Path], force: true, literalPath: true), enumerateCollection: true);
        }

        WriteProblems(wrong);
    }
}
