using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

// Something happens to the unit while it is at work, or afterwards.
public sealed class TransferRefused() : Situation(StageOutcome.Failed, 600, "mole-1/1:Transfer:Refused");

public sealed class FileNotFound() : Situation(StageOutcome.Failed, 600, "mole-1/1:Transfer:FileNotFound");

public sealed class TransferStalls() : Situation(StageOutcome.Uncertain, 180, "mole-1/1:Transfer:Stalls");

public sealed class ImageDamagedOnTheWire() : Situation(StageOutcome.Failed, 600, "mole-1/1:Transfer:Damaged");

public sealed class ImageOfAnotherFamily() : Situation(StageOutcome.Failed, 600, "mole-1/1:Transfer:WrongFamily");

public sealed class UnitRestartsDuringTransfer() : Situation(StageOutcome.Failed, 600, "mole-1/1:Transfer:UnitRestarts");

public sealed class ProgramStuckAt40Percent() : Situation(StageOutcome.Uncertain, 180, "mole-1/1:Program:StuckAt40");

public sealed class UnitRestartsDuringProgram() : Situation(StageOutcome.Uncertain, 600, "mole-1/1:Program:UnitRestarts");

public sealed class SuccessReportedAndVersionUnchanged() : Situation(StageOutcome.Failed, 600, "mole-1/1:Verify:OldVersion");

public sealed class VersionOtherThanAsked() : Situation(StageOutcome.Uncertain, 600, "mole-1/1:Verify:OtherVersion");

public sealed class ControllerFaultyAfterwards() : Situation(StageOutcome.Uncertain, 600, "mole-1/1:Controller:Faulted");

public sealed class ThreePortsStayOff() : Situation(StageOutcome.Degraded, 600, "mole-1/1:Recover:PortsStayOff");

public sealed class PortSettingsReset() : Situation(StageOutcome.Done, 600, "mole-1/1:Recover:SettingsReset");

public sealed class LoadsRestartSlowly() : Situation(StageOutcome.Done, 600, "mole-1/1:Recover:LoadsSlow");

public sealed class VerySlowDevice() : Situation(StageOutcome.Done, 600, "mole-1:Device:Slow");
