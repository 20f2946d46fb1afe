using System.Diagnostics;
using System.Globalization;

namespace PoeOps.Benchmarks;

/// <summary>The same reading as a careful PowerShell script, with the expressions of the family.</summary>
internal static class SwitchScript
{
    private const string Script = """
        param($File)
        $ErrorActionPreference = 'Stop'
        $admin = @{ on = $true; off = $false }
        $status = @{ feeding = 'DeliveringPower'; seeking = 'Searching'; off = 'Disabled'; fault = 'Fault' }
        $condition = @{ fit = 'Healthy'; lame = 'Faulted'; refit = 'Refreshing'; none = 'Absent' }
        $culture = [Globalization.CultureInfo]::InvariantCulture
        function Read-All {
            $ports = [Collections.Generic.List[object]]::new()
            $controllers = [Collections.Generic.List[object]]::new()
            switch -Regex -File $File {
                '^(\d+):(\d+) +(\S+) +(\S+) +(\S+) +(\S+) +(\S+) +(\S+) +(\S+)$' {
                    $ports.Add([pscustomobject]@{
                        Unit = $Matches[1]; Port = $Matches[2]; AdminEnabled = $admin[$Matches[3]]; Status = $status[$Matches[4]]
                        PdClass = if ($Matches[5] -ne '-') { [int] $Matches[5] }; Priority = $Matches[6]
                        AllocatedWatts = [decimal]::Parse($Matches[7], $culture); DrawWatts = [decimal]::Parse($Matches[8], $culture); LimitWatts = [decimal]::Parse($Matches[9], $culture)
                    })
                    continue
                }
                '^(\d+) +(\S+) +(\S+) +(\S+) +(\S+) +(\S+) +(\S+)$' {
                    $controllers.Add([pscustomobject]@{
                        Unit = $Matches[1]; Firmware = $Matches[2]; Condition = $condition[$Matches[3]]; BudgetWatts = [decimal]::Parse($Matches[4], $culture)
                        GuardBandWatts = [decimal]::Parse($Matches[5], $culture); AllocatedWatts = [decimal]::Parse($Matches[6], $culture); DrawWatts = [decimal]::Parse($Matches[7], $culture)
                    })
                    continue
                }
                '^(Unit|Port|Node) |^told: |^-+( +-+)*$|^~ ' { continue }
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
    public static double? Seconds(string file, int expected)
    {
        string script = Path.ChangeExtension(file, ".ps1");
        File.WriteAllText(script, Script);
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
}
