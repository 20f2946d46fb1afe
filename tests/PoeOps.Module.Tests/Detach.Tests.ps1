# The process of a run is asked to end (its window closed, the user logged off, the machine shut down) while a unit is at work.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    $work = New-WorkFolder
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'A process that is asked to end in the middle of a run' -Skip:$IsWindows {
    AfterEach {
        $night.Rehearsal | Stop-PseRehearsal
    }

    It 'writes that it let go of its unit, and the next one asks that unit first: signal <Signal>' -ForEach @(
        @{ Signal = 'TERM'; Because = 'it was asked to end' }
        @{ Signal = 'HUP'; Because = 'its window was closed' }
    ) {
        $night = New-Night $work 'quay-1' -Speed 200
        $run = Start-Run $night
        Wait-Entry $night 'Begin' | Out-Null
        while (-not (Get-PseJournal $night.Journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { "$($_.Kind)" -eq 'StageBegan' -and $_.Facts['stage'] -eq 'Program' })) {
            $run.Process.HasExited | Should -BeFalse
            Start-Sleep -Milliseconds 10
        }

        & kill "-$Signal" $run.Process.Id
        $run.Process.WaitForExit(60000) | Should -BeTrue

        $first = $night.Plan.Units[0].UnitId
        $entries = @(Get-PseJournal $night.Journal -ErrorAction Stop)
        "$($entries[-2].Kind) $($entries[-2].Unit) $($entries[-2].Facts['outcome']) $($entries[-2].Facts['problem'])" | Should -Be "End $first Detached RunDetached"
        $entries[-2].Facts['reason'] | Should -Be "The run was made to let go of it in Program because the process was made to end: $Because. It was not interrupted and goes on by itself; -Resume asks what became of it."
        $entries[-1].Facts['because'] | Should -Be "the process was made to end: $Because"
        $entries[-1].Facts['notBegun'] | Should -Be (@($night.Plan.Units | Select-Object -Skip 1 | ForEach-Object { "$($_.UnitId)" }) -join ', ')

        $new = Start-Run $night
        "$(Complete-Run $new)" | Should -Match 'holds a run that broke off while'
        $next = Start-Run $night "-Resume '$($night.Journal)'"
        $lines = Complete-Run $next
        $lines | Where-Object { $_ -like 'ROW*' } | Select-Object -First 1 | Should -Be "ROW $first Done"
        @($lines | Where-Object { $_ -like 'ROW*Done' }).Count | Should -Be $night.Plan.Units.Count
        @($night.Rehearsal.Log | Where-Object { "$($_.Kind)" -eq 'InstallBegan' }).Count | Should -Be $night.Plan.Units.Count
    }
}
