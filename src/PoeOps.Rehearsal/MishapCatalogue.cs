namespace PoeOps.Rehearsal;

/// <summary>What the mishaps are: when they happen, what happens, to whom, and how often.</summary>
public static class MishapCatalogue
{
    /// <summary>Every mishap that a rehearsal plays.</summary>
    public static IReadOnlyList<MishapEntry> All { get; } =
    [
        new(MishapKind.ConnectHangs, "Connect", "Hangs", MishapScope.Switch, OnceOnly: false, "The console takes the connection and never says a word."),
        new(MishapKind.ConnectCloses, "Connect", "Closes", MishapScope.Switch, OnceOnly: false, "The console takes the connection and closes it at once."),
        new(MishapKind.LogInRefused, "LogIn", "Refused", MishapScope.Switch, OnceOnly: false, "The console refuses the right user and password."),
        new(MishapKind.LogInPasswordTwice, "LogIn", "PasswordTwice", MishapScope.Switch, OnceOnly: false, "The console asks for the password a second time before it lets anybody in."),
        new(MishapKind.LogInSecondSecret, "LogIn", "SecondSecret", MishapScope.Switch, OnceOnly: false, "The console asks for the second secret although the world does not say so."),
        new(MishapKind.AnswerGarbage, "Answer", "Garbage", MishapScope.Switch, OnceOnly: false, "Every answer is garbled, as by a line with the wrong speed."),
        new(MishapKind.AnswerLogLineInside, "Answer", "LogLineInside", MishapScope.Switch, OnceOnly: false, "A log line of the switch stands in the middle of every answer."),
        new(MishapKind.AnswerLinkLost, "Answer", "LinkLost", MishapScope.Switch, OnceOnly: true, "The connection is gone in the middle of an answer."),
        new(MishapKind.AnswerNothing, "Answer", "Nothing", MishapScope.Switch, OnceOnly: true, "The console takes a command and answers nothing."),
        new(MishapKind.AnswerPager, "Answer", "Pager", MishapScope.Switch, OnceOnly: false, "Every answer stops at a pager although pages were switched off."),
        new(MishapKind.CommandUnheard, "Command", "Unheard", MishapScope.Unit, OnceOnly: true, "The connection is gone before the switch takes the command to load the image."),
        new(MishapKind.CommandLinkLost, "Command", "LinkLost", MishapScope.Unit, OnceOnly: true, "The connection is gone before the command's answer; the unit has begun and carries on alone."),
        new(MishapKind.TransferRefused, "Transfer", "Refused", MishapScope.Unit, OnceOnly: true, "The unit says that the file server refused it."),
        new(MishapKind.TransferFileNotFound, "Transfer", "FileNotFound", MishapScope.Unit, OnceOnly: true, "The unit asks for a file that the server does not have."),
        new(MishapKind.TransferStalls, "Transfer", "Stalls", MishapScope.Unit, OnceOnly: true, "The transfer stands still at 30 % for good."),
        new(MishapKind.TransferDamaged, "Transfer", "Damaged", MishapScope.Unit, OnceOnly: true, "A byte of the image is damaged on its way, and the unit sees it."),
        new(MishapKind.TransferWrongFamily, "Transfer", "WrongFamily", MishapScope.Unit, OnceOnly: true, "The unit says that the image is for another family."),
        new(MishapKind.TransferLinkLost, "Transfer", "LinkLost", MishapScope.Unit, OnceOnly: true, "The connection to the console is gone during the transfer; the unit carries on alone."),
        new(MishapKind.TransferUnitRestarts, "Transfer", "UnitRestarts", MishapScope.Unit, OnceOnly: true, "The unit restarts during the transfer, and runs what it ran before."),
        new(MishapKind.ProgramStuckAt40, "Program", "StuckAt40", MishapScope.Unit, OnceOnly: true, "Programming stands still at 40 % for good; the loads stay dark."),
        new(MishapKind.ProgramLinkLost, "Program", "LinkLost", MishapScope.Unit, OnceOnly: true, "The connection to the console is gone at 40 % of programming; the unit carries on alone."),
        new(MishapKind.ProgramLogLineInside, "Program", "LogLineInside", MishapScope.Unit, OnceOnly: true, "A log line of the switch breaks every line of progress while the image is programmed."),
        new(MishapKind.ProgramPager, "Program", "Pager", MishapScope.Unit, OnceOnly: true, "The console stops at a pager at 40 % of programming; the unit carries on."),
        new(MishapKind.ProgramUnitRestarts, "Program", "UnitRestarts", MishapScope.Unit, OnceOnly: true, "The unit restarts at 40 % of programming; its controller has half an image, and is faulty."),
        new(MishapKind.ResetLinkLost, "Reset", "LinkLost", MishapScope.Unit, OnceOnly: true, "The connection to the console is gone when the controller resets."),
        new(MishapKind.ResetPromptChanged, "Reset", "PromptChanged", MishapScope.Unit, OnceOnly: true, "The reset gives the switch another name in its prompt, and every session loses its rights."),
        new(MishapKind.VerifyOldVersion, "Verify", "OldVersion", MishapScope.Unit, OnceOnly: true, "The unit says that all is done, and runs what it ran before."),
        new(MishapKind.VerifyOtherVersion, "Verify", "OtherVersion", MishapScope.Unit, OnceOnly: true, "The unit says that all is done, and runs a version that nobody asked for."),
        new(MishapKind.RecoverPortsStayOff, "Recover", "PortsStayOff", MishapScope.Unit, OnceOnly: true, "The first three ports that had a load stay dark with a fault."),
        new(MishapKind.RecoverSettingsReset, "Recover", "SettingsReset", MishapScope.Unit, OnceOnly: true, "The reset puts every port back to low priority and no limit."),
        new(MishapKind.RecoverLoadsSlow, "Recover", "LoadsSlow", MishapScope.Unit, OnceOnly: true, "The loads need three times as long as usual to restart."),
        new(MishapKind.ControllerFaulted, "Controller", "Faulted", MishapScope.Unit, OnceOnly: true, "The controller is faulty after the reset, and feeds nothing."),
        new(MishapKind.UnitBusy, "Unit", "Busy", MishapScope.Unit, OnceOnly: false, "A second operator is at work: the unit says that it is busy."),
        new(MishapKind.DeviceSlow, "Device", "Slow", MishapScope.Switch, OnceOnly: false, "The switch takes ten times as long for everything."),
    ];

    /// <summary>The entry of one kind.</summary>
    /// <param name="kind">The kind.</param>
    public static MishapEntry Of(MishapKind kind) => All.First(entry => entry.Kind == kind);
}

/// <summary>One kind of mishap.</summary>
/// <param name="Kind">Its kind.</param>
/// <param name="Moment">When it happens: a stage, or another moment such as <c>LogIn</c>.</param>
/// <param name="What">What happens then.</param>
/// <param name="Scope">Whether it happens to a switch or to a unit.</param>
/// <param name="OnceOnly">True where it happens the first time only, unless the mishap's text says otherwise.</param>
/// <param name="Sentence">What people see of it.</param>
public sealed record MishapEntry(MishapKind Kind, string Moment, string What, MishapScope Scope, bool OnceOnly, string Sentence)
{
    /// <summary>Moment and what, as they stand in a mishap's text.</summary>
    public string Name => Moment + ":" + What;
}

/// <summary>To whom a mishap happens.</summary>
public enum MishapScope
{
    /// <summary>To the console of a switch.</summary>
    Switch,
    /// <summary>To a unit; a mishap that names only the switch happens to each of its units.</summary>
    Unit,
}
