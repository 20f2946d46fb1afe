using System.Globalization;
using System.Management.Automation;
using PoeOps.Journal;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Commands;

// The part of the cmdlet that goes on with an earlier run, and says what a later one needs to know of this.
public sealed partial class InvokePseRefreshCommand
{
    /// <summary>
    /// The journal of a run that stopped or broke off. Its plan must be the one that the run was made from. Each unit that was begun and whose end is not
    /// known is asked first what became of it, and nothing is sent to it before; then come the units that are left, each through all its gates. What the
    /// run was told of folders and file server holds again, where it is not given.
    /// </summary>
    [Parameter(Mandatory = true, ParameterSetName = "Resume")]
    public string Resume { get; set; } = string.Empty;

    // What was not given on the line is as the run had it.
    private Plan PlanOfRun()
    {
        ResumeResult found = JournalResume.Find(_journal, Plan.Length == 0 ? null : FilePath(Plan));
        Plan plan = Demand(found.Plan, found.Problems);
        string? Setting(string name) => found.Settings.TryGetValue(name, out string? value) && value.Length > 0 ? value : null;
        Plan = found.PlanPath;
        TellPlan(plan, Plan);
        _watch = new PlanWatch(Plan);
        ImageFolder = ImageFolder.Length > 0 ? ImageFolder : Setting("imageFolder") ?? ".";
        LockFolder ??= Setting("lockFolder");
        FileServer ??= Setting("fileServer");
        ImageServer ??= Serve ? null : Setting("imageServer");
        ServerPort ??= int.TryParse(Setting("serverPort"), NumberStyles.None, CultureInfo.InvariantCulture, out int port) ? port : null;
        Lane ??= int.TryParse(Setting("lane"), NumberStyles.None, CultureInfo.InvariantCulture, out int lane) ? lane : null;
        return plan;
    }

    private KeyValuePair<string, string?>[] Settings() =>
    [
        new(JournalResume.PlanSetting, System.IO.Path.GetFullPath(FilePath(Plan))),
        new("imageFolder", System.IO.Path.GetFullPath(FilePath(ImageFolder))),
        new("lockFolder", LockFolder is null ? null : System.IO.Path.GetFullPath(FilePath(LockFolder))),
        new("fileServer", FileServer),
        new("imageServer", ImageServer),
        new("serverPort", ServerPort?.ToString(CultureInfo.InvariantCulture)),
        .. Lane is { } lane ? new KeyValuePair<string, string?>[] { new("lane", lane.ToString(CultureInfo.InvariantCulture)) } : [],
    ];

    private RunPast? Past(Plan plan, bool resumes) => resumes ? JournalResume.Past(JournalReplay.Read(_journal), plan.Fingerprint) : null;
}
