using System.Text.RegularExpressions;
using PoeOps.Core.Tests.Architecture;

namespace PoeOps.Core.Tests;

/// <summary>about_PoeOps_Problems against the catalogue: every id in its order, under the heading of its part, each with a cause and a cure.</summary>
public sealed partial class ProblemTopicTests
{
    private static readonly string[] Lines = File.ReadAllLines(Repository.Path("module", "en-US", "about_PoeOps_Problems.help.txt"));

    [Fact]
    public void Every_id_of_the_catalogue_is_told_and_no_other()
    {
        string[] wrong =
        [
            .. Enum.GetNames<ProblemId>().Except(Told()).Select(id => $"{id} lacks a cause and a cure in about_PoeOps_Problems."),
            .. Told().Except(Enum.GetNames<ProblemId>()).Select(id => $"{id} stands in about_PoeOps_Problems and is in no catalogue."),
        ];
        Assert.True(wrong.Length == 0, string.Join('\n', wrong));
    }

    [Fact]
    public void They_stand_in_the_order_and_under_the_headings_of_the_catalogue() => Assert.Equal(Catalogue(), Topic());

    [Fact]
    public void Each_has_one_cause_and_one_cure_in_whole_sentences()
    {
        Assert.Equal(Enum.GetNames<ProblemId>().Length, Texts("Cause:").Count);
        Assert.Equal(Enum.GetNames<ProblemId>().Length, Texts("Cure:").Count);
        Assert.All(Texts("Cause:").Concat(Texts("Cure:")), text => Assert.Matches(Sentence(), text));
    }

    private static IEnumerable<string> Told() => Lines.Select(line => Id().Match(line)).Where(match => match.Success).Select(match => match.Groups[1].Value);

    // The headings of the catalogue are its comments, such as "// Refresh: gates".
    private static List<string> Catalogue() =>
    [
        .. File.ReadAllLines(Repository.Path("src", "PoeOps.Core", "ProblemId.cs")).Select(line => line.Trim())
            .Where(line => line.StartsWith("// ", StringComparison.Ordinal) || Member().IsMatch(line))
            .Select(line => line.StartsWith("// ", StringComparison.Ordinal) ? line[3..].Replace(":", ",", StringComparison.Ordinal).ToUpperInvariant() : line.TrimEnd(',')),
    ];

    private static List<string> Topic() =>
    [
        .. Lines.SkipWhile(line => line != "FILES").TakeWhile(line => line != "SEE ALSO").Where(line => Id().IsMatch(line) || (line.Length > 0 && line[0] != ' ')).Select(line => line.Trim()),
    ];

    private static List<string> Texts(string label) =>
        [.. Label().Matches(string.Join('\n', Lines)).Where(match => match.Groups[1].Value == label).Select(match => match.Groups[2].Value)];

    [GeneratedRegex(@"^    ([A-Z]\w+)$")]
    private static partial Regex Id();

    [GeneratedRegex(@"^[A-Z]\w+,$")]
    private static partial Regex Member();

    [GeneratedRegex(@"^ {8}(Cause:|Cure:) +(.+(?:\n {15}.+)*)", RegexOptions.Multiline)]
    private static partial Regex Label();

    [GeneratedRegex(@"^[""A-Z$-][\s\S]*\.$")]
    private static partial Regex Sentence();
}
