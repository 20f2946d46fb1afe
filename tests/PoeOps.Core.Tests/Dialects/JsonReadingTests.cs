using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Answers that are JSON.</summary>
public class JsonReadingTests
{
    private static readonly Dialect Tree = FormsDialect.Of("""
        { "name": "t", "of": "port", "json": { "rows": "$.eyes[*]", "fields": { "Unit": "$.deck", "Port": "n", "LimitWatts": "most", "Description": "note" } }, "required": ["LimitWatts"] }
        """);

    [Fact]
    public void Json_fills_properties_by_path() =>
        Assert.Equal(["1/3 |4.2|x", "1/4 |30|"], FormsDialect.Ports(Tree, """{ "deck": 1, "eyes": [ { "n": 3, "most": 4.2, "note": "x" }, { "n": "4", "most": "30 W", "note": null } ] }""" + "\n"));

    [Theory]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": 4, "hue": "red" } ] }""", "LineUnread 1 -: No path of the dialect reads $.eyes[*].hue, which is 'red' here. Add it to the 'fields' of a block, or to the 'ignore' of its 'json'.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": 4, "hue": {} } ] }""", "LineUnread 1 -: No path of the dialect reads $.eyes[*].hue, which is an empty object here. Add it to the 'fields' of a block, or to the 'ignore' of its 'json'.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3 } ] }""", "RowIncomplete 1 -: The row of 't' has no LimitWatts. A row without it is left out; read the device again, or correct the dialect.")]
    [InlineData("""{ "eyes": [ { "n": 3, "most": 4 } ] }""", "RowIncomplete 1 -: The row of 't' has no Unit. A row without it is left out; read the device again, or correct the dialect.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": [3], "most": 4 } ] }""", "ValueUnreadable 1 -: The path 'n' finds a list where one value of Port was expected. The row is left out; correct the path, so that it leads to one text, number or flag.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": -4 } ] }""", "ValueUnreadable 1 -: LimitWatts '-4' is no amount of power. Say under 'values' of the dialect how it is written and what its words mean.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": 4, } ] }""", "JsonSyntax 1 -: The text is no JSON at line 1, column 45: a comma stands before the end, with nothing behind it. The whole answer is left out; read the device again.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": 4, "n": 4 } ] }""", "JsonKeyTwice 1 eyes[0].n: The key 'n' stands twice in the same object. The whole answer is left out; read the device again.")]
    [InlineData("""{ "deck": 1, "eyes": [ { "n": 3, "most": 4""", "BlockNotEnded 1 -: The JSON that begins here stops before its last bracket. The text was cut; read the device again.")]
    [InlineData("""{ "other": 1 }""", "CaptureOfAnotherFamily - -: The dialect 'forms' reads nothing here: the one line that holds something fits none of its rules. Check that this is a capture of that family and of the commands that the dialect asks.")]
    public void Json_that_is_not_as_the_dialect_says_is_told(string json, string told) => Assert.Equal([told], Told.Of(FormsDialect.Read(Tree, json + "\n").Problems));

    [Fact]
    public void A_line_of_json_in_the_middle_is_told_by_its_own_number() =>
        Assert.Equal([4], FormsDialect.Read(Tree, "* bell\n{ \"deck\": 1,\n* bell\n \"eyes\": [ { \"n\": 3 'x' } ] }\n").Problems.Select(problem => problem.Line!.Value));

    [Fact]
    public void An_answer_that_is_too_long_is_told_and_not_read()
    {
        string row = "{ \"n\": 3, \"most\": 4 },\n";
        string json = "{ \"deck\": 1, \"eyes\": [\n" + string.Concat(Enumerable.Repeat(row, (4 * 1024 * 1024 / row.Length) + 1)) + "{ \"n\": 3, \"most\": 4 } ] }\n";
        Assert.Equal(["AnswerTooLong 1 -: The JSON that begins here has more than 4194304 characters. Ask the device for less at a time, such as for one unit."], Told.Of(FormsDialect.Read(Tree, json).Problems));
    }

    [Fact]
    public void Large_and_deep_answers_come_to_an_end()
    {
        string many = "{ \"deck\": 1, \"eyes\": [\n" + string.Join(",\n", Enumerable.Range(1, 20_000).Select(n => string.Create(CultureInfo.InvariantCulture, $"{{ \"n\": {n}, \"most\": 4, \"hue\": [{n}, 1] }}"))) + " ] }\n";
        Reading reading = FormsDialect.Read(Tree, many);
        Assert.Equal(20_000, reading.Controllers[0].Ports.Count);
        Assert.Equal("LineUnread 2 -: No path of the dialect reads $.eyes[*].hue[*], which is '1' here, nor 39999 more like it. Add it to the 'fields' of a block, or to the 'ignore' of its 'json'.", Assert.Single(Told.Of(reading.Problems)));

        string named = "{ " + string.Join(",\n", Enumerable.Range(1, 20_000).Select(n => string.Create(CultureInfo.InvariantCulture, $"\"x{n}\": 1"))) + ", \"eyes\": [] }\n";
        Assert.Equal(201, FormsDialect.Read(Tree, named).Problems.Count);

        string deep = new string('[', 60_000) + "\n" + new string(']', 60_000) + "\n";
        Assert.Equal(ProblemId.JsonSyntax, Assert.Single(FormsDialect.Read(Tree, deep).Problems).Id);
    }

    [Fact]
    public void A_command_that_was_typed_ends_an_answer_that_was_cut()
    {
        Reading reading = FormsDialect.Read(Tree, "{ \"deck\": 1, \"eyes\": [\nbox awaits; recite all\n{ \"deck\": 1, \"eyes\": [ { \"n\": 3, \"most\": 4 } ] }\n");
        Assert.Equal(ProblemId.BlockNotEnded, Assert.Single(reading.Problems).Id);
        Assert.Equal(["1/3 |4|"], FormsDialect.Ports(reading));
    }

    [Theory]
    [InlineData("$")]
    [InlineData("@")]
    [InlineData("$.a.b[0]['c d'][*].*")]
    [InlineData("['it\\'s']")]
    [InlineData("a-b.c_d")]
    public void Plain_paths_are_taken(string path) => Assert.Equal(path, JsonPath.Parse(path)!.Text);

    [Theory]
    [InlineData("")]
    [InlineData("$.")]
    [InlineData("a..b")]
    [InlineData("$[(@.length-1)]")]
    [InlineData("$[0:2]")]
    [InlineData("$['a','b']")]
    [InlineData("$[?(@.a =~ /(a+)+b/)]")]
    [InlineData("$[0")]
    [InlineData("a b")]
    public void Other_paths_are_refused(string path) => Assert.Null(JsonPath.Parse(path));

    [Fact]
    public void What_is_not_there_may_have_a_meaning_and_a_null_on_the_way_to_it_is_read()
    {
        Dialect dialect = SampleDialect.Of("""
            { "name": "t", "console": { "prompts": ["^box awaits; $"] }, "values": { "Condition": { "words": { "gone": "Absent", "calm": "Healthy" } } },
              "blocks": [ { "name": "t", "of": "controller", "json": { "rows": "$.decks.*", "fields": { "Unit": { "memberName": true }, "Condition": { "path": "heart.mood.now", "otherwise": "gone" }, "Model": "heart.kind" } } } ] }
            """);
        Reading reading = FormsDialect.Read(dialect, """{ "decks": { "a": { "heart": { "mood": { "now": "calm" }, "kind": "k" } }, "b": { "heart": null }, "c": { "heart": { "mood": null, "kind": "k" } }, "d": {}, "e": { "heart": { "mood": {}, "kind": "k" } } } }""" + "\n");
        Assert.Equal(["a Healthy k", "b Absent ", "c Absent k", "d Absent ", "e Unknown k"], reading.Controllers.Select(one => $"{one.Unit} {one.Condition} {one.Model}"));
        Assert.Equal(["LineUnread: No path of the dialect reads $.decks.d, which is an empty object here.", "LineUnread: No path of the dialect reads $.decks.e.heart.mood, which is an empty object here."], reading.Problems.Select(problem => $"{problem.Id}: {problem.Sentence}"));
    }
}
