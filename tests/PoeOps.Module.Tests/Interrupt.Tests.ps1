# Stops while a unit is at work, in another process as people and scheduled tasks have them: Ctrl+C, and the stop file.
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

Describe 'A stop while a unit is at work' {
    BeforeEach {
        $night = New-Night $work 'quay-1', 'quay-2'
    }

    AfterEach {
        $night.Rehearsal | Stop-PseRehearsal
    }

    It 'by Ctrl+C is told at once in one line, and the unit is watched to its end' -Skip:($IsWindows) {
        $run = Start-Run $night
        Wait-Entry $night 'Begin' | Out-Null
        & kill -INT $run.Process.Id
        $said = Read-Line $run '^WARNING: The run stops'
        @(Get-PseJournal $night.Journal -WarningAction SilentlyContinue | Where-Object Kind -eq 'End').Count | Should -Be 0
        $out = Complete-Run $run

        $said | Should -Be 'WARNING: The run stops because a stop was asked for: no further unit starts, and quay-1/2 is watched to its end.'
        @($out -match 'The run stops').Count | Should -Be 1
        $out -join "`n" | Should -Match '(?m)^quay-1/2 ended Done: It runs 3\.10\.2, and everything is back\.$'
        Confirm-Stopped $night 'a stop was asked for'
    }

    It 'by the stop file is told at once in one line, and the object of the unit is given' {
        $run = Start-Run $night
        Wait-Entry $night 'Begin' | Out-Null
        $file = Join-Path $night.Folder 'stop'
        New-Item -ItemType File $file | Out-Null
        $said = Read-Line $run '^WARNING: The run stops'
        @(Get-PseJournal $night.Journal -WarningAction SilentlyContinue | Where-Object Kind -eq 'End').Count | Should -Be 0
        $out = Complete-Run $run

        $said | Should -Be "WARNING: The run stops because the stop file '$file' is there: no further unit starts, and quay-1/2 is watched to its end."
        @($out -match 'The run stops').Count | Should -Be 1
        $out | Should -Contain 'ROW quay-1/2 Done'
        Confirm-Stopped $night "the stop file '$file' is there"
    }
}
