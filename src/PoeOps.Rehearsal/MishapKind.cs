namespace PoeOps.Rehearsal;

/// <summary>A fault that a rehearsal can play. What each one is stands in <see cref="MishapCatalogue"/>.</summary>
public enum MishapKind
{
    /// <summary>The console takes the connection and says nothing.</summary>
    ConnectHangs,
    /// <summary>The console takes the connection and closes it.</summary>
    ConnectCloses,
    /// <summary>The console refuses the right secret.</summary>
    LogInRefused,
    /// <summary>The console asks for the secret twice.</summary>
    LogInPasswordTwice,
    /// <summary>The console asks for a second secret.</summary>
    LogInSecondSecret,
    /// <summary>An answer is garbled.</summary>
    AnswerGarbage,
    /// <summary>A log line stands in the middle of an answer.</summary>
    AnswerLogLineInside,
    /// <summary>The connection goes in the middle of an answer.</summary>
    AnswerLinkLost,
    /// <summary>A command is taken, and nothing comes back.</summary>
    AnswerNothing,
    /// <summary>An answer stops at a pager although pages were switched off.</summary>
    AnswerPager,
    /// <summary>The connection goes before the command to load an image is taken.</summary>
    CommandUnheard,
    /// <summary>The connection goes when the command to load an image was taken, before it is answered; the unit carries on.</summary>
    CommandLinkLost,
    /// <summary>The device says that the file server refused it.</summary>
    TransferRefused,
    /// <summary>The unit asks for a file that the server does not have.</summary>
    TransferFileNotFound,
    /// <summary>The transfer stands still.</summary>
    TransferStalls,
    /// <summary>A byte of the image is damaged on the wire.</summary>
    TransferDamaged,
    /// <summary>The unit takes the image for one of another family.</summary>
    TransferWrongFamily,
    /// <summary>The connection goes during the transfer; the unit carries on.</summary>
    TransferLinkLost,
    /// <summary>The unit restarts during the transfer.</summary>
    TransferUnitRestarts,
    /// <summary>Programming stands still at 40 %.</summary>
    ProgramStuckAt40,
    /// <summary>The connection goes at 40 % of programming; the unit carries on.</summary>
    ProgramLinkLost,
    /// <summary>A log line breaks every line of progress while the image is programmed.</summary>
    ProgramLogLineInside,
    /// <summary>The progress stops at a pager while the image is programmed; the unit carries on.</summary>
    ProgramPager,
    /// <summary>The unit restarts with half an image.</summary>
    ProgramUnitRestarts,
    /// <summary>The connection goes when the controller resets.</summary>
    ResetLinkLost,
    /// <summary>The reset changes the prompt, and takes the rights away that the session had.</summary>
    ResetPromptChanged,
    /// <summary>The unit says that all is well and runs what it ran before.</summary>
    VerifyOldVersion,
    /// <summary>The unit says that all is well and runs a version that nobody asked for.</summary>
    VerifyOtherVersion,
    /// <summary>Three ports stay dark.</summary>
    RecoverPortsStayOff,
    /// <summary>The reset puts the settings of the ports back to what they left the yard with.</summary>
    RecoverSettingsReset,
    /// <summary>Loads need three times as long to restart.</summary>
    RecoverLoadsSlow,
    /// <summary>The controller is faulty afterwards.</summary>
    ControllerFaulted,
    /// <summary>A second operator is at work on the unit.</summary>
    UnitBusy,
    /// <summary>The switch takes ten times as long for everything.</summary>
    DeviceSlow,
}
