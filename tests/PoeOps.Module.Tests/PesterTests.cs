using Xunit.Abstractions;

namespace PoeOps.Module.Tests;

/// <summary>One row for each Pester file in this folder.</summary>
public sealed class PesterTests(ITestOutputHelper output)
{
    public static TheoryData<string> Files =>
        [.. Directory.EnumerateFiles(PesterRun.Folder, "*.Tests.ps1").Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_test_of_the_file_passes(string file)
    {
        (PesterRun? run, string text) = PesterRun.Of(file);
        output.WriteLine(text);

        Assert.True(run is not null, $"{file} did not finish:\n{text}");
        output.WriteLine($"{file}: {run.Passed} passed, {run.Failed} failed, {run.Skipped} skipped");
        Assert.True(run.Failed == 0, $"{file}: {run.Failed} failed:\n{string.Join('\n', run.Failures.Select(failure => $"{failure.Name}\n    {failure.Message}"))}");
        Assert.True(run.Passed > 0, $"{file} has no test that passed:\n{text}");
    }
}
