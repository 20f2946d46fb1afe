using System.Globalization;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Rows that are cut at columns, lines that were broken at a width, and answers that are JSON.</summary>
public class ReadingFormsTests
{
    private const string Head = "Eye   Word         Gives  Note";

    private static readonly Dialect Columns = Of("""
        { "name": "t", "of": "port", "begins": ["Eye +.*"], "fixed": { "Unit": "1" },
          "columns": { "Eye": "Port", "Word": "Neighbour", "Gives": { "property": "LimitWatts", "align": "right" }, "Note": "Description" } }
        """);

    private static readonly Dialect Wrapped = Of("""
        { "name": "t", "of": "port", "wrap": 20, "begins": ["eyes of (?<Unit>\\w+)", "a long head of the eyes of (?<Unit>\\w+)"], "ends": ["end"],
          "ignore": [ { "name": "ruler", "pattern": "=+" } ], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] }
        """);

    private static readonly Dialect Tree = Of("""
        { "name": "t", "of": "port", "json": { "rows": "$.eyes[*]", "fields": { "Unit": "$.deck", "Port": "n", "LimitWatts": "most", "Description": "note" } }, "required": ["LimitWatts"] }
        """);

    [Theory]
    [InlineData("4     two words    4.2 W  a note of words", "1/4 two words|4.2|a note of words")]
    [InlineData("4", "1/4 ||")]
    [InlineData("4                  4.2 W", "1/4 |4.2|")]
    [InlineData("4     two words", "1/4 two words||")]
    [InlineData("4     a long words  12 W  x", "1/4 a long words|12|x")]
    [InlineData("4     wordwordword   12W", "1/4 wordwordword|12|")]
    [InlineData("4     wordword   4200 mW", "1/4 wordword|4.2|")]
    public void A_row_is_cut_where_the_words_of_its_header_stand(string row, string read) => Assert.Equal([read], Ports(Columns, $"{Head}\n{row}\n"));

    [Theory]
    [InlineData(" 4    word         4.2 W  x", "'4' does not begin where the column 'Eye' does, at character 1, in the block 't'.")]
    [InlineData("4      word        4.2 W  x", "'word' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4     word        4.2 W   x", "'4.2' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4     word         4.2 W   x", "'x' does not begin where the column 'Note' does, at character 27, in the block 't'.")]
    [InlineData("4     word          4.2 W  x", "'W' stands across the columns 'Gives' and 'Note', in the block 't'.")]
    [InlineData("4     word         4.2 W x", "'x' stands across the columns 'Gives' and 'Note', in the block 't'.")]
    [InlineData("44444444           4.2 W", "'44444444' stands across the columns 'Eye' and 'Word', in the block 't'.")]
    [InlineData("4     wordwordwordw4.2W", "'wordwordwordw4.2W' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4     wordwordword14.2W3", "'wordwordword14.2W3' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4     a longer word 12 W  x", "'a longer word 12 W' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4     two  apart   4.2 W", "'two  apart   4.2 W' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4                   2 W", "'2 W' does not end where the column 'Gives' does, at character 24, in the block 't'.")]
    [InlineData("4     a word by a 4 W W3", "'a word by a 4 W W3' stands across the columns 'Word' and 'Gives', in the block 't'.")]
    [InlineData("4\tword", "The line holds a tab, so that nobody can tell in which column its values stand, in the block 't'.")]
    public void A_row_that_stands_otherwise_is_told_and_left_out(string row, string told)
    {
        Reading reading = Read(Columns, $"{Head}\n{row}\n");
        Problem problem = Assert.Single(reading.Problems);
        Assert.Equal((ProblemId.ValueUnreadable, 2, told), (problem.Id, problem.Line, problem.Sentence));
        Assert.Empty(reading.Controllers);
        Assert.Equal(ReadAs.Unread, reading.Lines[1].ReadAs);
    }

    [Theory]
    [InlineData("Eye   Word  Note", "RowIncomplete", "The header of the block 't' has no column 'Gives'.")]
    [InlineData("Eye   Word  Gives  Notes", "RowIncomplete", "The header of the block 't' has no column 'Note'.")]
    [InlineData("Eye   Word  Gives  Note  My Hue  x", "ValueUnreadable", "The header of the block 't' holds 'My Hue', which is none of its columns.")]
    [InlineData("Eye   Word  Gives  Note  Word", "ValueUnreadable", "The header of the block 't' has the column 'Word' more than once.")]
    public void A_header_that_is_not_as_the_dialect_says_gives_no_row(string header, string id, string told)
    {
        Reading reading = Read(Columns, $"{header}\n4     word  4.2 W  x\n");
        Assert.Equal([(id, 1, told), ("ValueUnreadable", 2, "No header gives the places of the columns for '4     word  4.2 W  x', in the block 't'.")],
            reading.Problems.Select(problem => (problem.Id.ToString(), problem.Line!.Value, problem.Sentence)));
        Assert.Empty(reading.Controllers);
    }

    // 24 characters are as wide as the screen only once it said so; and no longer once it said that it has no edge, or in another file.
    [Theory]
    [InlineData("screen 24\n", "1/4 and so it goes on and on")]
    [InlineData("screen 30\nscreen 24\n", "1/4 and so it goes on and on")]
    [InlineData("", "1/4 and so it goes on")]
    [InlineData("screen 24\nscreen without edge\n", "1/4 and so it goes on")]
    [InlineData("screen 25\n", "1/4 and so it goes on")]
    public void A_line_is_broken_at_the_width_that_the_console_said(string said, string read)
    {
        Dialect dialect = OnScreens();
        Reading reading = Read(dialect, said + "eyes of 1\neye 4 and so it goes on \nand on\nend\n");
        Assert.Equal([read], reading.Controllers[0].Ports.Select(port => $"{port.Unit}/{port.Name} {port.Description}"));
        Assert.Equal(read.EndsWith("and on", StringComparison.Ordinal) ? [] : [ProblemId.LineUnread], reading.Problems.Where(problem => problem.Id != ProblemId.RowIncomplete).Select(problem => problem.Id));
    }

    [Fact]
    public void What_one_file_says_of_the_width_holds_for_no_other()
    {
        Dialect dialect = OnScreens();
        CaptureText files = CaptureText.Together([CaptureText.FromText("screen 24\neyes of 1\neye 3 and so it goes on \nand on\nend\n", "a"), CaptureText.FromText("eyes of 1\neye 4 and so it goes on \nand on\nend\n", "b")]);
        Assert.Equal(
            ["3 and so it goes on and on", "4 and so it goes on"], CaptureReader.Read(dialect, files, new ReadingContext()).Controllers[0].Ports.Select(port => $"{port.Name} {port.Description}"));
    }

    [Fact]
    public void The_places_are_taken_from_each_header_anew() =>
        Assert.Equal(["1/4 word|4.2|x", "1/5 word|8|y"], Ports(Columns, $"{Head}\n4     word         4.2 W  x\n\nEye  Note  Word  Gives\n5    y     word    8 W\n"));

    [Fact]
    public void A_prompt_or_another_beginning_is_no_row_of_columns()
    {
        Reading reading = Read(Columns, $"{Head}\n4     word         4.2 W  x\nbox awaits; \n{Head}\n5     word         4.2 W  x\nbox awaits; recite all of it\n");
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal([ReadAs.Read, ReadAs.Read, ReadAs.Prompt, ReadAs.Read, ReadAs.Read, ReadAs.Prompt], reading.Lines.Select(line => line.ReadAs));
    }

    [Fact]
    public void A_longer_word_of_the_header_is_found_before_one_within_it()
    {
        Dialect dialect = Of("""{ "name": "t", "of": "port", "begins": ["Eye .*"], "fixed": { "Unit": "1" }, "columns": { "Power": "LimitWatts", "Eye": "Port", "Power now": "DrawWatts" } }""");
        Reading reading = Read(dialect, "Eye  Power now  Power\n1    4 W        30 W\n");
        Assert.Equal((4m, 30m), (reading.Controllers[0].Ports[0].DrawWatts, reading.Controllers[0].Ports[0].LimitWatts));
    }

    [Fact]
    public void Lines_as_wide_as_the_screen_go_on_in_the_next()
    {
        Reading reading = Read(Wrapped, "eyes of a\n====================\neye 1 lamp by the st\n* 02:14\nairs to the old quay\n side\neye 2 exactly twenty\n\neye 3 radio\nend\n");
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(["a/1 ||lamp by the stairs to the old quay side", "a/2 ||exactly twenty", "a/3 ||radio"], Ports(reading));
        Assert.Equal(
            ["1 Read t, beginning a", "2 Ignored t, ruler ", "3 Read t, row 1 port a/1", "4 Ignored bell ", "5 Read t, row 1 ", "6 Read t, row 1 ", "7 Read t, row 1 port a/2", "8 Blank  ", "9 Read t, row 1 port a/3", "10 Read t, end "],
            reading.Lines.Select(line => $"{line.Line} {line.ReadAs} {line.Rule} {(line.Fields.StartsWith("Unit", StringComparison.Ordinal) ? line.Fields[5..] : line.Record)}"));
    }

    [Fact]
    public void A_header_is_joined_as_well() =>
        Assert.Equal(["b/1 ||x"], Ports(Wrapped, "a long head of the e\nyes of b\neye 1 x\nend\n"));

    [Fact]
    public void An_end_behind_a_line_as_wide_as_the_screen_is_the_end() =>
        Assert.Equal(["a/2 ||exactly twenty"], Ports(Wrapped, "eyes of a\neye 2 exactly twenty\nend\n"));

    [Theory]
    [InlineData("eyes of a\neye 1 x\neye 2 lamp by the st\n")]
    [InlineData("eyes of a\neye 1 x\neye 2 lamp by the st\nairs to the old quays\b")]
    public void A_text_that_stops_behind_a_line_as_wide_as_the_screen_is_cut(string text)
    {
        Reading reading = Read(Wrapped, text);
        Problem problem = Assert.Single(reading.Problems);
        Assert.Equal((ProblemId.RowIncomplete, 3, "The text stops in this line, before the end of the block 't'."), (problem.Id, problem.Line, problem.Sentence));
        Assert.Equal(["a/1 ||x"], Ports(reading));
    }

    [Fact]
    public void A_joined_line_that_nobody_reads_is_told_with_its_first_line()
    {
        Reading reading = Read(Wrapped, "eyes of a\nwhat is this that st\nands here\nend\n");
        Assert.Equal(["LineUnread 2 -: No rule of the dialect 'forms' reads this line in the block 't': 'what is this that stands here'. Add a row for it to the dialect, or name it under 'ignore'."], Told.Of(reading.Problems));
        Assert.Equal([ReadAs.Read, ReadAs.Unread, ReadAs.Unread, ReadAs.Read], reading.Lines.Select(line => line.ReadAs));
    }

    [Fact]
    public void Endless_lines_as_wide_as_the_screen_come_to_an_end()
    {
        string wide = string.Concat(Enumerable.Repeat(new string('x', 20) + "\n", 20_000));
        Assert.All(Read(Wrapped, wide + "eyes of a\n" + wide + "end\n").Problems, problem => Assert.Contains(problem.Id, (ProblemId[])[ProblemId.LineUnread, ProblemId.RowIncomplete]));
    }

    [Fact]
    public void Json_fills_properties_by_path() =>
        Assert.Equal(["1/3 |4.2|x", "1/4 |30|"], Ports(Tree, """{ "deck": 1, "eyes": [ { "n": 3, "most": 4.2, "note": "x" }, { "n": "4", "most": "30 W", "note": null } ] }""" + "\n"));

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
    public void Json_that_is_not_as_the_dialect_says_is_told(string json, string told) => Assert.Equal([told], Told.Of(Read(Tree, json + "\n").Problems));

    [Fact]
    public void A_line_of_json_in_the_middle_is_told_by_its_own_number() =>
        Assert.Equal([4], Read(Tree, "* bell\n{ \"deck\": 1,\n* bell\n \"eyes\": [ { \"n\": 3 'x' } ] }\n").Problems.Select(problem => problem.Line!.Value));

    [Fact]
    public void An_answer_that_is_too_long_is_told_and_not_read()
    {
        string row = "{ \"n\": 3, \"most\": 4 },\n";
        string json = "{ \"deck\": 1, \"eyes\": [\n" + string.Concat(Enumerable.Repeat(row, (4 * 1024 * 1024 / row.Length) + 1)) + "{ \"n\": 3, \"most\": 4 } ] }\n";
        Assert.Equal(["AnswerTooLong 1 -: The JSON that begins here has more than 4194304 characters. Ask the device for less at a time, such as for one unit."], Told.Of(Read(Tree, json).Problems));
    }

    [Fact]
    public void Large_and_deep_answers_come_to_an_end()
    {
        string many = "{ \"deck\": 1, \"eyes\": [\n" + string.Join(",\n", Enumerable.Range(1, 20_000).Select(n => string.Create(CultureInfo.InvariantCulture, $"{{ \"n\": {n}, \"most\": 4, \"hue\": [{n}, 1] }}"))) + " ] }\n";
        Reading reading = Read(Tree, many);
        Assert.Equal(20_000, reading.Controllers[0].Ports.Count);
        Assert.Equal("LineUnread 2 -: No path of the dialect reads $.eyes[*].hue[*], which is '1' here, nor 39999 more like it. Add it to the 'fields' of a block, or to the 'ignore' of its 'json'.", Assert.Single(Told.Of(reading.Problems)));

        string named = "{ " + string.Join(",\n", Enumerable.Range(1, 20_000).Select(n => string.Create(CultureInfo.InvariantCulture, $"\"x{n}\": 1"))) + ", \"eyes\": [] }\n";
        Assert.Equal(201, Read(Tree, named).Problems.Count);

        string deep = new string('[', 60_000) + "\n" + new string(']', 60_000) + "\n";
        Assert.Equal(ProblemId.JsonSyntax, Assert.Single(Read(Tree, deep).Problems).Id);
    }

    [Fact]
    public void A_command_that_was_typed_ends_an_answer_that_was_cut()
    {
        Reading reading = Read(Tree, "{ \"deck\": 1, \"eyes\": [\nbox awaits; recite all\n{ \"deck\": 1, \"eyes\": [ { \"n\": 3, \"most\": 4 } ] }\n");
        Assert.Equal(ProblemId.BlockNotEnded, Assert.Single(reading.Problems).Id);
        Assert.Equal(["1/3 |4|"], Ports(reading));
    }

    [Theory]
    [InlineData("\"hue\": null", "\"hue\": \"Hue\"", "PropertyUnknown 42 blocks[3].columns.hue: 'Hue' is no property that this block can fill; the nearest is 'Unit'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour.")]
    [InlineData("\"property\": \"Priority\"", "\"property\": \"Prioritty\"", "PropertyUnknown 42 blocks[3].columns.rank.property: 'Prioritty' is no property that this block can fill; the nearest is 'Priority'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour.")]
    [InlineData("\"hue\": null", "\"hue\": \"Port\"", "JsonBadValue 42 blocks[3].columns.hue: Two columns fill Port. Let one column fill it, and give the other null.")]
    [InlineData("\"hue\": null", "\" hue\": null", "JsonBadValue 42 blocks[3].columns[' hue']: ' hue' cannot be the words of a column, for spaces stand around them. Write the words as the header prints them, without the spaces around.")]
    [InlineData("\"align\": \"right\"", "\"align\": \"rigth\"", "JsonBadValue 42 blocks[3].columns.rank.align: Values stand left or right beneath their header, and 'rigth' is neither. Write left or right.")]
    [InlineData("\"wrap\": 60", "\"wrap\": 5000", "JsonBadValue 42 blocks[3].wrap: Found the number 5000 where a whole number of 20 to 4096 was expected. Write a number within these bounds.")]
    [InlineData("\"wrap\": 60", "\"rows\": [\"x\"]", "JsonBadValue 42 blocks[3].rows: The block 'lids' cuts its rows at columns, and 'rows' reads them otherwise. Remove 'rows', or 'columns'.")]
    [InlineData("\"LimitWatts\": \"most\"", "\"LimtWatts\": \"most\"", "PropertyUnknown 42 blocks[4].json.fields.LimtWatts: 'LimtWatts' is no property that this block can fill; the nearest is 'LimitWatts'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour.")]
    [InlineData("\"most\" }", "\"[?(@.most > 1)]\" }", "PatternInvalid 42 blocks[4].json.fields.LimitWatts: '[?(@.most > 1)]' is no path that is taken here. Begin with $ (the root) or a member, and go on with .name, ['any name'], [0], [*] or .*; filters, scripts, slices and '..' are refused.")]
    [InlineData("\"$.decks[*]\", \"eyes.*\"", "\"$..decks[*]\", \"eyes.*\"", "PatternInvalid 42 blocks[4].json.rows[0]: '$..decks[*]' is no path that is taken here. Begin with $ (the root) or a member, and go on with .name, ['any name'], [0], [*] or .*; filters, scripts, slices and '..' are refused.")]
    [InlineData("\"$.decks[*]\", \"eyes.*\"", "\"decks[*]\", \"eyes.*\"", "JsonBadValue 42 blocks[4].json.rows[0]: The path 'decks[*]' does not begin at the root. Begin it with $.")]
    [InlineData("\"eyes.*\"", "\"$.eyes.*\"", "JsonBadValue 42 blocks[4].json.rows[1]: The path '$.eyes.*' begins at the root, and the level above hands its row down. Write it without $, from the row of the level above.")]
    [InlineData("\"path\": \"deck\", \"level\": 1", "\"path\": \"deck\", \"level\": 3", "JsonBadValue 42 blocks[4].json.fields.Unit.level: Found the number 3 where a whole number of 1 to 2 was expected. Write a number within these bounds.")]
    [InlineData("\"level\": 2, \"memberName\"", "\"path\": \"n\", \"memberName\"", "JsonBadValue 42 blocks[4].json.fields.Port.path: The name of a row's member is no value that a path finds. Remove 'path' or 'memberName'.")]
    [InlineData("\"of\": \"port\", \"json\"", "\"of\": \"port\", \"begins\": [\"x\"], \"json\"", "JsonBadValue 42 blocks[4].begins: The block 'tree' reads JSON, and 'begins' is about lines. Remove 'begins', or 'json'.")]
    public void A_mistake_is_told_with_its_line_and_path(string right, string wrong, string told) =>
        Assert.Equal([told], Told.Of(DialectFile.Parse(SampleDialect.With(right, wrong), "a.dialect.json").Problems));

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

    // The rest of a line may begin with a blank, may be broken again, and belongs to a prompt as well; one behind nothing is unread.
    [Fact]
    public void A_line_that_is_marked_as_going_on_is_one_with_the_line_before()
    {
        Dialect dialect = Marked("""{ "name": "t", "of": "port", "begins": ["eyes of (?<Unit>\\w+)"], "ends": ["end"], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] }""");
        Reading reading = Read(dialect, "~> astray\nbox awaits; recite \n~> all\neyes of 1\neye 4 and so it goes\n~>  on \n~> and on\neye 5 x\nen\n~> d\n");
        Assert.Equal(["4 and so it goes on and on", "5 x"], reading.Controllers[0].Ports.Select(port => $"{port.Name} {port.Description}"));
        Assert.Equal(
            ["1 Unread ", "2 Prompt recite all", "3 Prompt recite all", "4 Read t, beginning", "5 Read t, row 1", "6 Read t, row 1", "7 Read t, row 1", "8 Read t, row 1", "9 Read t, end", "10 Read t, end"],
            reading.Lines.Select(line => $"{line.Line} {line.ReadAs} {line.Rule}"));
        Assert.Equal([(ProblemId.LineUnread, 1)], reading.Problems.Where(problem => problem.Id == ProblemId.LineUnread).Select(problem => (problem.Id, problem.Line!.Value)));
    }

    [Theory]
    [InlineData("{ \"eyes\": [ { \"n\": 3, \"no\n~> te\": \"a b\n~>  c\" } ] }\n", "1/3 a b c")]
    [InlineData("{ \"eyes\": [ { \"n\": 3, \"no\n~> te\": \"a\" },\n { \"n\": 4 'x' } ] }\n", "JsonSyntax 3")]
    public void Json_goes_on_behind_a_mark_and_its_mistakes_are_told_by_the_line(string json, string told)
    {
        Dialect dialect = Marked("""{ "name": "t", "of": "port", "fixed": { "Unit": "1" }, "json": { "rows": "$.eyes[*]", "fields": { "Port": "n", "Description": "note" } } }""");
        Reading reading = Read(dialect, json);
        Assert.Equal(
            told,
            reading.Controllers.SelectMany(one => one.Ports).Select(port => $"1/{port.Name} {port.Description}").Concat(reading.Problems.Where(problem => problem.Id == ProblemId.JsonSyntax).Select(problem => $"{problem.Id} {problem.Line}")).First());
    }

    [Fact]
    public void What_is_not_there_may_have_a_meaning_and_a_null_on_the_way_to_it_is_read()
    {
        Dialect dialect = SampleDialect.Of("""
            { "name": "t", "console": { "prompts": ["^box awaits; $"] }, "values": { "Condition": { "words": { "gone": "Absent", "calm": "Healthy" } } },
              "blocks": [ { "name": "t", "of": "controller", "json": { "rows": "$.decks.*", "fields": { "Unit": { "memberName": true }, "Condition": { "path": "heart.mood.now", "otherwise": "gone" }, "Model": "heart.kind" } } } ] }
            """);
        Reading reading = Read(dialect, """{ "decks": { "a": { "heart": { "mood": { "now": "calm" }, "kind": "k" } }, "b": { "heart": null }, "c": { "heart": { "mood": null, "kind": "k" } }, "d": {}, "e": { "heart": { "mood": {}, "kind": "k" } } } }""" + "\n");
        Assert.Equal(["a Healthy k", "b Absent ", "c Absent k", "d Absent ", "e Unknown k"], reading.Controllers.Select(one => $"{one.Unit} {one.Condition} {one.Model}"));
        Assert.Equal(["LineUnread: No path of the dialect reads $.decks.d, which is an empty object here.", "LineUnread: No path of the dialect reads $.decks.e.heart.mood, which is an empty object here."], reading.Problems.Select(problem => $"{problem.Id}: {problem.Sentence}"));
    }

    // Asked about unit B, or beneath a header of B, the device calls its ports 2:17.
    [Theory]
    [InlineData("eyes of B\neye 2:17\nend\n", "B/17", "")]
    [InlineData("eyes of B\neye 3:17\nend\n", "", "The port's name '3:17' says Unit '3', and 'B' stands beside it.")]
    public void A_unit_that_has_two_names_is_one_where_a_word_says_so(string text, string read, string told)
    {
        Dialect dialect = SampleDialect.Of("""
            { "name": "t", "console": { "prompts": ["^box awaits; $"] }, "portNames": ["(?<Unit>\\d+):(?<Port>\\d+)"], "values": { "Unit": { "words": { "1": "A", "2": "B", "3": "C" } } },
              "blocks": [ { "name": "t", "of": "port", "begins": ["eyes of (?<Unit>\\w+)"], "ends": ["end"], "rows": ["eye (?<PortName>\\S+)"] } ] }
            """);
        Reading reading = Read(dialect, text);
        Assert.Equal(read, string.Concat(reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.Unit}/{port.Name}")));
        Assert.Equal(told, string.Concat(reading.Problems.Where(problem => problem.Id == ProblemId.ReadingsDisagree).Select(problem => problem.Sentence)));
    }

    [Fact]
    public void A_width_that_nobody_says_is_told() =>
        Assert.Equal(
            ["JsonMissingKey 1 blocks: The block 't' is broken at the width of the screen, and nothing says how wide it is. Add 'width' to 'console', or write the width as 'wrap'."],
            Told.Of(DialectFile.Parse("""{ "name": "a", "console": { "prompts": ["> $"] }, "blocks": [ { "name": "t", "of": "port", "wrap": true, "begins": ["x"], "rows": ["(?<Port>1)"] } ] }""", "a").Problems));

    private static Dialect Marked(string block) => SampleDialect.Of($$"""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"], "continued": "^~> " }, "ask": { "ports": "recite all" }, "blocks": [ {{block}} ] }
        """);

    private static Dialect OnScreens() => SampleDialect.Of("""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"], "width": "^screen (?:without edge|(?<Width>\\d+))$" },
          "ignore": [ { "name": "screen", "pattern": "screen .*" } ],
          "blocks": [ { "name": "t", "of": "port", "wrap": true, "begins": ["eyes of (?<Unit>\\w+)"], "ends": ["end"], "rows": ["eye (?<Port>\\d+) (?<Description>.*)"] } ] }
        """);

    private static Dialect Of(string block) => SampleDialect.Of($$"""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"] }, "ask": { "ports": "recite all" }, "ignore": [ { "name": "bell", "pattern": "\\* .*" } ],
          "values": { "LimitWatts": { "unit": "W" } }, "blocks": [ {{block}} ] }
        """);

    private static Reading Read(Dialect dialect, string text) => CaptureReader.Read(dialect, CaptureText.FromText(text, "capture"), new ReadingContext { KeepLines = true });

    private static IEnumerable<string> Ports(Dialect dialect, string text)
    {
        Reading reading = Read(dialect, text);
        Assert.Empty(Told.Of(reading.Problems));
        return Ports(reading);
    }

    private static IEnumerable<string> Ports(Reading reading) => reading.Controllers.SelectMany(one => one.Ports)
        .Select(port => FormattableString.Invariant($"{port.Unit}/{port.Name} {port.Neighbour}|{port.LimitWatts:0.###}|{port.Description}"));
}
