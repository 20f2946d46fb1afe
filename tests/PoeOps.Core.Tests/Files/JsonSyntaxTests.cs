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
    [InlineData("")]
    [InlineData("// nothing")]
    public void What_is_no_JSON_is_refused(string text)
    {
        List<Problem> problems = [];
        Assert.Null(JsonObjectReader.Parse(text, "f.json", problems));
        Assert.Equal(ProblemId.JsonSyntax, Assert.Single(problems).Id);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData(" // first\n{ /* in */ \"a\": [ ] /**/ , \"b\": { } } // last")]
    [InlineData("{ \"a\": [true, false, null, 0, -0, 1.5, 1e3, 1E-3, 1e-400, -12.50e+2, 79228162514264337593543950335] }")]
    [InlineData("{ \"\": \"\\\"\\\\\\/\\b\\f\\n\\r\\t\\u00e4\\ud83d\\ude00\" }")]
    public void What_is_JSON_is_read(string text)
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReader.Parse(text, "f.json", problems, controls: true));
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData("{\n  \"a\": }\n}", 2, 7, "found '}' where a value was expected.")]
    [InlineData("{\r\n  \"a\": 1\r\n  \"b\": 2 }", 3, 2, "a comma, or a closing bracket, is missing before '\"'.")]
    [InlineData("{ \"a\": [1 2] }", 1, 10, "a comma, or a closing bracket, is missing before '2'.")]
    [InlineData("{ \"a\"; 1 }", 1, 5, "found ';' where a colon was expected behind a key.")]
    [InlineData("{ name: 1 }", 1, 7, "a key stands in double quotes.")]
    [InlineData("{ \"a\": 'b' }", 1, 10, "a text stands in double quotes.")]
    [InlineData("{ \"a\": 1", 1, 8, "the text ends in the middle of 'a': what is behind it, a closing bracket at the least, is missing.")]
    [InlineData("{ \"a\"", 1, 5, "the text ends in the middle of an object or a list: what is behind it, a closing bracket at the least, is missing.")]
    [InlineData("[", 1, 1, "the text ends in the middle of an object or a list: what is behind it, a closing bracket at the least, is missing.")]
    [InlineData("// none", 1, 7, "there is no value in the text.")]
    [InlineData("{", 1, 1, "the text ends in the middle of an object or a list: what is behind it, a closing bracket at the least, is missing.")]
    [InlineData("{ \"sites\": [ { \"name\": \"qu", 1, 26, "the text ends inside a text in double quotes of 'sites[0].name': its closing quote is missing.")]
    [InlineData("{\n \"a\": \u201cb\u201d }", 2, 6, "the typographic quote \u201c stands where \" was expected.")]
    [InlineData("{ \u201ea\u201c: 1 }", 1, 2, "the typographic quote \u201e stands where \" was expected.")]
    [InlineData("{ \"a\": True }", 1, 7, "found 'T' where a value was expected.")]
    [InlineData("{ \"a\": truely }", 1, 11, "found a word that is no value; a value is a text in double quotes, a number, true, false, null, an object or a list.")]
    [InlineData("{ ;: 1 }", 1, 2, "found ';' where a key in double quotes was expected.")]
    [InlineData("{}\n}", 2, 1, "'}' stands behind the end; a bracket before it may be one too many.")]
    [InlineData("{ \"a\": 010 }", 1, 10, "'010' is no number of JSON.")]
    [InlineData("{ \"a\": 1, // last\n }", 2, 2, "a comma stands before the end, with nothing behind it.")]
    [InlineData("{ \"a\": [1, /* last */] }", 1, 22, "a comma stands before the end, with nothing behind it.")]
    [InlineData("{ \"a\": \"C:\\dir\" }", 1, 12, "'\\d' is no escape of JSON; a backslash that stands for itself is written twice.")]
    [InlineData("{ \"a\": \"b\n\" }", 2, 1, "a text goes on over the end of its line, or holds a control character, which is written as an escape.")]
    [InlineData("{ /* a\n }", 2, 2, "the text ends inside a comment: its */ is missing.")]
    [InlineData("{ \"a\": 79228162514264337593543950336 }", 1, 36, "the number 79228162514264337593543950336 is too large.")]
    public void A_mistake_is_told_with_line_column_and_what_was_found(string text, int line, int column, string what)
    {
        List<Problem> problems = [];
        JsonObjectReader.Parse(text, "f.json", problems);
        Assert.Equal([$"JsonSyntax {line} -: The text is no JSON at line {line}, column {column}: {what} {Advice}"], Told.Of(problems));
        Assert.Equal("f.json", problems[0].File);
    }

    [Fact]
    public void Sixty_four_levels_are_read_and_no_more()
    {
        List<Problem> problems = [];
        Assert.NotNull(JsonObjectReader.Parse(Nested(64), "f.json", problems));
        Assert.Empty(problems);
        Assert.Null(JsonObjectReader.Parse(Nested(65), "f.json", problems));
        Assert.Equal([$"JsonSyntax 1 -: The text is no JSON at line 1, column 69: objects and lists stand more than 64 deep in one another. {Advice}"], Told.Of(problems));
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
