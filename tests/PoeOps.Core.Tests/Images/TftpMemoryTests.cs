using System.Diagnostics;
using System.Globalization;
using PoeOps.Core.Tests.Architecture;

namespace PoeOps.Core.Tests.Images;

/// <summary>A large image, served by a process whose heap has a limit far below it.</summary>
public sealed class TftpMemoryTests : IDisposable
{
    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    // The program of the benchmarks lies where this assembly would lie, were it that project's.
    [Fact]
    public async Task A_hundred_megabytes_go_to_two_hundred_clients_within_sixty_four()
    {
        string digest = _bench.Write("a.img", 100_000_000);
        string program = Path.Combine(AppContext.BaseDirectory.Replace("PoeOps.Core.Tests", "PoeOps.Benchmarks", StringComparison.Ordinal), "PoeOps.Benchmarks.dll");
        var start = new ProcessStartInfo("dotnet", [program, "serve", _bench.Folder.Path("a.img")])
        {
            WorkingDirectory = Repository.Path(), RedirectStandardOutput = true, RedirectStandardError = true,
        };
        start.Environment["DOTNET_GCHeapHardLimit"] = 64_000_000.ToString("X", CultureInfo.InvariantCulture);
        start.Environment["DOTNET_gcServer"] = "0";
        using Process process = Process.Start(start)!;
        Task<string> wrong = process.StandardError.ReadToEndAsync();
        string[] said = (await process.StandardOutput.ReadToEndAsync()).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, await wrong);
        Assert.Equal([$"100000000 {digest}", "200 clients had their first block meanwhile"], said);
    }
}
