using Markdig;
using Markdig.Extensions.Tables;
using Markdig.Syntax;
using Markdig.Syntax.Inlines;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>A report as Markdown, read back by Markdig and as it stands.</summary>
public sealed class ReportMarkdownTests : IDisposable
{
    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void Markdown_has_the_tables_and_no_markup_of_others()
    {
        RunSummary summary = ReportFormatTests.Named(_night.WholeNight().Summary(SampleNight.Plan), ReportFormatTests.Hostile);
        MarkdownDocument document = Markdown.Parse(ReportMarkdown.Of(summary), new MarkdownPipelineBuilder().UsePipeTables().UseEmphasisExtras().UseAutoLinks().Build());
        Table loads = document.OfType<Table>().Single(table => ((TableRow)table[0]).Count > 6 && Text(((TableRow)table[0])[6]) == "Planned dark from");
        Assert.Equal(ReportFormatTests.Hostile.Select(name => name.Trim()), loads.Skip(1).Select(row => Text(((TableRow)row)[0])));
        Assert.All(loads, row => Assert.Equal(13, ((TableRow)row).Count));
        Assert.Empty(document.Descendants<HtmlInline>());
        Assert.Empty(document.Descendants<HtmlBlock>());
        Assert.Empty(document.Descendants<LinkInline>());
        Assert.Empty(document.Descendants<CodeInline>());
        Assert.Equal("What is still dark?", Text(document.OfType<HeadingBlock>().ElementAt(1)));
        Assert.Equal($"Run {summary.PlanName}: planned and done", Text(document.OfType<HeadingBlock>().First()));
    }

    // Those who read a ticket read the text as it is: times and versions are no markup.
    [Theory]
    [InlineData("22:00:10", "22:00:10")]
    [InlineData("3.8-p4", "3.8-p4")]
    [InlineData("quay: 2 loads", "quay: 2 loads")]
    [InlineData("1. first", "1\\. first")]
    [InlineData("12)", "12\\)")]
    [InlineData("http://example.org", "http\\://example.org")]
    [InlineData(":smile: :+1:", "\\:smile: \\:+1:")]
    public void Markdown_escapes_what_could_be_markup_and_no_more(string name, string shown)
    {
        RunSummary summary = _night.WholeNight().Summary(SampleNight.Plan);
        Assert.Contains($"| {shown} |", ReportMarkdown.Of(summary with { Loads = [summary.Loads[0] with { Load = name }] }), StringComparison.Ordinal);
    }

    private static string Text(MarkdownObject block) => string.Concat((block is LeafBlock leaf ? leaf.Inline!.Descendants() : block.Descendants()).Select(inline => inline switch { LiteralInline literal => literal.Content.ToString(), HtmlEntityInline entity => entity.Transcoded.ToString(), LinkInline => "LINK", EmphasisInline => "EMPHASIS", CodeInline => "CODE", _ => string.Empty }));
}
