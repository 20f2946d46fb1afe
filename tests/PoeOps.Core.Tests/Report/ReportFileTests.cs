using PoeOps.Planning;
using PoeOps.Report;

namespace PoeOps.Core.Tests.Report;

/// <summary>What a report may be written over, when there is none, and in which format it is written.</summary>
public sealed class ReportFileTests : IDisposable
{
    private readonly SampleNight _night = new();

    public void Dispose() => _night.Dispose();

    [Fact]
    public void A_report_is_never_written_over_what_it_is_made_from()
    {
        JournalSource journal = _night.WholeNight().Write();
        Problem problem = ReportFile.Check(_night.Path, [journal.Path], overwrite: true)!;
        Assert.Equal((ProblemId.ReportOverSource, $"The file '{_night.Path}' is one that the report is made from ('{_night.Path}'), and is never replaced by it."), (problem.Id, problem.Sentence));
        string copy = Path.Combine(_night.Folder, "link.html");
        File.CreateSymbolicLink(copy, _night.Path);
        Assert.Equal(ProblemId.ReportOverSource, ReportFile.Check(copy, [journal.Path], overwrite: true)!.Id);
        Assert.Null(ReportFile.Check(Path.Combine(_night.Folder, "a.html"), [journal.Path], overwrite: false));
    }

    [Fact]
    public void A_report_of_nothing_is_none()
    {
        Problem problem = ReportFile.Empty(RunSummary.Of(null, [JournalSource.Read(Path.Combine(_night.Folder, "none.jsonl"))]))!;
        Assert.Equal((ProblemId.ReportEmpty, "There is nothing to report: no plan was given, and no journal with an entry that can be read."), (problem.Id, problem.Sentence));
        Assert.Null(ReportFile.Empty(RunSummary.Of(new Plan(), [])));
    }

    [Theory]
    [InlineData("a.html", ReportFormat.Html)]
    [InlineData("a.MD", ReportFormat.Markdown)]
    [InlineData("a.csv", ReportFormat.Csv)]
    [InlineData("a.json", ReportFormat.Json)]
    [InlineData("a", ReportFormat.Html)]
    public void The_name_of_a_file_asks_for_its_format(string path, ReportFormat format) => Assert.Equal(format, ReportFile.FormatOf(path));
}
