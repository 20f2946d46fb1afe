using System.Text.RegularExpressions;
using PoeOps.Core.Tests.Architecture;

namespace PoeOps.Core.Tests.Files;

/// <summary>The topics about the files that people write: each key of a schema stands in its topic, and the files that a topic shows are taken by the schema.</summary>
public sealed class KeyTopicTests
{
    [Theory]
    [InlineData("estate", "Estate")]
    [InlineData("baseline", "Baseline")]
    public void Every_key_of_the_schema_is_explained(string schema, string topic)
    {
        string text = File.ReadAllText(PathOf(topic));

        // What stands under "rehearsal" is written by a rehearsal and by nobody else.
        string[] keys = [.. new SchemaCheck(schema).Keys.SelectMany(one => one.Value).Distinct().Except(["$schema", "speed", "machineStartUtc", "startUtc"])];
        Assert.NotEmpty(keys);
        Assert.All(keys, key => Assert.True(IsNamed(text, key), $"'{key}' is not explained."));
    }

    [Theory]
    [InlineData("estate", "Estate", "my.estate.json")]
    [InlineData("baseline", "Baseline", "my.baseline.json")]
    public void The_schema_takes_the_file_that_the_topic_shows(string schema, string topic, string file)
    {
        string shown = string.Concat(File.ReadAllLines(PathOf(topic)).SkipWhile(line => line != "    ----- " + file).Skip(1).TakeWhile(line => line != "    ----- end of " + file).Select(line => line + "\n"));

        Assert.NotEmpty(shown);
        Assert.True(new SchemaCheck(schema).Takes(shown));
    }

    private static bool IsNamed(string text, string key) =>
        Regex.IsMatch(text, $@"(?<!\w){Regex.Escape(key)}(?!\w)");

    private static string PathOf(string topic) => Repository.Path("module", "en-US", $"about_PoeOps_{topic}.help.txt");
}
