using Xunit.Abstractions;

namespace PoeOps.Module.Tests;

/// <summary>One row for each Pester file in this folder. Most of them wait most of the time, so four run side by side, each in a process of its own.</summary>
public abstract class PesterFiles(ITestOutputHelper output)
{
    private const int Lanes = 4;

    // Those that take longest, the longest first: dealt out before the others, so that no lane has two of the first four.
    private static readonly string[] Long =
    [
        "Unattended", "SshRefresh", "ClearText", "HelpExamples", "MainJob", "Secrets", "Ssh", "HiddenCharacters", "Readme", "Kill", "Diagnostics", "Detach", "Package", "Telnet",
    ];

    /// <summary>The files of a lane: dealt out there and back, as are cards of falling worth.</summary>
    protected static TheoryData<string> Lane(int lane) =>
    [
        .. Directory.EnumerateFiles(PesterRun.Folder, "*.Tests.ps1").Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)
            .OrderBy(name => Array.IndexOf(Long, name.Split('.')[0]) is >= 0 and int at ? at : Long.Length)
            .Where((_, index) => (index / Lanes % 2 == 0 ? index % Lanes : Lanes - 1 - (index % Lanes)) == lane),
    ];

    /// <summary>Runs a file and reads its counts.</summary>
    protected void Run(string file)
    {
        (PesterRun? run, string text) = PesterRun.Of(file);
        output.WriteLine(text);

        Assert.True(run is not null, $"{file} did not finish:\n{text}");
        output.WriteLine($"{file}: {run.Passed} passed, {run.Failed} failed, {run.Skipped} skipped");
        Assert.True(run.Failed == 0, $"{file}: {run.Failed} failed:\n{string.Join('\n', run.Failures.Select(failure => $"{failure.Name}\n    {failure.Message}"))}");
        Assert.True(run.Passed > 0, $"{file} has no test that passed:\n{text}");
    }
}

/// <summary>The first lane.</summary>
public sealed class PesterTests(ITestOutputHelper output) : PesterFiles(output)
{
    public static TheoryData<string> Files => Lane(0);

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_test_of_the_file_passes(string file) => Run(file);
}

/// <summary>The second lane.</summary>
public sealed class MorePesterTests(ITestOutputHelper output) : PesterFiles(output)
{
    public static TheoryData<string> Files => Lane(1);

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_test_of_the_file_passes(string file) => Run(file);
}

/// <summary>The third lane.</summary>
public sealed class StillMorePesterTests(ITestOutputHelper output) : PesterFiles(output)
{
    public static TheoryData<string> Files => Lane(2);

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_test_of_the_file_passes(string file) => Run(file);
}

/// <summary>The fourth lane.</summary>
public sealed class LastPesterTests(ITestOutputHelper output) : PesterFiles(output)
{
    public static TheoryData<string> Files => Lane(3);

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_test_of_the_file_passes(string file) => Run(file);
}
