using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Something happens to the line between the jump host and the switch.</summary>
public sealed class LineSituations
{
    [Theory]
    [InlineData("nothing-happens", 600, StageOutcome.Done)]
    [InlineData("link-lost-before-the-command-is-heard", 600, StageOutcome.Failed, "mole-1/1:Command:Unheard")]
    [InlineData("link-lost-before-the-command-is-answered", 600, StageOutcome.Done, "mole-1/1:Command:LinkLost")]
    [InlineData("link-lost-during-transfer", 600, StageOutcome.Done, "mole-1/1:Transfer:LinkLost")]
    [InlineData("link-lost-at-40-percent-of-program", 600, StageOutcome.Done, "mole-1/1:Program:LinkLost")]
    [InlineData("link-lost-after-reset", 600, StageOutcome.Done, "mole-1/1:Reset:LinkLost")]
    [InlineData("device-takes-the-call-and-answers-nothing", 20, StageOutcome.Refused, "mole-1:Connect:Hangs")]
    [InlineData("device-answers-nothing-when-it-is-read", 20, StageOutcome.Refused, "mole-1:Answer:Nothing:4")]
    [InlineData("device-answers-nothing-when-it-is-read-afterwards", 60, StageOutcome.Done, "mole-1:Answer:Nothing:9")]
    [InlineData("device-answers-garbage", 600, StageOutcome.Refused, "mole-1:Answer:Garbage")]
    [InlineData("device-answers-garbage-afterwards", 60, StageOutcome.Done, "mole-1:Answer:Garbage:9-14")]
    [InlineData("link-lost-in-an-answer", 600, StageOutcome.Refused, "mole-1:Answer:LinkLost")]
    [InlineData("log-line-in-every-answer", 600, StageOutcome.Done, "mole-1:Answer:LogLineInside")]
    [InlineData("log-line-in-the-middle-of-a-progress-line", 600, StageOutcome.Done, "mole-1/1:Program:LogLineInside")]
    [InlineData("pager-in-every-answer", 600, StageOutcome.Done, "mole-1:Answer:Pager")]
    [InlineData("pager-in-the-middle-of-the-progress", 600, StageOutcome.Done, "mole-1/1:Program:Pager")]
    [InlineData("prompt-changed-after-reset", 600, StageOutcome.Done, "mole-1/1:Reset:PromptChanged")]
    [InlineData("prompt-changed-after-reset-and-settings-to-put-back", 600, StageOutcome.Done, "mole-1/1:Reset:PromptChanged", "mole-1/1:Recover:SettingsReset")]
    [InlineData("log-in-refused", 600, StageOutcome.Refused, "mole-1:LogIn:Refused")]
    [InlineData("log-in-refused-afterwards", 600, StageOutcome.Uncertain, "mole-1:LogIn:Refused:2-", "mole-1/1:Reset:LinkLost")]
    [InlineData("password-prompt-twice", 600, StageOutcome.Refused, "mole-1:LogIn:PasswordTwice")]
    [InlineData("second-operator-at-work", 600, StageOutcome.Refused, "mole-1/1:Unit:Busy")]
    [InlineData("second-operator-comes-before-the-command", 60, StageOutcome.Done, "mole-1/1:Unit:Busy:2")]
    [InlineData("second-operator-at-work-for-a-while", 600, StageOutcome.Done, "mole-1/1:Unit:Busy:1-4")]
    public void Happens(string situation, double speed, StageOutcome outcome, params string[] mishaps)
    {
        using var night = new RehearsedRun(speed, mishaps);
        night.Plan("mole-1", "1", "3.10.2");

        UnitResult result = Assert.Single(night.Run());

        night.RequirePlayed(mishaps);
        Approved.Check(situation, night.Told());
        Assert.Equal(outcome, result.Outcome);
        Assert.Empty(night.Audit());
    }
}
