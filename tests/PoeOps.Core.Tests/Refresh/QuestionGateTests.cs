using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>What changed while a question was open is looked at again before anything is sent.</summary>
public sealed class QuestionGateTests : GateBench
{
    [Fact]
    public void An_image_that_is_changed_while_the_question_is_open_is_never_offered()
    {
        Night.Answer = _ =>
        {
            byte[] image = File.ReadAllBytes(Night.ImagePath);
            image[7] ^= 1;
            File.WriteAllBytes(Night.ImagePath, image);
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.ImageWrongDigest, null);
    }

    [Fact]
    public void A_question_that_is_answered_too_late_does_not_start_a_unit()
    {
        Night.Answer = _ =>
        {
            Night.Clock.MoveOn(5 * 3600);
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.WindowClosed, "Its window closes 2026-12-02 03:30 UTC: 0 min are left, and the worst case with recovery and reserve needs 27.");
    }

    [Fact]
    public void After_a_question_that_took_its_time_the_unit_is_read_again()
    {
        Night.Answer = _ =>
        {
            Night.Clock.MoveOn(600);
            Night.Link.Units = [Sample.Unit() with { Serial = "T9" }];
            return true;
        };

        Refused(StageOutcome.Refused, ProblemId.UnitChanged, "Its serial is 'T9', and the plan was made for 'S2'.");
        Assert.Equal(["Busy?", "Read", "Reopen", "Busy?", "Read", "Dispose"], Night.Link.Calls);
    }

    [Fact]
    public void Life_safety_loads_that_appeared_during_the_question_were_not_answered_for()
    {
        Night.Attended = true;
        Night.Answer = _ =>
        {
            Night.Clock.MoveOn(600);
            Night.Link.Units = [Sample.Unit().With(port => port with { LifeSafety = true })];
            return true;
        };

        UnitResult result = Refused(StageOutcome.Refused, ProblemId.LifeSafetyNotAccepted, null);
        Assert.EndsWith("There were 1 when the question was asked.", result.Reason, StringComparison.Ordinal);
    }
}
