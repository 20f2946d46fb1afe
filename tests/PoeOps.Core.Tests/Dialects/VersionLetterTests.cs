using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Letters in versions, in the order that a dialect gives them.</summary>
public class VersionLetterTests
{
    [Theory]
    [InlineData("\"after\"", "3 3a 3b 3z 3aa 4")]
    [InlineData("[\"t\", \"rc\", \"\", \"sp\"]", "3t 3rc 3 3sp 4t 4")]
    [InlineData(null, "3a 3b 3z 3 4a 4")]
    public void Versions_are_ordered_as_the_dialect_says(string? letters, string versions)
    {
        VersionRule rule = Rule(letters);
        ControllerVersion[] read = [.. versions.Split(' ').Select(text => rule.Read(text)!)];
        for (int i = 1; i < read.Length; i++)
        {
            Assert.True(read[i - 1] < read[i], $"{read[i - 1]} before {read[i]}");
        }
    }

    [Theory]
    [InlineData("\"after\"", "3A", "3a")]
    [InlineData("[\"t\", \"rc\", \"\"]", "3RC", "3rc")]
    public void Capitals_are_no_other_letters(string letters, string one, string other) => Assert.Equal(Rule(letters).Read(one), Rule(letters).Read(other));

    [Theory]
    [InlineData("[\"t\", \"rc\", \"\"]", "3b")]
    [InlineData("\"after\"", "3abcdefghi")]
    public void Letters_that_have_no_place_make_no_version(string letters, string text) => Assert.Null(Rule(letters).Read(text));

    [Fact]
    public void One_version_in_two_spellings_is_no_contradiction_and_the_first_holds()
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.Text);
        Reading reading = CaptureReader.Read(
            dialect, CaptureText.FromText("deck edition mood may give\n1 v1.10 calm 40\n-- feeds\ndeck edition mood may give\n1 pin110 calm 40\n-- feeds\n", "text"), new ReadingContext());
        Assert.Equal("v1.10", Assert.Single(reading.Controllers).Firmware);
        Assert.DoesNotContain(reading.Problems, problem => problem.Id == ProblemId.ReadingsDisagree);
        reading = CaptureReader.Read(
            dialect, CaptureText.FromText("deck edition mood may give\n1 v1.10 calm 40\n-- feeds\ndeck edition mood may give\n1 pin111 calm 40\n-- feeds\n", "text"), new ReadingContext());
        Assert.Equal("Firmware of controller 1 is 'pin111' here and 'v1.10' in line 2.", reading.Problems[0].Sentence);
    }

    private static VersionRule Rule(string? letters)
    {
        string order = letters is null ? string.Empty : $", \"letters\": {{ \"kind\": {letters} }}";
        return SampleDialect.Of(SampleDialect.With("\"release\": {}", $$"""
            "release": { "spellings": [ { "pattern": "(?<number>\\d+)(?<kind>[A-Za-z]*)", "parts": ["number", "kind"] } ]{{order}} }
            """)).Release;
    }
}
