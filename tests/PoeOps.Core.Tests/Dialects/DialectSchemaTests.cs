using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

public class DialectSchemaTests
{
    private static readonly SchemaCheck Schema = new("dialect");

    public static TheoryData<string> Shipped =>
        [.. Directory.EnumerateFiles(Repository.Path("module", "dialects"), "*.dialect.json").Select(file => Path.GetFileName(file))];

    [Fact]
    public void Every_key_is_described_and_no_other_is_taken() => Assert.Empty(Schema.Gaps());

    [Theory]
    [InlineData("", "")]
    [InlineData("console", "console")]
    [InlineData("exchange", "console.logIn[0]")]
    [InlineData("exchange", "console.pagers[0]")]
    [InlineData("exchange", "refresh.asks[0]")]
    [InlineData("ask", "ask")]
    [InlineData("command", "ask.ports[0]")]
    [InlineData("variant", "ask.neighbours[0].variants[0]")]
    [InlineData("when", "ask.neighbours[0].variants[0].when")]
    [InlineData("block", "blocks[2]")]
    [InlineData("row", "blocks[2].rows[0]")]
    [InlineData("column", "blocks[3].columns.rank")]
    [InlineData("json", "blocks[4].json")]
    [InlineData("jsonField", "blocks[4].json.fields.Unit")]
    [InlineData("ignore", "ignore[0]")]
    [InlineData("ignore", "blocks[1].ignore[0]")]
    [InlineData("values", "values")]
    [InlineData("value", "values.Condition")]
    [InlineData("watts", "values.DrawWatts")]
    [InlineData("versions", "versions")]
    [InlineData("version", "versions.firmware")]
    [InlineData("spelling", "versions.firmware.spellings[0]")]
    [InlineData("refresh", "refresh")]
    [InlineData("refreshCommands", "refresh.commands")]
    [InlineData("stage", "refresh.stages[0]")]
    [InlineData("timeStamp", "refresh.timeStamp")]
    [InlineData("failure", "refresh.fails[0]")]
    [InlineData("example", "examples[0]")]
    [InlineData("fields", "examples[0].fields")]
    public void The_schema_and_the_reader_know_the_same_keys(string definition, string path) =>
        Assert.Equal(KnownKeys.Of(SampleDialect.Text, Problems)[path], Schema.Keys[definition]);

    [Fact]
    public void The_settings_that_are_put_back_are_those_that_the_reader_takes()
    {
        const string Given = "\"Priority\": [\"rank {Unit} {Port} {Value}\"], \"AdminEnabled=true\": [\"open {Unit} {Port}\"], \"AdminEnabled=false\": [\"shut {Unit} {Port}\"]";
        Assert.All(Schema.Keys["putBack"], key => Assert.Empty(Told.Of(Problems(SampleDialect.With(Given, $"\"{key}\": [\"x\"]")))));
    }

    [Fact]
    public void No_object_of_the_schema_is_left_out_above() => Assert.Equal(27, Schema.Keys.Count);

    [Fact]
    public void The_sample_fits_both()
    {
        Assert.True(Schema.Takes(SampleDialect.Text));
        Assert.Empty(Told.Of(Problems(SampleDialect.Text)));
    }

    [Fact]
    public void Dialects_are_shipped() => Assert.NotEmpty(Shipped);

    [Theory]
    [MemberData(nameof(Shipped))]
    public void A_shipped_dialect_fits_both(string file)
    {
        string path = Repository.Path("module", "dialects", file);
        Assert.True(Schema.Takes(File.ReadAllText(path)));
        Assert.Empty(Told.Of(DialectFile.Read(path).Problems));
    }

    [Theory]
    [InlineData("\"name\": \"pintle\"", "\"name\": \"\"")]
    [InlineData("\"name\": \"pintle\",", "")]
    [InlineData("\"title\": \"Pintle boxes (invented)\"", "\"titel\": \"Pintle\"")]
    [InlineData("[\"^[a-z0-9-]+ awaits; $\"]", "[]")]
    [InlineData("\"lineEnd\": \"cr\"", "\"lineEnd\": \"lfcr\"")]
    [InlineData("\"lineBreak\": \"lf\"", "\"lineBreak\": \"crlf\"")]
    [InlineData("\"keepAliveSeconds\": 90", "\"keepAliveSeconds\": 0.5")]
    [InlineData("\"keepAlive\": \"\", ", "")]
    [InlineData("\"each\": \"unit\"", "\"each\": \"ports\"")]
    [InlineData("\"each\": \"unit\"", "\"each\": \"unit\", \"variants\": [ { \"send\": \"recite\" } ]")]
    [InlineData("\"send\": \"recite eyes {Unit}\", ", "\"variants\": [], ")]
    [InlineData("\"send\": \"recite eyes {Unit}\", ", "")]
    [InlineData("\"model\": \"^P\"", "\"hull\": \"^P\"")]
    [InlineData("\"of\": \"controller\"", "\"of\": \"units\"")]
    [InlineData("\"begins\": [\"eyes of deck (?<Unit>\\\\d+)\"]", "\"begins\": []")]
    [InlineData("\"oneRecord\": true", "\"oneRecord\": \"yes\"")]
    [InlineData("\"fixed\": { \"AdminEnabled\": \"true\" }", "\"fixed\": { \"AdminEnabled\": true }")]
    [InlineData("\"lines\": [\"eye (?<Port>\\\\d+) is (?<Status>\\\\S+)\", \" gives (?<DrawWatts>.+)\"]", "\"lines\": []")]
    [InlineData("\"wrap\": 60", "\"wrap\": 19")]
    [InlineData("\"wrap\": 60", "\"wrap\": \"60\"")]
    [InlineData("\"width\": \"^screen", "\"widths\": \"^screen")]
    [InlineData("\"align\": \"right\"", "\"align\": \"middle\"")]
    [InlineData("\"align\": \"right\"", "\"aline\": \"right\"")]
    [InlineData("\"hue\": null", "\"hue\": 1")]
    [InlineData("\"rows\": [\"$.decks[*]\", \"eyes.*\"], ", "")]
    [InlineData("\"rows\": [\"$.decks[*]\", \"eyes.*\"]", "\"rows\": []")]
    [InlineData("\"LimitWatts\": \"most\"", "\"LimitWatts\": 1")]
    [InlineData("\"level\": 1", "\"level\": 0")]
    [InlineData("\"memberName\": true", "\"memberName\": \"yes\"")]
    [InlineData("\"ignore\": \"$.decks[*].hue\"", "\"ignore\": \"\"")]
    [InlineData("\"fix\": \"after\"", "\"fix\": \"before\"")]
    [InlineData("\"fix\": \"after\"", "\"fix\": [\"a\"]")]
    [InlineData("\"unit\": \"mW\"", "\"unit\": \"MW\"")]
    [InlineData("\"percentOf\": \"BudgetWatts\"", "\"percentOf\": \"DrawWatts\"")]
    [InlineData("[\",\", \"unit\"]", "[\",\", \"W\"]")]
    [InlineData("\"decimalMark\": \",\"", "\"decimalMark\": \"'\"")]
    [InlineData("\"DrawWatts\": { \"unit\"", "\"Draw\": { \"unit\"")]
    [InlineData("\"pollSeconds\": 5", "\"pollSeconds\": 0")]
    [InlineData("\"stage\": \"Transfer\"", "\"stage\": \"Verify\"")]
    [InlineData("\"deadlineSeconds\": 300", "\"deadlineSeconds\": \"300\"")]
    [InlineData("\"AdminEnabled=true\"", "\"AdminEnabled=on\"")]
    [InlineData("\"Priority\": [\"rank", "\"Rank\": [\"rank")]
    [InlineData("[\"open {Unit} {Port}\"]", "[]")]
    [InlineData("\"pattern\": \"^<(?<Time>[^>]+)> \"", "\"patern\": \"^<(?<Time>[^>]+)> \"")]
    [InlineData("\"because\": \"the image is damaged\"", "\"why\": \"the image is damaged\"")]
    [InlineData("\"tftp\": \"renew {Unit} {Server} {ServerPort} {File}\", \"scp\"", "\"ftp\"")]
    public void What_the_schema_refuses_the_reader_refuses_as_well(string right, string wrong)
    {
        string text = SampleDialect.With(right, wrong);
        Assert.False(Schema.Takes(text));
        Assert.NotEmpty(Problems(text));
    }

    private static IReadOnlyList<Problem> Problems(string text) => DialectFile.Parse(text, "a.dialect.json").Problems;
}
