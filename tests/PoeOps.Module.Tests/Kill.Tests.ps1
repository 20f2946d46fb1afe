# Kills a process in the middle of a run (as a power cut or kill -9 does) at random moments, and goes on in a new one. Three times, or as often as the
# variable POEOPS_KILLS says; the moments come from a seed, which is printed, and POEOPS_SEED sets it.
BeforeDiscovery {
    $kills = if ($env:POEOPS_KILLS) { [int] $env:POEOPS_KILLS } else { 3 }
    $seed = if ($env:POEOPS_SEED) { [int] $env:POEOPS_SEED } else { 20261201 }
    $rows = @(foreach ($number in 1..$kills) { @{ Number = $number; Seed = $seed + $number } })
    Write-Host "$kills kills from seed $seed"
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    $work = New-WorkFolder
    $met = [Collections.Generic.List[string]]::new()

    # Waits until the journal holds so many entries, or the process is gone.
    function Wait-Lines($Run, [string] $Path, [int] $Count) {
        while (-not $Run.Process.HasExited) {
            if ((Test-Path $Path) -and (Get-Item $Path).Length -gt 0) {
                $stream = [IO.FileStream]::new($Path, 'Open', 'Read', 'ReadWrite, Delete')
                $text = [IO.StreamReader]::new($stream).ReadToEnd()
                $stream.Dispose()
                if ($text.Split("`n").Count -gt $Count) { return }
            }

            Start-Sleep -Milliseconds 5
        }
    }
}

AfterAll {
    Write-Host "$(@($met -ne 'too late').Count) processes were killed at work, $(@($met -eq 'too late').Count) had ended: $(@($met | Group-Object | Sort-Object Name | ForEach-Object { "$($_.Name) $($_.Count)" }) -join ', ')"
    Remove-Item -Recurse -Force $work
}

Describe 'A process that is killed in the middle of a run' {
    AfterEach {
        $night.Rehearsal | Stop-PseRehearsal
    }

    It 'is gone on with by another, and every unit is loaded as often as its state asks for: <Number>, seed <Seed>' -ForEach $rows {
        $random = [Random]::new($Seed)
        $switch = ('quay-1', 'quay-2', 'quay-3', 'hall-2')[$random.Next(4)]

        # Not faster: a unit whose file server is gone gives up after twelve seconds of the machine, and is waited for that long.
        $night = New-Night $work $switch -Speed 200
        $run = Start-Run $night

        # A unit writes some thirty entries; the moment between two of them is random as well.
        Wait-Lines $run $night.Journal ($random.Next(1, 28 * $night.Plan.Units.Count))
        Start-Sleep -Milliseconds $random.Next(0, 300)
        $killed = -not $run.Process.HasExited
        $run.Process.Kill()
        $run.Process.WaitForExit()
        $entries = @(Get-PseJournal $night.Journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue)
        $met.Add($(if (-not $killed) { 'too late' } elseif ($entries.Count) { "$($entries[-1].Kind)$(if ($entries[-1].Facts['stage']) { " $($entries[-1].Facts['stage'])" })" } else { 'before the first entry' }))

        $next = Start-Run $night $(if ($entries.Count) { "-Resume '$($night.Journal)'" } else { "-Plan '$($night.PlanPath)' -ImageFolder '$root/examples/images' -Journal '$($night.Journal)'" })
        $out = Complete-Run $next
        $because = "the second run said: $($out -join ' | ')"

        $after = Told { Get-PseJournal $night.Journal }
        $after.Errors | Should -BeNullOrEmpty -Because $because
        $after.Rows[-1].Text | Should -Be 'because=the plan is through' -Because $because

        # What the units run is read from them, and how often they were loaded from their own log.
        $firmware = @{}
        Get-PseController -Estate $night.Rehearsal.EstatePath -Switch $switch | ForEach-Object { $firmware["$($_.UnitId)"] = $_.Firmware }
        foreach ($unit in $night.Plan.Units | Group-Object UnitId) {
            $last = $unit.Group[-1].ToFirmware
            "$($unit.Name) $($firmware[$unit.Name])" | Should -Be "$($unit.Name) $last" -Because $because
            $log = @($night.Rehearsal.Log | Where-Object { "$($_.Target)" -eq $unit.Name -and "$($_.Kind)" -in 'InstallBegan', 'InstallSucceeded', 'InstallFailed' } | ForEach-Object { "$($_.Kind)" })
            @($log -eq 'InstallSucceeded').Count | Should -Be $unit.Count -Because "$unit was loaded so: $log; $because"

            # Nothing is sent to a unit that is still at work on what was sent before.
            for ($at = 0; $at -lt $log.Count; $at++) {
                $log[$at] | Should -BeIn $(if ($at % 2) { 'InstallSucceeded', 'InstallFailed' } else { , 'InstallBegan' }) -Because "$unit was loaded so: $log"
            }
        }
    }
}
