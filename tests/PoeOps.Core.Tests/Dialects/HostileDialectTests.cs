using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Dialects that are well formed and would hold up the reading for as long as it may take.</summary>
public sealed class HostileDialectTests
{
    private const string Feeds = "deck  edition  mood  may give\n1 v1.2 calm 40\n-- feeds\n";

    [Theory]
    [InlineData("recite eyes {Unit}{Unit}{Unit}{Unit}{Unit}{Unit}{Unit}{Unit}")]
    [InlineData("recite eyes {Unit}a{Unit}a{Unit}a{Unit}a{Unit}a{Unit}a{Unit}")]
    public void A_command_of_many_placeholders_comes_to_an_end_on_a_long_line(string command)
    {
        Dialect dialect = SampleDialect.Of(SampleDialect.With("recite eyes {Unit}", command));
        Reading reading = Read(dialect, "box awaits; recite eyes " + new string('a', 900) + " b\nEdition of a: 1\n" + "box awaits; recite eyes " + new string('a', 900) + " b\n" + Feeds);
        Assert.Equal([ReadAs.Prompt, ReadAs.Read, ReadAs.Prompt, ReadAs.Read, ReadAs.Read, ReadAs.Read], reading.Lines.Select(line => line.ReadAs));
    }

    // Its rows take any line, so that only the command tells its end.
    [Theory]
    [InlineData("recite eyes {Unit}", "recite eyes 12", true)]
    [InlineData("recite eyes {Unit}", "recite eyes 1 2", false)]
    [InlineData("recite eyes {Unit}", "recite eyes ", false)]
    [InlineData("recite eyes {Unit}:{Unit}", "recite eyes 1:2:3", true)]
    [InlineData("recite eyes {Unit}:{Unit}", "recite eyes 1:", false)]
    [InlineData("recite eyes {Unit}{Unit}", "recite eyes 12", true)]
    [InlineData("recite eyes {Unit}{Unit}", "recite eyes 1", false)]
    [InlineData("recite eyes {Unit} of {Unit} now", "recite eyes a of b now", true)]
    [InlineData("recite eyes {Unit} of {Unit} now", "recite eyes a of b of c now", false)]
    [InlineData("recite eyes {Unit}a", "recite eyes aaa", true)]
    [InlineData("recite eyes {Unit}ab{Unit}b", "recite eyes xabxabb", true)]
    public void A_command_is_known_with_values_in_the_place_of_its_placeholders(string command, string typed, bool known)
    {
        string open = SampleDialect.With("\"ends\": [\"--( (?<Count>\\\\d+))? feeds\"]", "\"ends\": []")
            .Replace("(?<Unit>\\\\d+) +(?<Firmware>\\\\S+) +(?<Condition>\\\\S+) +(?<BudgetWatts>\\\\S+)", "(?<Unit>\\\\S+) .*", StringComparison.Ordinal)
            .Replace("\"required\": [\"Unit\", \"Condition\"]", "\"required\": [\"Unit\"]", StringComparison.Ordinal)
            .Replace("recite eyes {Unit}", command, StringComparison.Ordinal);
        Reading reading = Read(SampleDialect.Of(open), $"deck  edition  mood  may give\nbox awaits; {typed}\n");
        Assert.Equal(known ? ReadAs.Prompt : ReadAs.Read, reading.Lines[1].ReadAs);
    }

    [Theory]
    [InlineData(2_000, "$", true)]
    [InlineData(2_000, "", true)]
    [InlineData(3, " ?$", true)]
    [InlineData(3, "\\\\s*$", true)]
    public void A_prompt_of_many_back_slashes_comes_to_an_end(int count, string end, bool known)
    {
        string slashes = new('\\', count);
        Dialect dialect = SampleDialect.Of(SampleDialect.With("^[a-z0-9-]+ awaits; $", "^" + slashes + slashes + slashes + slashes + end));
        Reading reading = Read(dialect, slashes + "recite edition\n" + Feeds);
        Assert.Equal(known ? (ReadAs.Prompt, "recite edition") : (ReadAs.Unread, string.Empty), (reading.Lines[0].ReadAs, reading.Lines[0].Rule));
    }

    private static Reading Read(Dialect dialect, string text) =>
        CaptureReader.Read(dialect, CaptureText.FromText(text, "capture"), new ReadingContext { Switch = "quay-1", KeepLines = true });
}
