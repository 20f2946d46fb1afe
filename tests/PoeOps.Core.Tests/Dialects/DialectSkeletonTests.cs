using System.Text.RegularExpressions;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>The skeleton that a dialect begins with where there is no capture.</summary>
public sealed class DialectSkeletonTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_skeleton_reads_as_it_stands()
    {
        DialectDraft skeleton = DialectDraft.Skeleton("my \"own\"", "a\\b.json").Write(_folder.Path("my.dialect.json"), overwrite: false);
        DialectResult result = DialectFile.Read(skeleton.Path);
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal("my \"own\"", result.Dialect!.Name);
        Assert.True(new SchemaCheck("dialect").Takes(skeleton.Text));
        Assert.Equal((0, 0, 0), (skeleton.Guesses, skeleton.Lines, skeleton.Captures));
    }

    [Fact]
    public void The_skeleton_names_every_key_of_the_schema()
    {
        string text = DialectDraft.Skeleton("my", null).Text;
        Assert.All(new SchemaCheck("dialect").Keys.SelectMany(one => one.Value).Distinct(), key => Assert.Contains(key, text));
    }

    [Fact]
    public void What_the_skeleton_has_in_comments_reads_as_well()
    {
        string text = Regex.Replace(DialectDraft.Skeleton("my", "x").Text, "(?m)^( *)// +(?=(, )?(\"(?!extends)|\\{)|\\})", "$1");
        DialectResult result = DialectFile.Parse(text, "my.dialect.json");
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal((7, 2, 1, 1, 3), (result.Dialect!.Asks.Count, result.Dialect.Refresh!.Commands.Count, result.Dialect.Samples.Count, result.Dialect.Console.Changing.Count, result.Dialect.Blocks.Count));
    }
}
