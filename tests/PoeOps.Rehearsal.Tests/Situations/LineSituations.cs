using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

// Something happens to the line between the jump host and the switch, or in what comes over it.
public sealed class NothingHappens() : Situation(StageOutcome.Done, 600);

public sealed class LinkLostBeforeTheCommandIsHeard() : Situation(StageOutcome.Failed, 600, "mole-1/1:Command:Unheard");

public sealed class LinkLostBeforeTheCommandIsAnswered() : Situation(StageOutcome.Done, 600, "mole-1/1:Command:LinkLost");

public sealed class LinkLostDuringTransfer() : Situation(StageOutcome.Done, 600, "mole-1/1:Transfer:LinkLost");

public sealed class LinkLostAt40PercentOfProgram() : Situation(StageOutcome.Done, 600, "mole-1/1:Program:LinkLost");

public sealed class LinkLostAfterReset() : Situation(StageOutcome.Done, 600, "mole-1/1:Reset:LinkLost");

public sealed class DeviceTakesTheCallAndAnswersNothing() : Situation(StageOutcome.Refused, 20, "mole-1:Connect:Hangs");

public sealed class DeviceAnswersNothingWhenItIsRead() : Situation(StageOutcome.Refused, 20, "mole-1:Answer:Nothing:4");

public sealed class DeviceAnswersNothingWhenItIsReadAfterwards() : Situation(StageOutcome.Done, 60, "mole-1:Answer:Nothing:9");

public sealed class DeviceAnswersGarbage() : Situation(StageOutcome.Refused, 600, "mole-1:Answer:Garbage");

public sealed class DeviceAnswersGarbageAfterwards() : Situation(StageOutcome.Done, 60, "mole-1:Answer:Garbage:9-14");

public sealed class LinkLostInAnAnswer() : Situation(StageOutcome.Refused, 600, "mole-1:Answer:LinkLost");

public sealed class LogLineInEveryAnswer() : Situation(StageOutcome.Done, 600, "mole-1:Answer:LogLineInside");

public sealed class LogLineInTheMiddleOfAProgressLine() : Situation(StageOutcome.Done, 600, "mole-1/1:Program:LogLineInside");

public sealed class PagerInEveryAnswer() : Situation(StageOutcome.Done, 600, "mole-1:Answer:Pager");

public sealed class PagerInTheMiddleOfTheProgress() : Situation(StageOutcome.Done, 600, "mole-1/1:Program:Pager");

public sealed class PromptChangedAfterReset() : Situation(StageOutcome.Done, 600, "mole-1/1:Reset:PromptChanged");

public sealed class PromptChangedAfterResetAndSettingsToPutBack() : Situation(StageOutcome.Done, 600, "mole-1/1:Reset:PromptChanged", "mole-1/1:Recover:SettingsReset");

public sealed class LogInRefused() : Situation(StageOutcome.Refused, 600, "mole-1:LogIn:Refused");

public sealed class LogInRefusedAfterwards() : Situation(StageOutcome.Uncertain, 60, "mole-1:LogIn:Refused:2-", "mole-1/1:Reset:LinkLost");

public sealed class PasswordPromptTwice() : Situation(StageOutcome.Refused, 600, "mole-1:LogIn:PasswordTwice");

public sealed class SecondOperatorAtWork() : Situation(StageOutcome.Refused, 600, "mole-1/1:Unit:Busy");

public sealed class SecondOperatorComesBeforeTheCommand() : Situation(StageOutcome.Done, 60, "mole-1/1:Unit:Busy:2");

public sealed class SecondOperatorAtWorkForAWhile() : Situation(StageOutcome.Done, 60, "mole-1/1:Unit:Busy:1-4");
