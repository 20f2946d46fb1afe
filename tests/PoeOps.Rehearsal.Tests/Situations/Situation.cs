using System.Text.RegularExpressions;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Situations;

/// <summary>One unit is refreshed while something happens. The class is named after it, and so is the approved journal.</summary>
/// <param name="outcome">How the unit must end.</param>
/// <param name="speed">How fast the rehearsal's time goes; slower where a deadline of the machine is to be told from one of the device.</param>
/// <param name="mishaps">What is played.</param>
public abstract partial class Situation(StageOutcome outcome, double speed, params string[] mishaps)
{
    [Fact]
    public void Ends_as_approved()
    {
        using var night = new RehearsedRun(speed, mishaps);
        night.Plan("mole-1", "1", "3.10.2");

        UnitResult result = Assert.Single(night.Run());

        night.RequirePlayed(mishaps);
        Approved.Check(NameOf(GetType()), night.Told());
        Assert.Equal(outcome, result.Outcome);
        Assert.Empty(night.Audit());
    }

    /// <summary>The name of a situation as its approved journal has it.</summary>
    internal static string NameOf(Type situation) => Words().Replace(situation.Name, "-$1").TrimStart('-').ToLowerInvariant();

    [GeneratedRegex("([A-Z]|(?<![0-9])[0-9])")]
    private static partial Regex Words();
}
