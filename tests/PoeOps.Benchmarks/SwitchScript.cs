using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;

namespace PoeOps.Benchmarks;

/// <summary>The same reading as a careful PowerShell script, with the expressions of the dialect, those that fit most lines first.</summary>
internal static class SwitchScript
{
    private const string Script = """
        param($File)
        $ErrorActionPreference = 'Stop'
        $admin = @{ on = $true; off = $false }
        $status = @{ feeding = 'DeliveringPower'; seeking = 'Searching'; off = 'Disabled'; fault = 'Fault' }
        $priority = @{ critical = 'Critical'; high = 'High'; low = 'Low' }
        $condition = @{ fit = 'Healthy'; lame = 'Faulted'; refit = 'Refreshing'; none = 'Absent' }
        $culture = [Globalization.CultureInfo]::InvariantCulture
        function Read-All {
            $ports = [Collections.Generic.List[object]]::new()
            $controllers = [Collections.Generic.List[object]]::new()
            switch -Regex -CaseSensitive -File $File {
                '<ports>' {
                    $row = $Matches
                    if ($row.PortName -cnotmatch '<name>') { throw "unread: $_" }
                    $ports.Add([pscustomobject]@{
                        Unit = $Matches.Unit; Port = $Matches.Port; AdminEnabled = $admin[$row.AdminEnabled]; Status = $status[$row.Status]
                        PdClass = if ($row.PdClass -ne '-') { [int] $row.PdClass }; Priority = $priority[$row.Priority]
                        AllocatedWatts = [decimal]::Parse($row.AllocatedWatts, $culture); DrawWatts = [decimal]::Parse($row.DrawWatts, $culture); LimitWatts = [decimal]::Parse($row.LimitWatts, $culture)
                    })
                    continue
                }
                '<power>' {
                    $controllers.Add([pscustomobject]@{
                        Unit = $Matches.Unit; Firmware = $Matches.Firmware; Condition = $condition[$Matches.Condition]; BudgetWatts = [decimal]::Parse($Matches.BudgetWatts, $culture)
                        GuardBandWatts = [decimal]::Parse($Matches.GuardBandWatts, $culture); AllocatedWatts = [decimal]::Parse($Matches.AllocatedWatts, $culture); DrawWatts = [decimal]::Parse($Matches.DrawWatts, $culture)
                    })
                    continue
                }
                <others>
                default { throw "unread: $_" }
            }
            $ports.Count
        }
        $best = [double]::MaxValue
        foreach ($turn in 1..12) {
            $clock = [Diagnostics.Stopwatch]::StartNew()
            $count = Read-All
            $best = [Math]::Min($best, $clock.Elapsed.TotalSeconds)
        }
        "$count $($best.ToString($culture))"
        """;

    /// <summary>The best of twelve turns, in seconds; null where PowerShell is not there, which is printed.</summary>
    public static double? Seconds(Dialect dialect, string file, int expected)
    {
        string script = Path.ChangeExtension(file, ".ps1");
        File.WriteAllText(script, Of(dialect));
        var start = new ProcessStartInfo("dotnet", ["pwsh", "-NoProfile", "-NonInteractive", "-File", script, file]) { WorkingDirectory = Clone.Path(), RedirectStandardOutput = true, RedirectStandardError = true };
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string[] said = process.StandardOutput.ReadToEnd().Trim().Split(' ');
        process.WaitForExit();
        File.Delete(script);
        if (process.ExitCode == 0 && said.Length == 2)
        {
            return said[0] == expected.ToString(CultureInfo.InvariantCulture) ? double.Parse(said[1], CultureInfo.InvariantCulture) : throw new InvalidOperationException($"The script read {said[0]} ports, and {expected} stand there.");
        }

        Console.WriteLine($"  switch -Regex -File: left out, for PowerShell did not run ({errors.Result.Trim()}). Run 'dotnet tool restore' first.");
        return null;
    }

    private static string Of(Dialect dialect)
    {
        Block ports = dialect.Blocks.Single(block => block.Name == "ports"), power = dialect.Blocks.Single(block => block.Name == "power");
        IEnumerable<Regex> others = ports.Ends.Concat(ports.Begins).Concat(power.Ends).Concat(power.Begins)
            .Concat(ports.Ignore.Concat(dialect.Ignore).Select(rule => rule.Pattern));
        return Script.Replace("<ports>", Quoted(ports.Rows[0].Lines[0]), StringComparison.Ordinal).Replace("<power>", Quoted(power.Rows[0].Lines[0]), StringComparison.Ordinal)
            .Replace("<name>", Quoted(dialect.PortNames[0]), StringComparison.Ordinal)
            .Replace("<others>", string.Join("\n                ", others.Select(pattern => $"'{Quoted(pattern)}' {{ continue }}")), StringComparison.Ordinal);
    }

    private static string Quoted(Regex pattern) => pattern.ToString().Replace("'", "''", StringComparison.Ordinal);
}
