// The main job on the demo estate, from a fresh clone with only the .NET 10 SDK and git:
//
//     dotnet run examples/rehearse.cs
//
// It restores the PowerShell that the repository names, builds the module, and runs 01-Rehearse.ps1 in it.
// What is written after `--` goes on to that script. The exit code is the script's.

using System.Diagnostics;

string root = FindRoot();
string dotnet = Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet";

// Ctrl+C reaches the script as well: it winds up by itself, and we wait for its exit code.
Console.CancelKeyPress += (_, press) => press.Cancel = true;

return Quietly("Restoring PowerShell", "tool", "restore")
    ?? Quietly("Building the module", "build", Path.Combine("src", "PoeOps.Cmdlets"), "--nologo", "-v", "quiet")
    ?? Start(["pwsh", "-NoProfile", "-File", Path.Combine("examples", "01-Rehearse.ps1"), .. args], output: null);

// Runs a step whose output matters only when it fails: null when it went well, else its exit code.
int? Quietly(string step, params string[] arguments)
{
    Console.WriteLine($"{step} ...");
    List<string> output = [];
    int code = Start(arguments, output);
    if (code == 0)
    {
        return null;
    }

    output.ForEach(Console.Error.WriteLine);
    Console.Error.WriteLine($"{step} failed: `dotnet {string.Join(' ', arguments)}` ended with exit code {code}.");
    return code;
}

// Runs dotnet in the root of the clone: on this screen, or into a list.
int Start(string[] arguments, List<string>? output)
{
    using Process process = new()
    {
        StartInfo = new ProcessStartInfo(dotnet, arguments)
        {
            WorkingDirectory = root,
            RedirectStandardOutput = output is not null,
            RedirectStandardError = output is not null,
        },
    };
    process.OutputDataReceived += Keep;
    process.ErrorDataReceived += Keep;
    process.Start();
    if (output is not null)
    {
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
    }

    process.WaitForExit();
    return process.ExitCode;

    void Keep(object sender, DataReceivedEventArgs line)
    {
        if (output is not null && line.Data is not null)
        {
            lock (output)
            {
                output.Add(line.Data);
            }
        }
    }
}

// The folder that holds PoeOps.psd1: that of this file's parent, wherever the command was given.
static string FindRoot()
{
    string? file = AppContext.GetData("EntryPointFilePath") as string;
    string from = file is null ? Environment.CurrentDirectory : Path.GetDirectoryName(file)!;
    for (DirectoryInfo? folder = new(from); folder is not null; folder = folder.Parent)
    {
        if (File.Exists(Path.Combine(folder.FullName, "PoeOps.psd1")))
        {
            return folder.FullName;
        }
    }

    throw new DirectoryNotFoundException($"No PoeOps.psd1 in '{from}' or above it: run this from a clone of the repository.");
}
