using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A dialect that says only what differs from another.</summary>
public sealed class DialectExtendsTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public DialectExtendsTests() => _folder.Write("pintle.dialect.json", SampleDialect.Text);

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("pintle")]
    [InlineData("PINTLE")]
    [InlineData("pintle.dialect.json")]
    [InlineData("../{0}/pintle.dialect.json")]
    public void What_is_not_said_comes_from_the_one_below(string named)
    {
        Dialect dialect = Read($$"""{ "name": "pintle two", "extends": "{{named.Replace("{0}", Path.GetFileName(_folder.FullPath), StringComparison.Ordinal)}}" }""");
        Dialect below = DialectFile.Read(_folder.Path("pintle.dialect.json")).Dialect!;
        Assert.Equal(("pintle two", named.Contains('{', StringComparison.Ordinal) ? dialect.Extends : named, below.Title), (dialect.Name, dialect.Extends, dialect.Title));
        Assert.Equal(below.Blocks.Select(block => block.Name), dialect.Blocks.Select(block => block.Name));
        Assert.Equal(below.Asks.Keys, dialect.Asks.Keys);
        Assert.Equal(_folder.Path("two.dialect.json"), dialect.SourcePath);
    }

    [Fact]
    public void Objects_are_laid_over_by_key_named_lists_by_name_and_others_whole()
    {
        Dialect dialect = Read("""
            { "name": "two", "extends": "pintle", "title": null,
              "console": { "prompts": ["^two> $"], "goodBye": null },
              "blocks": [ { "name": "eyes", "ends": ["== eyes"] }, { "name": "more", "of": "switch", "begins": ["made by (?<Host>.+)"], "oneRecord": true } ],
              "ignore": [ { "name": "bell", "pattern": "! .*" }, { "name": "tide", "pattern": "~ .*" } ],
              "values": { "Condition": { "words": { "glad": "Healthy", "sore": null } } },
              "blanks": ["none"] }
            """);
        Assert.Equal(["^two> $"], dialect.Console.Prompts.Select(one => one.ToString()));
        Assert.Equal((null, "command me", ""), (dialect.Console.GoodBye, dialect.Console.Elevate, dialect.Title));
        Assert.Equal(["edition", "feeds", "eyes", "lids", "tree", "more"], dialect.Blocks.Select(block => block.Name));
        Assert.Contains("== eyes", Assert.Single(dialect.Blocks[2].Ends).ToString(), StringComparison.Ordinal);
        Assert.Contains("eyes of deck", Assert.Single(dialect.Blocks[2].Begins).ToString(), StringComparison.Ordinal);
        Assert.Equal(["bell", "tide"], dialect.Ignore.Select(rule => rule.Name));
        Assert.Equal([true, false], dialect.Ignore.Select(rule => rule.Pattern.IsMatch("! one")));
        Assert.Equal(["calm Healthy", "glad Healthy"], dialect.Values["Condition"].Words.Select(word => $"{word.Pattern.ToString()[4..^2]} {word.Means}"));
        Assert.Equal(["", "none"], dialect.Blanks);
    }

    [Fact]
    public void Three_may_stand_on_each_other()
    {
        _folder.Write("two.dialect.json", """{ "name": "two", "extends": "pintle", "title": "second" }""");
        Dialect dialect = Read("""{ "name": "three", "extends": "two", "encoding": "iso-8859-1" }""", "three.dialect.json");
        Assert.Equal(("three", "second", "iso-8859-1", 5), (dialect.Name, dialect.Title, dialect.Encoding, dialect.Blocks.Count));
    }

    [Fact]
    public void A_mistake_is_told_with_the_file_line_and_path_where_it_was_written()
    {
        IReadOnlyList<Problem> problems = Problems("{ \"name\": \"two\", \"extends\": \"pintle\",\n \"blocks\": [\n { \"name\": \"eyes\", \"endz\": [\"x\"] } ],\n \"console\": { \"wak\": \"\" } }");
        Assert.Equal(
            ["two.dialect.json 4 console.wak JsonUnknownKey", "two.dialect.json 3 blocks[0].endz JsonUnknownKey"],
            problems.Select(problem => $"{Path.GetFileName(problem.File)} {problem.Line} {problem.Path} {problem.Id}"));

        _folder.Write("pintle.dialect.json", SampleDialect.Text.Replace("\"-- eyes\"", "\"-- (eyes\"", StringComparison.Ordinal));
        Problem below = Assert.Single(Problems("{ \"name\": \"two\", \"extends\": \"pintle\" }"));
        Assert.Equal(("pintle.dialect.json", ProblemId.PatternInvalid, "blocks[2].ends[0]"), (Path.GetFileName(below.File), below.Id, below.Path));
    }

    [Theory]
    [InlineData("pintel", "DialectUnknown 1 extends: The dialect 'pintel' that it extends was not found; it was looked for in {0}. Correct the name, or write the path of its file, relative to this one.")]
    [InlineData("two.dialect.json", "JsonBadValue 1 extends: The dialect extends itself: two.dialect.json extends two.dialect.json. Let one of them stand alone.")]
    [InlineData("loop", "JsonBadValue 1 extends: The dialect extends itself: two.dialect.json extends loop.dialect.json extends two.dialect.json. Let one of them stand alone.")]
    public void One_that_cannot_be_had_is_told(string named, string told)
    {
        _folder.Write("loop.dialect.json", """{ "name": "loop", "extends": "two" }""");
        Assert.Equal([told.Replace("{0}", _folder.FullPath, StringComparison.Ordinal)], Told.Of(Problems($$"""{ "name": "two", "extends": "{{named}}" }""").Take(1)));
    }

    [Fact]
    public void One_that_is_no_JSON_is_told_with_both_files()
    {
        _folder.Write("pintle.dialect.json", "{ \"name\": ");
        IReadOnlyList<Problem> problems = Problems("""{ "name": "two", "extends": "pintle" }""");
        Assert.Equal([ProblemId.JsonSyntax, ProblemId.DialectUnknown], problems.Select(problem => problem.Id));
        Assert.Equal(["pintle.dialect.json", "two.dialect.json"], problems.Select(problem => Path.GetFileName(problem.File)));
    }

    [Fact]
    public void An_estate_finds_the_one_below_among_its_own_dialects()
    {
        using ScratchFolder other = new();
        other.Write("two.dialect.json", """{ "name": "two", "extends": "pintle" }""");
        Assert.Empty(Told.Of(new DialectShelf([other.FullPath, _folder.FullPath]).Find("two").Problems));
    }

    [Fact]
    public void The_schema_lets_an_extending_dialect_leave_out_what_it_does_not_change()
    {
        SchemaCheck schema = new("dialect");
        Assert.True(schema.Takes("""{ "name": "two", "extends": "pintle", "blocks": [ { "name": "eyes", "ends": ["x"] } ], "console": { "goodBye": "leave" } }"""));
        Assert.False(schema.Takes("""{ "name": "two", "blocks": [ { "name": "eyes", "ends": ["x"] } ], "console": { "goodBye": "leave" } }"""));
    }

    private Dialect Read(string text, string file = "two.dialect.json")
    {
        DialectResult result = DialectFile.Read(_folder.Write(file, text));
        Assert.Empty(Told.Of(result.Problems));
        return result.Dialect!;
    }

    private IReadOnlyList<Problem> Problems(string text)
    {
        DialectResult result = DialectFile.Read(_folder.Write("two.dialect.json", text));
        Assert.Null(result.Dialect);
        return result.Problems;
    }
}
