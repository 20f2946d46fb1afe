using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Mistakes in the forms in which a dialect reads, and ports of a unit of two names.</summary>
public class ReadingFormsTests
{
    [Theory]
    [InlineData("\"hue\": null", "\"hue\": \"Hue\"", "PropertyUnknown 42 blocks[3].columns.hue: 'Hue' is no property that this block can fill; the nearest is 'Unit'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    [InlineData("\"property\": \"Priority\"", "\"property\": \"Prioritty\"", "PropertyUnknown 42 blocks[3].columns.rank.property: 'Prioritty' is no property that this block can fill; the nearest is 'Priority'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    [InlineData("\"hue\": null", "\"hue\": \"Port\"", "JsonBadValue 42 blocks[3].columns.hue: Two columns fill Port. Let one column fill it, and give the other null.")]
    [InlineData("\"hue\": null", "\" hue\": null", "JsonBadValue 42 blocks[3].columns[' hue']: ' hue' cannot be the words of a column, for spaces stand around them. Write the words as the header prints them, without the spaces around.")]
    [InlineData("\"align\": \"right\"", "\"align\": \"rigth\"", "JsonBadValue 42 blocks[3].columns.rank.align: Values stand left or right beneath their header, and 'rigth' is neither. Write left or right.")]
    [InlineData("\"wrap\": 60", "\"wrap\": 5000", "JsonBadValue 42 blocks[3].wrap: Found the number 5000 where a whole number of 20 to 4096 was expected. Write a number within these bounds.")]
    [InlineData("\"wrap\": 60", "\"rows\": [\"x\"]", "JsonBadValue 42 blocks[3].rows: The block 'lids' cuts its rows at columns, and 'rows' reads them otherwise. Remove 'rows', or 'columns'.")]
    [InlineData("\"LimitWatts\": \"most\"", "\"LimtWatts\": \"most\"", "PropertyUnknown 42 blocks[4].json.fields.LimtWatts: 'LimtWatts' is no property that this block can fill; the nearest is 'LimitWatts'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    [InlineData("\"most\" }", "\"[?(@.most > 1)]\" }", "PatternInvalid 42 blocks[4].json.fields.LimitWatts: '[?(@.most > 1)]' is no path that is taken here. Begin with $ (the root) or a member, and go on with .name, ['any name'], [0], [*] or .*; filters, scripts, slices and '..' are refused.")]
    [InlineData("\"$.decks[*]\", \"eyes.*\"", "\"$..decks[*]\", \"eyes.*\"", "PatternInvalid 42 blocks[4].json.rows[0]: '$..decks[*]' is no path that is taken here. Begin with $ (the root) or a member, and go on with .name, ['any name'], [0], [*] or .*; filters, scripts, slices and '..' are refused.")]
    [InlineData("\"$.decks[*]\", \"eyes.*\"", "\"decks[*]\", \"eyes.*\"", "JsonBadValue 42 blocks[4].json.rows[0]: The path 'decks[*]' does not begin at the root. Begin it with $.")]
    [InlineData("\"eyes.*\"", "\"$.eyes.*\"", "JsonBadValue 42 blocks[4].json.rows[1]: The path '$.eyes.*' begins at the root, and the level above hands its row down. Write it without $, from the row of the level above.")]
    [InlineData("\"path\": \"deck\", \"level\": 1", "\"path\": \"deck\", \"level\": 3", "JsonBadValue 42 blocks[4].json.fields.Unit.level: Found the number 3 where a whole number of 1 to 2 was expected. Write a number within these bounds.")]
    [InlineData("\"level\": 2, \"memberName\"", "\"path\": \"n\", \"memberName\"", "JsonBadValue 42 blocks[4].json.fields.Port.path: The name of a row's member is no value that a path finds. Remove 'path' or 'memberName'.")]
    [InlineData("\"of\": \"port\", \"json\"", "\"of\": \"port\", \"begins\": [\"x\"], \"json\"", "JsonBadValue 42 blocks[4].begins: The block 'tree' reads JSON, and 'begins' is about lines. Remove 'begins', or 'json'.")]
    public void A_mistake_is_told_with_its_line_and_path(string right, string wrong, string told) =>
        Assert.Equal([told], Told.Of(DialectFile.Parse(SampleDialect.With(right, wrong), "a.dialect.json").Problems));

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
        Reading reading = FormsDialect.Read(dialect, text);
        Assert.Equal(read, string.Concat(reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.Unit}/{port.Name}")));
        Assert.Equal(told, string.Concat(reading.Problems.Where(problem => problem.Id == ProblemId.ReadingsDisagree).Select(problem => problem.Sentence)));
    }
}
