using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

/// <summary>What is JSON (RFC 8259) and what is not; comments are the one thing allowed beyond it.</summary>
public sealed class JsonSyntaxTests
{
    private const string Advice = "Correct the text there or just before it.";

    [Theory]
    [InlineData("{")]
    [InlineData("{ \"a\": 1, }")]
    [InlineData("{ \"a\": [1,] }")]
    [InlineData("{ \"a\": [,1] }")]
    [InlineData("{ 'a': 1 }")]
    [InlineData("{ a: 1 }")]
    [InlineData("{ \"a\": 'b' }")]
    [InlineData("{ \"a\": NaN }")]
    [InlineData("{ \"a\": -Infinity }")]
    [InlineData("{ \"a\": undefined }")]
    [InlineData("{ \"a\": new Date(0) }")]
    [InlineData("{ \"a\": 0x10 }")]
    [InlineData("{ \"a\": 010 }")]
    [InlineData("{ \"a\": .5 }")]
    [InlineData("{ \"a\": 5. }")]
    [InlineData("{ \"a\": +5 }")]
    [InlineData("{ \"a\": 1e }")]
    [InlineData("{ \"a\": - }")]
    [InlineData("{ \"a\": True }")]
    [InlineData("{ \"a\": truely }")]
    [InlineData("{ \"a\" 1 }")]
    [InlineData("{ \"a\": 1 \"b\": 2 }")]
    [InlineData("{ \"a\": \"\\x41\" }")]
    [InlineData("{ \"a\": \"\\u00g0\" }")]
    [InlineData("{ \"a\": \"tab\there\" }")]
    [InlineData("{ \"a\": \"open }")]
    [InlineData("{} {}")]
    [InlineData("{} x")]
    [InlineData("{ /* open }")]
    [InlineData("{ /*/ }")]
    [InlineData("{ # no comment\n }")]
    [InlineData("{ \"a\": 79228162514264337593543950336 }")] // one more than a decimal holds
    [InlineData("{\u00a0}")]
    public void What_is_no_JSON_is_refused(string text)
    {
        List<Problem> problems = [];
        Assert.Null(JsonObjectReader.Parse(text, "f.json", problems));
        Assert.Equal(ProblemId.JsonSyntax, Assert.Single(problems).Id);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData(" // first\n{ /* in */ \"a\" /**/ : [ ] , \"b\": { } } // last")]
    [InlineData("{ \"a\": [true, false, null, 0, -0, 1.5, 1e3, 1E-3, 1e-400, -12.50e+2, 79228162514264337593543950335] }")]
    [InlineData("{ \"\": \"\\\"\\\\\\/\\b\\f\\n\\r\\t\\u00e4\\ud83d\\ude00\" }")]
    public void What_is_JSON_is_read(string text)
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReader.Parse(text, "f.json", problems));
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData("{\n  \"a\": }\n}", 2, "Found '}' in line 2, column 8, where a value was expected.")]
    [InlineData("{\r\n  \"a\": 1\r\n  \"b\": 2 }", 3, "Found '\"' in line 3, column 3, where ',' or '}' was expected.")]
    [InlineData("{ \"a\": [1 2] }", 1, "Found '2' in line 1, column 11, where ',' or ']' was expected.")]
    [InlineData("{ \"a\"; 1 }", 1, "Found ';' in line 1, column 6, where ':' was expected.")]
    [InlineData("{ name: 1 }", 1, "Found 'name' in line 1, column 3, where a key in double quotes was expected.")]
    [InlineData("{ \"a\": 1", 1, "Found the end of the text in line 1, column 9, where ',' or '}' was expected.")]
    [InlineData("{}\n}", 2, "Found '}' in line 2, column 1, after the end of the content.")]
    [InlineData("{ \"a\": 1.2.3 }", 1, "Found '1.2.3' in line 1, column 8, which is no number of JSON.")]
    [InlineData("{ \"a\": \"C:\\dir\" }", 1, "Found '\\' and then 'dir' in line 1, column 12, in a text, which is no escape of JSON; a backslash itself is written twice.")]
    [InlineData("{ \"a\": \"b\n\" }", 1, "The text that begins in line 1, column 8, has no end on its line.")]
    [InlineData("{ /* a\n }", 2, "The comment that begins in line 1, column 3, has no end.")]
    [InlineData("{ \"a\": 1e99 }", 1, "The number '1e99' in line 1, column 8, is too large.")]
    public void A_mistake_is_told_with_line_column_and_what_was_found(string text, int line, string sentence)
    {
        List<Problem> problems = [];
        JsonObjectReader.Parse(text, "f.json", problems);
        Assert.Equal([$"JsonSyntax {line} -: {sentence} {Advice}"], Told.Of(problems));
        Assert.Equal("f.json", problems[0].File);
    }

    [Fact]
    public void Sixty_four_levels_are_read_and_no_more()
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReader.Parse(Nested(64), "f.json", problems));
        Assert.Empty(problems);
        Assert.Null(JsonObjectReader.Parse(Nested(65), "f.json", problems));
        Assert.Equal([$"JsonSyntax 1 -: What stands in line 1, column 69, is more than 64 objects and lists deep. {Advice}"], Told.Of(problems));
    }

    [Fact]
    public void A_hundred_thousand_levels_are_refused_and_nothing_breaks()
    {
        List<Problem> problems = [];
        Assert.Null(JsonObjectReader.Parse(Nested(100_000), "f.json", problems));
        Assert.Single(problems);
    }

    [Fact]
    public void Keys_that_stand_twice_are_all_found_with_line_and_path()
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReader.Parse("{ \"a\": 1,\n \"a\": [ { \"b\": 1, \"c\": 2,\n \"b\": 3 } ] }", "f.json", problems));
        Assert.Equal(
            [
                "JsonKeyTwice 2 a: The key 'a' stands twice in the same object. Keep one of them.",
                "JsonKeyTwice 3 a[0].b: The key 'b' stands twice in the same object. Keep one of them.",
            ],
            Told.Of(problems));
    }

    [Fact]
    public void Text_that_is_nearly_JSON_never_throws()
    {
        const string Sample = """{ "a": [1.5, -2e3, "x\u00e4\n", true, null], /* c */ "b": { "c": {}, "d": [] } // e""" + "\n}";
        const string Signs = "{}[],:\"'\\/*0123456789eE+-.tfn u\n\r\u00e4\0#";
        Random chance = new(20261125);
        int read = 0;
        for (int i = 0; i < 50_000; i++)
        {
            char[] text = Sample.ToCharArray();
            for (int changes = chance.Next(1, 4); changes > 0; changes--)
            {
                text[chance.Next(text.Length)] = Signs[chance.Next(Signs.Length)];
            }

            List<Problem> problems = [];
            JsonObjectReader? reader = JsonObjectReader.Parse(new string(text), "f.json", problems);
            Assert.True(reader is not null || problems.Count > 0);
            read += reader is null ? 0 : 1;
        }

        Assert.InRange(read, 500, 40_000);
    }

    // {"a":[[[…]]]}: the object and its lists are as many as asked for.
    private static string Nested(int depth) => "{\"a\":" + new string('[', depth - 1) + new string(']', depth - 1) + "}";
}
