using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class PlainTextTests
{
    [Theory]
    [InlineData("\0", @"\u0000")]
    [InlineData("\a", @"\u0007")]
    [InlineData("\b", @"\u0008")]
    [InlineData("\t", @"\t")]
    [InlineData("\n", @"\n")]
    [InlineData("\r", @"\r")]
    [InlineData("\u001b[2J", @"\u001b[2J")]
    [InlineData("\u001b]0;title\a", @"\u001b]0;title\u0007")]
    [InlineData("\u007f", @"\u007f")]
    [InlineData("\u0080", @"\u0080")]
    [InlineData("\u0085", @"\u0085")]
    [InlineData("\u009b2J", @"\u009b2J")]
    [InlineData("\u00ad", @"\u00ad")]
    [InlineData("\u061c", @"\u061c")]
    [InlineData("\u200b", @"\u200b")]
    [InlineData("\u200e\u200f", @"\u200e\u200f")]
    [InlineData("\u2028", @"\u2028")]
    [InlineData("\u2029", @"\u2029")]
    [InlineData("\u202a\u202b\u202c\u202d\u202e", @"\u202a\u202b\u202c\u202d\u202e")]
    [InlineData("\u2060", @"\u2060")]
    [InlineData("\u2066\u2067\u2068\u2069", @"\u2066\u2067\u2068\u2069")]
    [InlineData("\ufeff", @"\ufeff")]
    [InlineData("\ufdd0\ufdef", @"\ufdd0\ufdef")]
    [InlineData("\ufffe\uffff", @"\ufffe\uffff")]
    [InlineData("\U0001FFFE", @"\ud83f\udffe")]
    [InlineData("\U0010FFFF", @"\udbff\udfff")]
    [InlineData("\U000E0041", @"\udb40\udc41")]
    public void A_hidden_character_is_an_escape(string hidden, string shown)
    {
        Assert.Equal($"a{shown}z", PlainText.Of($"a{hidden}z"));
        Assert.False(PlainText.IsPlain($"a{hidden}z"));
    }

    [Theory]
    [InlineData("a door, 17 °C, ü, 灯, \U0001F680, e\u0301, \u00a0, \u3000, \ufffd, [1m, \\u001b")]
    [InlineData("\u0628\u200c\u0627 \u0915\u094d\u200d\u0937 \U0001F468\u200d\U0001F527")]
    public void Whatever_can_be_seen_stays(string text)
    {
        Assert.Same(text, PlainText.Of(text));
        Assert.True(PlainText.IsPlain(text));
    }

    // They do not come through an attribute.
    [Fact]
    public void Half_a_surrogate_pair_is_an_escape() => Assert.Equal(@"a\ud83d \ude00z \ud83d", PlainText.Of("a\ud83d \ude00z \ud83d"));

    [Fact]
    public void Tabs_stay_in_a_line_and_line_feeds_in_lines()
    {
        const string Text = "a\tb\nc\r\u001b";
        Assert.Equal(@"a\tb\nc\r\u001b", PlainText.Of(Text));
        Assert.Equal("a\tb\\nc\\r\\u001b", PlainText.OfLine(Text));
        Assert.Equal("a\tb\nc\\r\\u001b", PlainText.OfLines(Text));
    }

    [Fact]
    public void Done_twice_it_changes_nothing_more_and_every_character_comes_to_one_of_two_ends()
    {
        for (int code = 0; code <= char.MaxValue; code++)
        {
            string text = $"<{(char)code}>";
            string shown = PlainText.Of(text);
            Assert.Equal(shown, PlainText.Of(shown));
            Assert.True(PlainText.IsPlain(shown));
            Assert.Equal(PlainText.IsPlain(text), shown == text);
        }
    }

    [Fact]
    public void No_text_of_a_problem_holds_one()
    {
        const string Odd = "x\u001b[2J\u202ey\r\nz";
        const string Shown = @"x\u001b[2J\u202ey\r\nz";
        Problem problem = new(ProblemId.LineUnread, Odd, Odd) { File = Odd, Path = Odd, Text = Odd, Target = Odd };
        Assert.Equal([Shown, Shown, Shown, Shown, Shown, Shown], new[] { problem.Sentence, problem.Advice, problem.File!, problem.Path!, problem.Text!, problem.Target! });
        Assert.Equal(problem, problem with { Sentence = Odd, Advice = Odd, File = Odd });
        Assert.Equal($"{Shown}, {Shown}: {Shown} {Shown}", problem.ToString());
    }

    [Theory]
    [InlineData("\"name\": \"a\\u202eb\"", false, @"HiddenCharacter 1 name: The text 'a\u202eb' holds the character U+202E, which nobody sees and which may change how what stands around it is shown. Write the text without it.")]
    [InlineData("\"name\": \"a\\u001bb\"", false, @"HiddenCharacter 1 name: The text 'a\u001bb' holds the control character U+001B, which nobody sees and which may change how what stands around it is shown. Write the text without it.")]
    [InlineData("\"name\": \"a\\u001bb\"", true, null)]
    [InlineData("\"list\": [ \"a\", { \"b\": \"\\udb40\\udc41\" } ]", true, @"HiddenCharacter 1 list[1].b: The text '\udb40\udc41' holds the character U+E0041, which nobody sees and which may change how what stands around it is shown. Write the text without it.")]
    public void A_users_file_with_one_is_told_once(string json, bool controls, string? told)
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReaderOf(json, controls, problems));
        Assert.Equal(told is null ? [] : [told], problems.Select(Told.Of));
    }

    // Names made of such characters are other names than they seem; a device that prints them gives no unit.
    [Theory]
    [InlineData("\u202e")]
    [InlineData("\u2028")]
    [InlineData("\ufeff")]
    public void A_name_with_one_is_no_name(string hidden)
    {
        string sentence = Assert.Throws<PoeOpsException>(() => UnitId.Parse($"quay-1/a{hidden}b")).Problem.Sentence;
        Assert.Equal($"'{PlainText.Of($"quay-1/a{hidden}b")}' is not the id of a unit: a name has a hidden character in it.", sentence);
    }

    [Fact]
    public void The_name_of_a_capture_gives_a_switch_that_can_be_shown() => Assert.Equal(@"pier\u001b\u202e", CaptureName.SwitchOf("/tmp/pier\u001b\u202e~tell.txt"));

    private static JsonObjectReader? JsonObjectReaderOf(string json, bool controls, List<Problem> problems) =>
        JsonObjectReader.Parse($"{{ {json} }}", "f.json", problems, controls);
}
