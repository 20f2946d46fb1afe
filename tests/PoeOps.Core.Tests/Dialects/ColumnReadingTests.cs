using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>Rows that are cut at columns.</summary>
public class ColumnReadingTests
{
    private const string Head = "Eye   Word         Gives  Note";

    private static readonly Dialect Columns = FormsDialect.Of("""
        { "name": "t", "of": "port", "begins": ["Eye +.*"], "fixed": { "Unit": "1" },
          "columns": { "Eye": "Port", "Word": "Neighbour", "Gives": { "property": "LimitWatts", "align": "right" }, "Note": "Description" } }
        """);

    [Theory]
    [InlineData("4     two words    4.2 W  a note of words", "1/4 two words|4.2|a note of words")]
    [InlineData("4", "1/4 ||")]
    [InlineData("4                  4.2 W", "1/4 |4.2|")]
    [InlineData("4     two words", "1/4 two words||")]
    [InlineData("4     a long words  12 W  x", "1/4 a long words|12|x")]
    [InlineData("4     wordwordword   12W", "1/4 wordwordword|12|")]
    [InlineData("4     wordword   4200 mW", "1/4 wordword|4.2|")]
    public void A_row_is_cut_where_the_words_of_its_header_stand(string row, string read) => Assert.Equal([read], FormsDialect.Ports(Columns, $"{Head}\n{row}\n"));

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
        Reading reading = FormsDialect.Read(Columns, $"{Head}\n{row}\n");
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
        Reading reading = FormsDialect.Read(Columns, $"{header}\n4     word  4.2 W  x\n");
        Assert.Equal([(id, 1, told), ("ValueUnreadable", 2, "No header gives the places of the columns for '4     word  4.2 W  x', in the block 't'.")],
            reading.Problems.Select(problem => (problem.Id.ToString(), problem.Line!.Value, problem.Sentence)));
        Assert.Empty(reading.Controllers);
    }

    [Fact]
    public void The_places_are_taken_from_each_header_anew() =>
        Assert.Equal(["1/4 word|4.2|x", "1/5 word|8|y"], FormsDialect.Ports(Columns, $"{Head}\n4     word         4.2 W  x\n\nEye  Note  Word  Gives\n5    y     word    8 W\n"));

    [Fact]
    public void A_prompt_or_another_beginning_is_no_row_of_columns()
    {
        Reading reading = FormsDialect.Read(Columns, $"{Head}\n4     word         4.2 W  x\nbox awaits; \n{Head}\n5     word         4.2 W  x\nbox awaits; recite all of it\n");
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal([ReadAs.Read, ReadAs.Read, ReadAs.Prompt, ReadAs.Read, ReadAs.Read, ReadAs.Prompt], reading.Lines.Select(line => line.ReadAs));
    }

    [Fact]
    public void A_longer_word_of_the_header_is_found_before_one_within_it()
    {
        Dialect dialect = FormsDialect.Of("""{ "name": "t", "of": "port", "begins": ["Eye .*"], "fixed": { "Unit": "1" }, "columns": { "Power": "LimitWatts", "Eye": "Port", "Power now": "DrawWatts" } }""");
        Reading reading = FormsDialect.Read(dialect, "Eye  Power now  Power\n1    4 W        30 W\n");
        Assert.Equal((4m, 30m), (reading.Controllers[0].Ports[0].DrawWatts, reading.Controllers[0].Ports[0].LimitWatts));
    }
}
