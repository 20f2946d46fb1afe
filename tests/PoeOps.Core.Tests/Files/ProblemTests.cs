namespace PoeOps.Core.Tests.Files;

public sealed class ProblemTests
{
    private static readonly Problem Refused = new(ProblemId.LogInRefused, "The device refused the log-in.", "Check user and password.");

    [Fact]
    public void A_problem_without_a_file_says_what_it_is_about() =>
        Assert.Equal("quay-1: The device refused the log-in. Check user and password.", (Refused with { Target = "quay-1" }).ToString());

    [Fact]
    public void A_file_says_where_and_the_target_is_not_said_beside_it() =>
        Assert.Equal("a.txt, line 7: The device refused the log-in. Check user and password.", (Refused with { Target = "quay-1", File = "a.txt", Line = 7 }).ToString());

    [Fact]
    public void A_sentence_that_names_its_target_is_left_alone() =>
        Assert.Equal("The switch 'Quay-1' refused. Check it.", new Problem(ProblemId.LogInRefused, "The switch 'Quay-1' refused.", "Check it.") { Target = "quay-1" }.ToString());
}
