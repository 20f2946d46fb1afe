# Invoke-PseRefresh -Resume: the journal of a run that broke off is enough to go on with it, and what cannot be gone on with is refused before anything
# is written.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    $work = New-WorkFolder
    $night = New-Night $work 'quay-1' -Speed 600
    $images = "$root/examples/images"
    Invoke-PseRefresh -Plan $night.PlanPath -ImageFolder $images -Journal $night.Journal -LockFolder $night.Locks -Confirm:$false | Out-Null
    $lines = [IO.File]::ReadAllLines($night.Journal)
    $entries = @(Get-PseJournal $night.Journal)
    $units = @($night.Plan.Units)

    # The journal as a crash left it behind an entry; what the crash was about to write stands there in part, or not at all.
    function Set-BrokenJournal([string] $Path, [string] $Kind, [int] $Order, [string] $Torn = '') {
        $begin = $entries | Where-Object { $_.Kind -eq 'Begin' -and $_.Facts['order'] -eq "$Order" }
        $at = $entries | Where-Object { $_.Line -ge $begin.Line -and "$($_.Kind) $($_.Facts['stage'])" -like "$Kind*" } | Select-Object -First 1
        [IO.File]::WriteAllText($Path, (($lines[0..($at.Line - 1)] -join "`n") + "`n" + $Torn))
    }

    # Warnings of a command, its objects and errors apart.
    function Warned([scriptblock] $Command) {
        $all = @(& $Command 3>&1)
        [pscustomobject]@{ Rows = @($all | Where-Object { $_ -isnot [Management.Automation.WarningRecord] }); Warnings = @($all | Where-Object { $_ -is [Management.Automation.WarningRecord] } | ForEach-Object { "$_" }) }
    }
}

AfterAll {
    $night.Rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'A run that broke off' {
    BeforeEach {
        $journal = Join-Path $night.Folder "$([guid]::NewGuid().ToString('N')).jsonl"
    }

    It 'says in its journal where its plan and its images lie' {
        $began = $entries[0].Facts
        $began['planPath'] | Should -Be (Resolve-Path $night.PlanPath).Path
        $began['imageFolder'] | Should -Be $images
        $began['lockFolder'] | Should -Be $night.Locks
        $began['fingerprint'] | Should -Be $night.Plan.Fingerprint
    }

    It 'is gone on with from its journal alone: the open unit is asked, those that are done are left alone' {
        Set-BrokenJournal $journal 'StageBegan Program' $units.Count
        $result = Warned { Invoke-PseRefresh -Resume $journal -Confirm:$false }

        $result.Rows | ForEach-Object { "$($_.UnitId) $($_.Outcome) $($_.Late) $($_.Reason)" } | Should -Be "$($units[-1].UnitId) Done True It runs $($units[-1].ToFirmware), and everything is back. The run had broken off in Program. This was found out late."
        $result.Warnings | Should -BeNullOrEmpty
        $after = @(Get-PseJournal $journal -ErrorAction Stop)
        ($after | Where-Object Kind -eq 'RunBegan')[-1].Facts['resumes'] | Should -Be '1'
        $after[-1].Text | Should -Be 'because=the plan is through'
        @($night.Rehearsal.Log | Where-Object { "$($_.Kind)" -eq 'InstallBegan' }).Count | Should -Be $units.Count
    }

    It 'has its torn last line set aside in a file of its own, says so, and its chain goes on' {
        Set-BrokenJournal $journal 'StageBegan Program' $units.Count -Torn '{"line":99,"utc":"20'
        $result = Warned { Invoke-PseRefresh -Resume $journal -Confirm:$false }

        $result.Rows.Outcome | Should -Be 'Done'
        $result.Warnings | Should -Be "The last line had not been written to its end; it was set aside in '$journal.torn'."
        [IO.File]::ReadAllText("$journal.torn") | Should -Be "{`"line`":99,`"utc`":`"20`n"
        $after = Told { Get-PseJournal $journal }
        $after.Errors | Should -BeNullOrEmpty
        ($after.Rows | Where-Object Kind -eq 'Note').Text | Should -Contain "text=The last line had not been written to its end; it was set aside in '$journal.torn'."
    }

    It 'has nothing left once it is through, and says so' {
        Copy-Item $night.Journal $journal
        $result = Warned { Invoke-PseRefresh -Resume $journal -Confirm:$false }
        $result.Rows | Should -BeNullOrEmpty
        $result.Warnings | Should -Be "Nothing is left of the run of '$journal'."
    }

    It 'is looked at by -WhatIf, and nothing is written' {
        Set-BrokenJournal $journal 'StageBegan Program' $units.Count -Torn '{"line":99'
        $before = Listing $night.Folder
        $result = Told { Invoke-PseRefresh -Resume $journal -WhatIf }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.Outcome) $($_.Reason)" } | Should -Be "Skipped The run had broken off in Program. It runs $($units[-1].ToFirmware) now; the run that goes on looks whether everything is back."
        Listing $night.Folder | Should -Be $before
    }

    It 'is not gone on with by another plan, and nothing is written' {
        Set-BrokenJournal $journal 'StageBegan Program' $units.Count -Torn '{"line":99'
        $other = New-Night $work 'quay-3' -Speed 600
        try {
            $before = Listing $night.Folder
            $result = Told { Invoke-PseRefresh -Resume $journal -Plan $other.PlanPath -Confirm:$false }
            Confirm-OneProblem $result 'PlanNotOfRun' '^.*: The plan ''.*'' has the fingerprint [0-9a-f]{12}…, and the run of the journal was made from [0-9a-f]{12}…\.'
            $result.Rows | Should -BeNullOrEmpty
            Listing $night.Folder | Should -Be $before
        }
        finally {
            $other.Rehearsal | Stop-PseRehearsal
        }
    }

    It 'keeps a new run from its journal while a unit is open' {
        Set-BrokenJournal $journal 'StageBegan Program' $units.Count
        $before = Listing $night.Folder
        $result = Told { Invoke-PseRefresh -Plan $night.PlanPath -ImageFolder $images -Journal $journal -Confirm:$false }
        Confirm-OneProblem $result 'RunUnfinished' "holds a run that broke off while $($units[-1].UnitId) was at work\. Go on with it by Invoke-PseRefresh -Resume, which asks the unit first"
        Listing $night.Folder | Should -Be $before
    }

    It 'cannot be gone on with where the journal is <What>' -ForEach @(
        @{ What = 'not there'; Text = $null; Id = 'FileNotFound' }
        @{ What = 'empty'; Text = ''; Id = 'FileEmpty' }
        @{ What = 'another file'; Text = "The tide is out.`n"; Id = 'JournalUnreadable' }
    ) {
        if ($null -ne $Text) { [IO.File]::WriteAllText($journal, $Text) }
        Confirm-OneProblem (Told { Invoke-PseRefresh -Resume $journal -Confirm:$false }) $Id
    }
}

Describe 'A lock that a run left behind' {
    It 'is taken over with a warning where its process is gone from this host' {
        $journal = Join-Path $night.Folder 'locked.jsonl'
        Copy-Item $night.Journal $journal
        [IO.File]::WriteAllText("$journal.lock", ([Environment]::MachineName, 'night-watch', '1', 'long ago', '2026-11-30T22:00:00Z', '0') -join "`n")
        $result = Warned { Invoke-PseRefresh -Resume $journal -Confirm:$false }
        $result.Warnings[0] | Should -Be "The lock of the journal was taken over from night-watch on $([Environment]::MachineName), process 1, since 2026-11-30T22:00:00Z, which is gone."
    }

    It 'by a run of another host is told with whose it is, and taken over by -Force' {
        $journal = Join-Path $night.Folder 'elsewhere.jsonl'
        Copy-Item $night.Journal $journal
        [IO.File]::WriteAllText("$journal.lock", ('elsewhere', 'night-watch', '1', 'long ago', '2026-11-30T22:00:00Z', '0') -join "`n")
        Confirm-OneProblem (Told { Invoke-PseRefresh -Resume $journal -Confirm:$false }) 'JournalNotWritable' 'it is being written by night-watch on elsewhere, process 1, since 2026-11-30T22:00:00Z\. Wait for that run to end; where it is known to be dead, take its lock over with -Force\.$'
        $result = Warned { Invoke-PseRefresh -Resume $journal -Force -Confirm:$false }
        $result.Warnings[0] | Should -Be 'The lock of the journal was taken over from night-watch on elsewhere, process 1, since 2026-11-30T22:00:00Z, by force: nobody here can see whether it is gone.'
    }
}
