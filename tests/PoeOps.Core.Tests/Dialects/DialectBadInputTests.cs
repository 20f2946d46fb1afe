using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

public sealed class DialectBadInputTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("\"lineBreak\": \"lf\"", "\"lineBreak\": \"xyz\"", "JsonBadValue 17 console.lineBreak: 'xyz' is no line break. Write lf, which takes CR LF as well, or cr where a carriage return alone ends a line.")]
    [InlineData("\"sessionsFull\": \"^No seat left\"", "\"sessionsFull\": \"^No (seat\"", "PatternInvalid 10 console.sessionsFull: The pattern '^No (seat' is no regular expression: Invalid pattern '^No (seat' at offset 9. Not enough )'s. Write a .NET regular expression; in JSON a backslash is written twice.")]
    [InlineData("\"goodBye\"", "\"goodbye\"", "JsonUnknownKey 16 console.goodbye: The key 'goodbye' is not known here; the nearest is 'goodBye'. The keys known here are prompts, elevatedPrompts, logIn, logInRefused, sessionsFull, elevate, elevateDialogue, pagers, quiet, refused, continued, width, changing, goodBye, lineEnd, lineBreak, wake, keepAlive, keepAliveSeconds.")]
    [InlineData("\"oneRecord\": true", "\"oneRecord\": 1", "JsonWrongType 28 blocks[0].oneRecord: Found the number 1 where true or false was expected. Write true or false there.")]
    [InlineData("\"quiet\": [\"leaves endless\"]", "\"quiet\": [5]", "JsonWrongType 14 console.quiet[0]: Found the number 5 where a text was expected. Write a text there.")]
    [InlineData("\"name\": \"pintle\",", "", "JsonMissingKey 1 -: The key 'name' is missing, and a text was expected in it. Add 'name' to the object that begins in this line.")]
    [InlineData("\"name\": \"pintle\"", "\"name\": \" \"", "JsonBadValue 3 name: The name of the dialect is empty. Give the family a name; the estate refers to it.")]
    [InlineData("\"encoding\": \"utf-8\"", "\"encoding\": \"harbour-7\"", "EncodingUnknown 5 encoding: The encoding 'harbour-7' is not known on this machine. Write utf-8, iso-8859-1, us-ascii or another that .NET knows here.")]
    [InlineData("\"prompts\": [\"^[a-z0-9-]+ awaits; $\"],", "", "JsonMissingKey 6 console: The key 'prompts' is missing, and a list of texts was expected in it. Add 'prompts' to the object that begins in this line.")]
    [InlineData("\"prompts\": [\"^[a-z0-9-]+ awaits; $\"]", "\"prompts\": []", "JsonBadValue 7 console.prompts: No prompt is given that can be used. Give at least one pattern that fits the prompt at the end of an answer.")]
    [InlineData("^[a-z0-9-]+ awaits; $", "^.*$", "JsonBadValue 7 console.prompts: The prompt '^.*$' fits an empty line as well. Write it so that it fits the prompt alone.")]
    [InlineData("\"^Not you\\\\.$\"", "\"^Not (you\"", "PatternInvalid 10 console.logInRefused[0]: The pattern '^Not (you' is no regular expression: Invalid pattern '^Not (you' at offset 9. Not enough )'s. Write a .NET regular expression; in JSON a backslash is written twice.")]
    [InlineData("\"^fetched\"", "\"^fetched (?<What>.*)\"", "PropertyUnknown 65 refresh.stages[0].ends[0]: The group 'What' of the pattern '^fetched (?<What>.*)' names nothing that can be filled here. No named groups are used here; write (?:...) instead.")]
    [InlineData("(?<Status>\\\\S+)", "(?<State>\\\\S+)", "PropertyUnknown 40 blocks[2].rows[0].lines[0]: The group 'State' of the pattern 'eye (?<Port>\\d+) is (?<State>\\S+)' names nothing that can be filled here; the nearest is 'Status'. The names that can be filled here are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    [InlineData("\"each\": \"unit\"", "\"each\": \"units\"", "JsonBadValue 22 ask.ports[0].each: A command is sent once a switch, a unit or a port, and 'units' is none of them; the nearest is 'unit'. Write switch, unit or port.")]
    [InlineData("\"recite edition\"", "\"recite edition {Unit}\"", "PropertyUnknown 21 ask.release: '{Unit}' in 'recite edition {Unit}' stands for nothing here. No placeholder is filled here.")]
    [InlineData("renew {Unit} scp {Server} {File}", "renew {Unit} scp {Sever} {File}", "PropertyUnknown 61 refresh.commands.scp: '{Sever}' in 'renew {Unit} scp {Sever} {File}' stands for nothing here; the nearest is '{Server}'. The placeholders that are filled here are {Unit} {Server} {ServerPort} {File}.")]
    [InlineData("\"send\": \"{User}\"", "\"send\": \"{Usr}\"", "PropertyUnknown 9 console.logIn[0].send: '{Usr}' in '{Usr}' stands for nothing here; the nearest is '{User}'. The placeholders that are filled here are {User} {Password} {ElevationPassword}.")]
    [InlineData("\"expect\": \"Sure", "\"expect\": \"Sure of {Unit}", "JsonBadValue 62 refresh.asks[0].expect: '{Unit}' stands for nothing in a pattern. Write a pattern for what comes there, such as \\S+.")]
    [InlineData("\"name\": \"eyes\"", "\"name\": \"Feeds\"", "NameTwice 38 blocks[2].name: Two blocks are called 'Feeds'. Give each block a name of its own; reports refer to it.")]
    [InlineData("\"of\": \"switch\"", "\"of\": \"swich\"", "JsonBadValue 27 blocks[0].of: 'swich' is nothing that a row can tell of; the nearest is 'switch'. Write switch, controller or port.")]
    [InlineData("\"begins\": [\"eyes of deck (?<Unit>\\\\d+)\"]", "\"begins\": []", "JsonBadValue 39 blocks[2].begins: The block 'eyes' has no pattern for its first line that can be used. Give at least one; a block that never begins reads nothing.")]
    [InlineData("\"required\": [\"Unit\", \"Condition\"]", "\"required\": [\"Unit\", \"Conditions\"]", "PropertyUnknown 34 blocks[1].required[1]: 'Conditions' is no property that this block can fill; the nearest is 'Condition'. The properties are Unit, Model, Serial, Firmware, Release, Condition, BudgetWatts, GuardBandWatts, AllocatedWatts, DrawWatts, PseType.")]
    [InlineData("\"fixed\": { \"AdminEnabled\"", "\"fixed\": { \"AdminEnable\"", "PropertyUnknown 41 blocks[2].fixed.AdminEnable: 'AdminEnable' is no property that this block can fill; the nearest is 'AdminEnabled'. The properties are Unit, Port, PortName, AdminEnabled, Status, PdClass, Priority, AllocatedWatts, DrawWatts, LimitWatts, Description, Neighbour, PdClassA, PdClassB, AllocatedPdWatts, AllocatedBy.")]
    [InlineData("\"unit\": \"%\", \"percentOf\": \"BudgetWatts\"", "\"unit\": \"%\"", "JsonMissingKey 48 values.LimitWatts: LimitWatts is a percentage, and 'percentOf' does not say of what. Add 'percentOf' with BudgetWatts, LimitWatts, AllocatedWatts.")]
    [InlineData("\"percentOf\": \"BudgetWatts\"", "\"percentOf\": \"BudgetWats\"", "JsonBadValue 48 values.LimitWatts.percentOf: No percentage is of 'BudgetWats'; the nearest is 'BudgetWatts'. Write one of BudgetWatts, LimitWatts, AllocatedWatts.")]
    [InlineData("\"percentOf\": \"BudgetWatts\"", "\"percentOf\": \"LimitWatts\"", "JsonBadValue 48 values.LimitWatts: LimitWatts is a percentage of LimitWatts, and that of LimitWatts again. Name a property that is printed in watts.")]
    [InlineData("[\",\", \"unit\"]", "[\",\", \"Unit\"]", "JsonBadValue 48 values.LimitWatts.decimalMark[1]: 'Unit' is no decimal mark. Write a full stop, a comma, 'unit' for a unit in its place, or several in a list.")]
    [InlineData("\"unit\": \"mW\"", "\"unit\": \"mw\"", "JsonBadValue 49 values.DrawWatts.unit: 'mw' is no unit of power; the nearest is 'mW'. Write W, mW, dW (tenths of a watt), kW or %.")]
    [InlineData("\"decimalMark\": \",\"", "\"decimalMark\": \";\"", "JsonBadValue 48 values.BudgetWatts.decimalMark: ';' is no decimal mark. Write a full stop, a comma, 'unit' for a unit in its place, or several in a list.")]
    [InlineData("\"sore\": \"Faulted\"", "\"sore\": \"Fault\"", "JsonBadValue 46 values.Condition.words.sore: The word 'sore' means Condition 'Fault', which is none of Unknown, Healthy, Faulted, Refreshing, Absent. Write what the property can be, or an empty text for nothing.")]
    [InlineData("(?<Unit>\\\\d+)/(?<Port>\\\\d+)", "(?<Unit>\\\\d+)/(?<Eye>\\\\d+)", "PropertyUnknown 52 portNames[0]: A pattern of portNames takes a port's full name apart, and '(?<Unit>\\d+)/(?<Eye>\\d+)' has the groups 'Unit', 'Eye'. Give it the group Port, and Unit where the name holds it.")]
    [InlineData("\"parts\": [\"major\", \"minor\"] } ]", "\"parts\": [\"major\", \"minr\"] } ]", "PropertyUnknown 55 versions.firmware.spellings[1].parts[1]: 'minr' is no group of the pattern; the nearest is 'minor'. Name the pattern's groups in order of weight, heaviest first.")]
    [InlineData("\"v1.2\", \"pin110 = v1.10\"", "\"v1.10\", \"v1.2\"", "DialectSampleFails 56 versions.firmware.samples[1]: The sample 'v1.2' stands after 'v1.10' and is not newer. Order the samples from old to new, or correct the parts of the spellings.")]
    [InlineData("pin110 = v1.10", "pin110 = v1.11", "DialectSampleFails 56 versions.firmware.samples[1]: The sample 'pin110 = v1.11' says that these are one version, and they are read as different ones. Correct the parts of the spellings.")]
    [InlineData("\"fix\": \"after\"", "\"fixx\": \"after\"", "PropertyUnknown 56 versions.firmware.letters.fixx: 'fixx' is no part of a spelling; the nearest is 'fix'. Name a part that holds letters.")]
    [InlineData("\"fix\": \"after\"", "\"fix\": \"before\"", "JsonBadValue 56 versions.firmware.letters.fix: 'before' is no order of letters. Write after, where letters come after nothing and in the order of the alphabet, or list them from old to new.")]
    [InlineData("\"fix\": \"after\"", "\"fix\": [\"\", \"a\", \"A\"]", "JsonBadValue 56 versions.firmware.letters.fix: The order of 'fix' does not have two texts or more, each once. List all that the part may be from old to new; an empty text stands for none.")]
    [InlineData("\"fix\": \"after\"", "\"fix\": [\"\", \"b\"]", "DialectSampleFails 56 versions.firmware.samples[3]: The sample 'v2.0a' is no version in any spelling given. Correct the sample, or add its spelling.")]
    [InlineData("\"v2.0\"", "\"w2.0\"", "DialectSampleFails 56 versions.firmware.samples[2]: The sample 'w2.0' is no version in any spelling given. Correct the sample, or add its spelling.")]
    [InlineData("\"stage\": \"Transfer\"", "\"stage\": \"Transfers\"", "JsonBadValue 65 refresh.stages[0].stage: 'Transfers' is no stage that a device prints; the nearest is 'Transfer'. Write Transfer, Erase, Program or Reset.")]
    [InlineData("\"stages\": [", "\"stages\": [ { \"stage\": \"Transfer\" }, ", "NameTwice 65 refresh.stages[1].stage: The stage Transfer stands here twice. Put all its patterns into one.")]
    [InlineData("\"deadlineSeconds\": 300", "\"deadlineSeconds\": 0", "JsonBadValue 65 refresh.stages[0].deadlineSeconds: Found the number 0 where a number of 1 to 86400 was expected. Write a number within these bounds.")]
    [InlineData("\"Priority\": [\"rank", "\"Rank\": [\"rank", "PropertyUnknown 70 refresh.putBack.Rank: 'Rank' is no setting that can be put back; the nearest is 'Priority'. The settings are AdminEnabled, Priority, LimitWatts.")]
    [InlineData("\"AdminEnabled=true\"", "\"AdminEnabled=ture\"", "JsonBadValue 70 refresh.putBack.AdminEnabled=ture: 'AdminEnabled=ture' names no value that AdminEnabled can have; the nearest is 'true'. The values are true, false.")]
    [InlineData("[\"open {Unit} {Port}\"]", "[]", "JsonBadValue 70 refresh.putBack.AdminEnabled=true: No command puts AdminEnabled=true back. Give a command, or remove the key.")]
    public void A_mistake_is_told_with_its_line_and_path(string right, string wrong, string told)
    {
        DialectResult result = DialectFile.Parse(SampleDialect.With(right, wrong), "a.dialect.json");
        Assert.Null(result.Dialect);
        Assert.Contains(told, Told.Of(result.Problems));
    }

    [Fact]
    public void A_spelling_that_comes_to_no_end_is_told()
    {
        string text = SampleDialect.With("v(?<major>\\\\d+)\\\\.(?<minor>\\\\d+)", "(?<major>(?<minor>1+)+)x").Replace("\"v1.2\"", $"\"{new string('1', 60)}\"", StringComparison.Ordinal);
        Assert.Contains(ProblemId.PatternTooSlow, DialectFile.Parse(text, "a.dialect.json").Problems.Select(problem => problem.Id));
    }

    [Fact]
    public void All_mistakes_of_a_file_are_told_at_once()
    {
        string text = SampleDialect.With("\"lineEnd\": \"cr\"", "\"lineEnd\": \"cl\"").Replace("\"eyes\", \"of\": \"port\"", "\"eyes\", \"of\": \"prot\"", StringComparison.Ordinal).Replace("\"pollSeconds\": 5", "\"pollSeconds\": -1", StringComparison.Ordinal);
        Assert.Equal(["console.lineEnd", "blocks[2].of", "refresh.pollSeconds"], DialectFile.Parse(text, "a.dialect.json").Problems.Select(problem => problem.Path));
    }

    [Fact]
    public void A_file_that_is_none_is_told()
    {
        Assert.Equal([ProblemId.FileNotFound], Ids(_folder.Path("none.dialect.json")));
        Assert.Equal([ProblemId.FileEmpty], Ids(_folder.Write("empty.dialect.json", "")));
        Assert.Equal([ProblemId.FileNotUtf8], Ids(_folder.Write("latin.dialect.json", Encoding.Latin1.GetBytes("{ \"name\": \"\u00e9\" }"))));
        Assert.Equal([ProblemId.JsonSyntax], Ids(_folder.Write("text.dialect.json", "name: pintle")));
        Assert.Equal([ProblemId.JsonSyntax], Ids(_folder.Write("cut.dialect.json", SampleDialect.Text[..500])));
        Assert.Equal([ProblemId.JsonWrongType], Ids(_folder.Write("list.dialect.json", "[]")));
        Assert.Equal([ProblemId.FileTooLarge], Ids(_folder.Write("large.dialect.json", new byte[17 * 1024 * 1024])));
    }

    [Fact]
    public void A_shelf_finds_by_name_whatever_the_case_and_the_file()
    {
        string file = _folder.Write("other-name.dialect.json", SampleDialect.Text);
        DialectResult result = new DialectShelf([_folder.Path("not-there"), _folder.FullPath]).Find("PINTLE");
        Assert.Equal(file, result.Dialect!.SourcePath);
    }

    [Fact]
    public void A_shelf_gives_the_mistakes_of_the_file_that_is_named_so()
    {
        _folder.Write("gudgeon.dialect.json", "{");
        Assert.Equal(ProblemId.JsonSyntax, new DialectShelf([_folder.FullPath]).Find("gudgeon").Problems[0].Id);
    }

    [Fact]
    public void A_shelf_gives_the_mistakes_of_the_file_that_says_the_name()
    {
        string file = _folder.Write("my-first.dialect.json", SampleDialect.With("\"goodBye\"", "\"goodbye\""));
        _folder.Write("pintel.dialect.json", SampleDialect.Text.Replace("\"pintle\"", "\"gudgeon\"", StringComparison.Ordinal));
        Problem problem = Assert.Single(new DialectShelf([_folder.FullPath]).Find("Pintle").Problems);
        Assert.Equal((ProblemId.JsonUnknownKey, file), (problem.Id, problem.File));
    }

    [Fact]
    public void A_shelf_names_the_files_that_it_could_not_read()
    {
        _folder.Write("good.dialect.json", SampleDialect.Text);
        string file = _folder.Write("my-first.dialect.json", SampleDialect.Text[..500]);
        Problem problem = Assert.Single(new DialectShelf([_folder.FullPath]).Find("gudgeon").Problems);
        Assert.Equal(ProblemId.DialectUnknown, problem.Id);
        Problem path = Assert.Single(new DialectShelf([]).Find("./my/pintel.dialect.json").Problems);
        Assert.Equal((ProblemId.DialectUnknown, "There is no dialect file './my/pintel.dialect.json'."), (path.Id, path.Sentence));
        Assert.Equal(
            $"Correct the name, or name the dialect's file or folder under 'dialects' in the estate. What cannot be read may be the one that is meant: '{file}'; Test-PseDialect says what is wrong with it.", problem.Advice);
        Assert.NotNull(new DialectShelf([_folder.FullPath]).Find("pintle").Dialect);
    }

    [Fact]
    public void A_shelf_names_the_nearest_and_where_it_looked()
    {
        string file = _folder.Write("a.dialect.json", SampleDialect.Text);
        Assert.Equal($"No dialect is called 'pintel'; the nearest is 'pintle'; it was looked for in {file}.", new DialectShelf([file]).Find("pintel").Problems.Single().Sentence);
        Assert.Equal("No dialect is called 'pintel'; it was looked for nowhere.", new DialectShelf([]).Find("pintel").Problems.Single().Sentence);
    }

    private static IEnumerable<ProblemId> Ids(string path) => DialectFile.Read(path).Problems.Select(problem => problem.Id);
}
