using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class JsonObjectReaderTests
{
    private readonly List<Problem> _problems = [];

    [Fact]
    public void Values_come_back_as_what_they_are()
    {
        JsonObjectReader reader = Parse("""{ "$schema": "x", "t": "2026-11-25T21:00:00Z", "n": 0.1, "w": 7.0, "l": 5000000000, "f": true, "o": { "x": 1 }, "os": [ {} ], "ts": ["a", "b"], "t1": "a", "no": null }""");
        Assert.Equal("2026-11-25T21:00:00Z", reader.Text("t"));
        Assert.Equal(0.1m, reader.Number("n"));
        Assert.Equal(7, reader.Whole("w"));
        Assert.Equal(5_000_000_000, reader.Long("l"));
        Assert.True(reader.Flag("f"));
        Assert.Equal(1, reader.Object("o")!.Whole("x"));
        Assert.Equal("os[0]", Assert.Single(reader.Objects("os")).Path);
        Assert.Equal(["a", "b"], reader.Texts("ts"));
        Assert.Equal(["a"], reader.Texts("t1"));
        Assert.Null(reader.Text("no"));
        Assert.False(reader.Has("no"));
        Assert.Equal(JsonKind.Null, reader.Kind("no"));
        Assert.Equal(JsonKind.Missing, reader.Kind("none"));
        reader.Close();
        Assert.Empty(_problems);
    }

    [Fact]
    public void A_key_that_nobody_asked_for_is_named_with_the_nearest_that_somebody_did()
    {
        JsonObjectReader reader = Parse("{\n\"zoen\": 1,\n\"windows\": [] }");
        reader.Text("zone");
        reader.Objects("windows");
        reader.Close();
        Assert.Equal(["JsonUnknownKey 2 zoen: The key 'zoen' is not known here; the nearest is 'zone'. The keys known here are $schema, zone, windows."], Told.Of(_problems));
    }

    [Fact]
    public void A_key_in_another_case_is_another_key()
    {
        JsonObjectReader reader = Parse("""{ "Zone": "x" }""");
        reader.Text("zone", required: true);
        reader.Close();
        Assert.Equal([ProblemId.JsonMissingKey, ProblemId.JsonUnknownKey], _problems.Select(problem => problem.Id));
    }

    [Fact]
    public void A_missing_key_is_told_at_the_object_that_lacks_it()
    {
        JsonObjectReader reader = Parse("{ \"a\": [\n {\n } ] }");
        reader.Objects("a")[0].Number("n", required: true);
        Assert.Equal(["JsonMissingKey 2 a[0]: The key 'n' is missing, and a number was expected in it. Add 'n' to the object that begins in this line."], Told.Of(_problems));
    }

    [Fact]
    public void Every_wrong_kind_is_told_with_what_was_found_and_expected()
    {
        JsonObjectReader reader = Parse("""{ "a": 5, "b": "5", "c": {}, "d": [], "e": "yes", "f": null, "g": [1, "x", null], "h": [{}, 2], "i": true }""");
        reader.Text("a");
        reader.Number("b");
        reader.Objects("c");
        reader.Object("d");
        reader.Flag("e");
        reader.Text("f", required: true);
        Assert.Equal(["x"], reader.Texts("g"));
        Assert.Single(reader.Objects("h"));
        reader.Texts("i");
        Assert.Equal(
            [
                "JsonWrongType 1 a: Found the number 5 where a text was expected. Write a text there.",
                "JsonWrongType 1 b: Found the text '5' where a number was expected. Write a number there.",
                "JsonWrongType 1 c: Found an object where a list was expected. Write a list there.",
                "JsonWrongType 1 d: Found a list where an object was expected. Write an object there.",
                "JsonWrongType 1 e: Found the text 'yes' where true or false was expected. Write true or false there.",
                "JsonWrongType 1 f: Found null where a text was expected. Write a text there.",
                "JsonWrongType 1 g[0]: Found the number 1 where a text was expected. Write a text there.",
                "JsonWrongType 1 g[2]: Found null where a text was expected. Write a text there.",
                "JsonWrongType 1 h[1]: Found the number 2 where an object was expected. Write an object there.",
                "JsonWrongType 1 i: Found true where a list of texts was expected. Write a list of texts there.",
            ],
            Told.Of(_problems));
    }

    [Fact]
    public void Numbers_outside_their_bounds_are_told_with_the_bounds()
    {
        JsonObjectReader reader = Parse("""{ "a": -0.5, "b": 70000, "c": 1.5, "d": 3000000000, "e": 9 }""");
        Assert.Null(reader.Number("a", least: 0));
        Assert.Null(reader.Whole("b", least: 1, most: 65535));
        Assert.Null(reader.Whole("c"));
        Assert.Null(reader.Whole("d"));
        Assert.Null(reader.Number("e", most: 8.5m));
        Assert.Equal(
            [
                "JsonBadValue 1 a: Found the number -0.5 where a number of 0 or more was expected. Write a number within these bounds.",
                "JsonBadValue 1 b: Found the number 70000 where a whole number of 1 to 65535 was expected. Write a number within these bounds.",
                "JsonBadValue 1 c: Found the number 1.5 where a whole number was expected. Write it without a fraction.",
                "JsonBadValue 1 d: Found the number 3000000000 where a whole number of -2147483648 to 2147483647 was expected. Write a number within these bounds.",
                "JsonBadValue 1 e: Found the number 9 where a number of 8.5 or less was expected. Write a number within these bounds.",
            ],
            Told.Of(_problems));
    }

    [Fact]
    public void A_root_that_is_no_object_is_told_so()
    {
        Assert.Null(JsonObjectReader.Parse("[1]", "f.json", _problems));
        Assert.Equal(["JsonWrongType 1 -: Found a list where an object was expected. Write an object there."], Told.Of(_problems));
    }

    [Fact]
    public void Free_keys_are_listed_and_control_characters_of_a_file_reach_no_screen()
    {
        JsonObjectReader reader = Parse("""{ "words": { "a": 1, "\u001b[2J": 2 } }""").Object("words")!;
        Assert.Equal(["a", "\u001b[2J"], reader.Keys);
        reader.Close();
        Assert.All(_problems, problem => Assert.DoesNotContain(problem.ToString(), char.IsControl));
        Assert.Contains(@"'\u001b[2J'", _problems[1].Sentence);
    }

    [Fact]
    public void Numbers_of_any_length_are_exact_as_long_as_a_decimal_holds_them() =>
        Assert.Equal(12345678901234567890.123456789m, Parse("""{ "n": 12345678901234567890.123456789 }""").Number("n"));

    private JsonObjectReader Parse(string text) => JsonObjectReader.Parse(text, "f.json", _problems)!;
}
