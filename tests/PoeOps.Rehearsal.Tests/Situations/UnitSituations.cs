using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>Something happens to the unit while it is at work, or afterwards.</summary>
public sealed class UnitSituations
{
    [Theory]
    [InlineData("transfer-refused", 600, StageOutcome.Failed, "mole-1/1:Transfer:Refused")]
    [InlineData("file-not-found", 600, StageOutcome.Failed, "mole-1/1:Transfer:FileNotFound")]
    [InlineData("transfer-stalls", 180, StageOutcome.Uncertain, "mole-1/1:Transfer:Stalls")]
    [InlineData("image-damaged-on-the-wire", 600, StageOutcome.Failed, "mole-1/1:Transfer:Damaged")]
    [InlineData("image-of-another-family", 600, StageOutcome.Failed, "mole-1/1:Transfer:WrongFamily")]
    [InlineData("unit-restarts-during-transfer", 600, StageOutcome.Failed, "mole-1/1:Transfer:UnitRestarts")]
    [InlineData("program-stuck-at-40-percent", 180, StageOutcome.Uncertain, "mole-1/1:Program:StuckAt40")]
    [InlineData("unit-restarts-during-program", 600, StageOutcome.Uncertain, "mole-1/1:Program:UnitRestarts")]
    [InlineData("success-reported-and-version-unchanged", 600, StageOutcome.Failed, "mole-1/1:Verify:OldVersion")]
    [InlineData("version-other-than-asked", 600, StageOutcome.Uncertain, "mole-1/1:Verify:OtherVersion")]
    [InlineData("controller-faulty-afterwards", 600, StageOutcome.Uncertain, "mole-1/1:Controller:Faulted")]
    [InlineData("three-ports-stay-off", 600, StageOutcome.Degraded, "mole-1/1:Recover:PortsStayOff")]
    [InlineData("port-settings-reset", 600, StageOutcome.Done, "mole-1/1:Recover:SettingsReset")]
    [InlineData("loads-restart-slowly", 600, StageOutcome.Done, "mole-1/1:Recover:LoadsSlow")]
    [InlineData("very-slow-device", 600, StageOutcome.Done, "mole-1:Device:Slow")]
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
