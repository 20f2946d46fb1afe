using System.Management.Automation;

namespace PoeOps.Cmdlets;

/// <summary>
/// Turns a problem of the core into PowerShell's error record: the id is the problem's, and what to do about it is the recommended action. PowerShell 7
/// prints that behind the message, which is the sentence alone there; Windows PowerShell 5.1 prints the message alone, so there it holds both. The
/// exception's message has both everywhere.
/// </summary>
internal static class ProblemRecord
{
    // The engine is 3.0 in all of Windows PowerShell, and has PowerShell's own version since 6.
    private static readonly bool PrintsAction = typeof(ErrorRecord).Assembly.GetName().Version.Major >= 7;

    /// <summary>Makes the record.</summary>
    /// <param name="problem">What is wrong.</param>
    /// <param name="target">What it is about; the problem's own target or file where null, and its id where it has none.</param>
    public static ErrorRecord Of(Problem problem, object? target = null) =>
        new(new PoeOpsException(problem), problem.Id.ToString(), Category(problem.Id), Target(target) ?? problem.Target ?? problem.File ?? problem.Id.ToString())
        {
            ErrorDetails = new ErrorDetails(PrintsAction ? problem.WithoutAdvice() : problem.ToString()) { RecommendedAction = problem.Advice },
        };

    private static object? Target(object? target) => target is string text ? PlainText.Of(text) : target;

    private static ErrorCategory Category(ProblemId id) => id switch
    {
        ProblemId.FileNotFound or ProblemId.ImageNotFound or ProblemId.DialectUnknown or ProblemId.NotInEstate or
            ProblemId.HostKeyNotFound or ProblemId.PowerTablesMissing => ErrorCategory.ObjectNotFound,
        ProblemId.FileUnreadable => ErrorCategory.ReadError,
        ProblemId.FileNotWritable or ProblemId.JournalNotWritable => ErrorCategory.WriteError,
        ProblemId.FileExists or ProblemId.SwitchTwice or ProblemId.NameTwice => ErrorCategory.ResourceExists,
        ProblemId.SwitchHeld or ProblemId.UnitBusy or ProblemId.SessionsFull => ErrorCategory.ResourceBusy,
        ProblemId.SshModuleMissing => ErrorCategory.NotInstalled,
        ProblemId.ConnectFailed or ProblemId.LinkClosed or ProblemId.SessionEnded or ProblemId.ImageFetchFailed or ProblemId.SshSessionUnusable => ErrorCategory.ConnectionError,
        ProblemId.LogInRefused or ProblemId.SecretMissing or ProblemId.KeyFileUnusable or ProblemId.SnmpSecretUnusable or ProblemId.SnmpUserUnknown or
            ProblemId.SnmpWrongPassword or ProblemId.SnmpWrongPrivacy or ProblemId.SnmpLevelRefused => ErrorCategory.AuthenticationError,
        ProblemId.LinkSilent or ProblemId.LinkBlocked or ProblemId.StageTimedOut or ProblemId.StageStalled or ProblemId.TftpTimedOut or
            ProblemId.PatternTooSlow or ProblemId.SnmpSilent => ErrorCategory.OperationTimeout,
        ProblemId.ImageWrongDigest or ProblemId.ImageWrongSize or ProblemId.ImageOtherFamily or ProblemId.ImageOtherModel or ProblemId.ImageNotServable or
            ProblemId.JournalChainBroken or ProblemId.PlanAltered or ProblemId.ValueNotSafe or ProblemId.CommandChanges or ProblemId.LifeSafetyNotAccepted or
            ProblemId.HostKeyUnknown or ProblemId.HostKeyChanged or ProblemId.ClearTextRefused => ErrorCategory.SecurityError,
        ProblemId.WindowClosed or ProblemId.NotConfirmed or ProblemId.NothingToPlan or ProblemId.NothingToDo or ProblemId.NotPlannable or ProblemId.NoWindowFits or
            ProblemId.RehearsalCannotStart or ProblemId.LinkNotSupported or ProblemId.NothingToResume or ProblemId.RunUnfinished => ErrorCategory.InvalidOperation,
        ProblemId.RefreshFailed or ProblemId.VersionNotReached or ProblemId.LoadsNotBack or ProblemId.SettingsDiffer or
            ProblemId.OutcomeUncertain or ProblemId.ControllerNotHealthy or ProblemId.CommandRefused or ProblemId.PromptNotSeen or
            ProblemId.SnmpRefused or ProblemId.SnmpWalkEndless or ProblemId.SnmpClockWrong => ErrorCategory.DeviceError,
        ProblemId.JsonSyntax or ProblemId.JsonUnknownKey or ProblemId.JsonWrongType or ProblemId.JsonMissingKey or ProblemId.JsonKeyTwice or
            ProblemId.LineUnread or ProblemId.RowIncomplete or ProblemId.BlockNotEnded or ProblemId.ValueUnreadable or ProblemId.VersionUnreadable or
            ProblemId.CaptureBinary or ProblemId.CaptureUndecodable or ProblemId.CaptureOfAnotherFamily or ProblemId.LineTooLong or
            ProblemId.WalkUnreadable or ProblemId.SnmpMalformed => ErrorCategory.ParserError,
        ProblemId.MishapUnknown or ProblemId.PathNotOnDisk or ProblemId.ClientUnknown or ProblemId.ImageServerTwice or ProblemId.ImageServerUnreadable or ProblemId.WattsUnreadable or ProblemId.WattHoursUnreadable or ProblemId.UnitIdUnreadable or
            ProblemId.PortIdUnreadable => ErrorCategory.InvalidArgument,
        _ => ErrorCategory.InvalidData,
    };
}
