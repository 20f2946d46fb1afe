using System.Diagnostics;
using System.Reflection;
using System.Text;
using System.Text.Json;

namespace PoeOps.Module.Tests;

/// <summary>One Pester file, run in PowerShell against the built module.</summary>
internal sealed record PesterRun(string File, int Passed, int Failed, int Skipped, IReadOnlyList<PesterFailure> Failures)
{
    private static readonly TimeSpan Deadline = TimeSpan.FromMinutes(20);

    /// <summary>The folder that holds PoeOps.psd1.</summary>
    public static string Root { get; } = Path.GetFullPath(Recorded("RepositoryRoot"));

    /// <summary>The folder of the Pester files.</summary>
    public static string Folder { get; } = Path.Combine(Root, "tests", "PoeOps.Module.Tests");

    /// <summary>Runs a file of <see cref="Folder"/> and reads its counts, which stay in TestResults for who adds up.</summary>
    public static (PesterRun? Run, string Output) Of(string file)
    {
        string results = Path.Combine(Root, "TestResults");
        Directory.CreateDirectory(results);
        string result = Path.Combine(results, $"pester-{file}.json");
        System.IO.File.Delete(result);

        string output = RunPowerShell(
            "-NoProfile", "-NonInteractive", "-File", Path.Combine(Folder, "Run-Pester.ps1"), "-Pester", Recorded("Pester"),
            "-Manifest", Path.Combine(Root, "PoeOps.psd1"), "-Path", Path.Combine(Folder, file), "-Result", result);
        return (System.IO.File.Exists(result) ? JsonSerializer.Deserialize<PesterRun>(System.IO.File.ReadAllText(result)) : null, output);
    }

    private static string RunPowerShell(params string[] arguments)
    {
        ProcessStartInfo start = new(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet", ["pwsh", .. arguments])
        {
            WorkingDirectory = Root,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
        };
        start.Environment["NO_COLOR"] = "1";
        StringBuilder output = new();
        using Process process = new() { StartInfo = start };
        process.OutputDataReceived += (_, line) => Append(output, line.Data);
        process.ErrorDataReceived += (_, line) => Append(output, line.Data);
        process.Start();
        process.StandardInput.Close();
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        if (!process.WaitForExit(Deadline))
        {
            process.Kill(entireProcessTree: true);
            Append(output, $"Stopped: not finished after {Deadline}.");
        }

        process.WaitForExit();
        lock (output)
        {
            return output.ToString();
        }
    }

    private static void Append(StringBuilder output, string? line)
    {
        lock (output)
        {
            output.AppendLine(line);
        }
    }

    private static string Recorded(string name) =>
        typeof(PesterRun).Assembly.GetCustomAttributes<AssemblyMetadataAttribute>().Single(entry => entry.Key == name).Value!;
}

/// <summary>A test, block or file that failed, and why.</summary>
internal sealed record PesterFailure(string Name, string Message);
