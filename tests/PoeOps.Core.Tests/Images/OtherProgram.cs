using System.Diagnostics;

namespace PoeOps.Core.Tests.Images;

/// <summary>A program by somebody else, found on the PATH, run to its end.</summary>
internal static class OtherProgram
{
    // Far longer than any of them takes; only a test that fails waits for it.
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(15);

    /// <summary>Where a program is, or null.</summary>
    public static string? Find(string name) =>
        (Environment.GetEnvironmentVariable("PATH") ?? string.Empty).Split(Path.PathSeparator)
            .SelectMany(folder => (string[])[Path.Combine(folder, name), Path.Combine(folder, name + ".exe")])
            .FirstOrDefault(File.Exists);

    /// <summary>Runs it and returns its exit code and all that it printed.</summary>
    public static (int ExitCode, string Printed) Run(string name, string folder, params string[] arguments)
    {
        string? path = Find(name);
        Assert.True(path is not null, $"'{name}' is not installed, and where CI is 'true' nothing is left out.");
        using var process = new Process
        {
            StartInfo = new ProcessStartInfo(path!, arguments)
            {
                WorkingDirectory = folder,
                RedirectStandardInput = true,
                RedirectStandardOutput = true,
                RedirectStandardError = true,
            },
        };
        process.Start();
        process.StandardInput.Close();
        Task<string> errors = process.StandardError.ReadToEndAsync();
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        if (!process.WaitForExit(Patience))
        {
            process.Kill();
            Assert.Fail($"'{name}' did not end.");
        }

        return (process.ExitCode, output.Result + errors.Result);
    }
}

/// <summary>A theory that needs a server by somebody else, which only an administrator can start.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class OtherServerTheoryAttribute : TheoryAttribute
{
    public OtherServerTheoryAttribute()
    {
        string missing = string.Join(" and ", ((string[])["in.tftpd", "atftpd"]).Where(program => OtherProgram.Find(program) is null).Select(program => $"'{program}'"));
        bool mayBeMissing = !string.Equals(Environment.GetEnvironmentVariable("CI"), "true", StringComparison.OrdinalIgnoreCase);
        if (mayBeMissing && (missing.Length > 0 || !Environment.IsPrivilegedProcess))
        {
            Skip = missing.Length > 0 ? $"{missing} not installed; install to see this run." : "Servers by others are started by an administrator only; run as one to see this run.";
        }
    }
}

/// <summary>A theory that needs a program by somebody else: left out with its reason where it is not installed, but never where CI is 'true'.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class OtherProgramTheoryAttribute : TheoryAttribute
{
    public OtherProgramTheoryAttribute(string program)
    {
        Program = program;
        bool mayBeMissing = !string.Equals(Environment.GetEnvironmentVariable("CI"), "true", StringComparison.OrdinalIgnoreCase);
        if (mayBeMissing && OtherProgram.Find(program) is null)
        {
            Skip = $"'{program}' is not installed; install it to see this run.";
        }
    }

    public string Program { get; }
}
