using System.Diagnostics;
using System.Globalization;

namespace PoeOps.Benchmarks;

/// <summary>How long Import-Module takes in a fresh PowerShell, beside another module whose weight is a library of its own.</summary>
internal static class ImportSpeed
{
    // What Import-Module itself needs the first time, such as its own parsing, is no module's: a module that holds nothing is imported before the clock runs.
    private const string Script = """
        param($Empty, $Manifest)
        $ErrorActionPreference = 'Stop'
        Import-Module $Empty
        $clock = [Diagnostics.Stopwatch]::StartNew()
        $said = @(Import-Module $Manifest *>&1)
        $seconds = $clock.Elapsed.TotalSeconds
        if ($said.Count) { throw "The import said: $said" }
        $seconds.ToString([Globalization.CultureInfo]::InvariantCulture)
        """;

    /// <summary>Imports each module in turn, each time in a process of its own, and prints median and least, and what ours takes of the others.</summary>
    /// <param name="turns">How often each is imported.</param>
    public static int Run(int turns)
    {
        string folder = Directory.CreateTempSubdirectory("poeops-import-").FullName;
        try
        {
            string script = Path.Combine(folder, "import.ps1"), empty = Path.Combine(folder, "empty.psd1");
            File.WriteAllText(script, Script);
            File.WriteAllText(empty, "@{ ModuleVersion = '1.0'; FunctionsToExport = @(); CmdletsToExport = @(); AliasesToExport = @() }");
            var modules = Modules().Select(one => (one.Name, one.Manifest, Seconds: new List<double>())).ToArray();
            for (int turn = 0; turn <= turns; turn++)
            {
                foreach ((_, string manifest, List<double> seconds) in modules)
                {
                    double once = Once(script, empty, manifest);
                    if (turn > 0)
                    {
                        // The first turn warms the machine's files and counts for nobody.
                        seconds.Add(once);
                    }
                }
            }

            Print([.. modules.Select(one => (one.Name, one.Seconds))]);
            return 0;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static IEnumerable<(string Name, string Manifest)> Modules()
    {
        yield return ("PoeOps", Clone.Path("PoeOps.psd1"));
        yield return ("the stand-in of the SSH module", Clone.Path("tests", "PoeOps.SshStandIn", "bin", "Posh-SSH", "Posh-SSH.psd1"));
        if (Environment.GetEnvironmentVariable("POEOPS_POSHSSH") is { Length: > 0 } real)
        {
            yield return ("the SSH module itself", Directory.GetFiles(real, "Posh-SSH.psd1", SearchOption.AllDirectories).Order(StringComparer.Ordinal).Last());
        }
    }

    private static double Once(string script, string empty, string manifest)
    {
        var start = new ProcessStartInfo("dotnet", ["pwsh", "-NoProfile", "-NonInteractive", "-File", script, empty, manifest]) { WorkingDirectory = Clone.Path(), RedirectStandardOutput = true, RedirectStandardError = true };
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string said = process.StandardOutput.ReadToEnd().Trim();
        process.WaitForExit();
        return process.ExitCode == 0 && double.TryParse(said, CultureInfo.InvariantCulture, out double seconds)
            ? seconds
            : throw new InvalidOperationException($"{manifest} was not imported ({said} {errors.Result.Trim()}). Run 'dotnet tool restore' first.");
    }

    private static void Print(IReadOnlyList<(string Name, List<double> Seconds)> modules)
    {
        double ours = Median(modules[0].Seconds);
        foreach ((string name, List<double> seconds) in modules)
        {
            double median = Median(seconds);
            Console.WriteLine($"  {name,-32} median {median * 1000,6:0} ms, least {seconds.Min() * 1000,6:0} ms, PoeOps takes {ours / median:0.00} of it");
        }
    }

    private static double Median(List<double> seconds)
    {
        double[] sorted = [.. seconds.Order()];
        return (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }
}
