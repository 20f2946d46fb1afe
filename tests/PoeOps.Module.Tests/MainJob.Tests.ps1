# The job from end to end on the demo estate: consoles on loopback, images over TFTP, a journal on disk.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $examples = "$root/examples"
    $baseline = "$examples/winter.baseline.json"
    $work = Join-Path ([IO.Path]::GetTempPath()) "poeops-$([guid]::NewGuid().ToString('N'))"
    New-Item -ItemType Directory $work | Out-Null
    $rehearsal = Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Speed 240
    $controllers = @(Get-PseController -Estate $rehearsal.EstatePath)
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Reading the estate' {
    It 'reads every unit of the demo estate without a problem' {
        $controllers.Count | Should -BeGreaterOrEqual 18
        ($controllers | Measure-Object ReadingProblems -Sum).Sum | Should -Be 0
    }

    It 'finds more than four hundred powered ports' {
        @($controllers | Get-PsePort | Where-Object Delivering).Count | Should -BeGreaterThan 400
    }

    It 'reads one switch when one is named' {
        $one = $controllers[0].Switch
        @(Get-PseController -Estate $rehearsal.EstatePath -Switch $one).Switch | Sort-Object -Unique | Should -Be $one
    }

    It 'says so when no switch has the name' {
        Get-PseController -Estate $rehearsal.EstatePath -Switch 'no-such-switch' -ErrorVariable problem -ErrorAction SilentlyContinue | Should -BeNullOrEmpty
        $problem[0].FullyQualifiedErrorId | Should -Be 'NotInEstate,PoeOps.Cmdlets.Commands.GetPseControllerCommand'
    }

    It 'names each name that fits nothing although others fit, with the nearest' {
        $one = $controllers[0].Switch
        $rows = @(Get-PseController -Estate $rehearsal.EstatePath -Switch $one, 'quay-l2', 'none*' -ErrorVariable problem -ErrorAction SilentlyContinue)
        $rows.Switch | Sort-Object -Unique | Should -Be $one
        $problem.FullyQualifiedErrorId | Sort-Object -Unique | Should -Be 'NotInEstate,PoeOps.Cmdlets.Commands.GetPseControllerCommand'
        $problem.TargetObject | Should -Be 'quay-l2', 'none*'
        "$($problem[0])" | Should -Match "^No switch of '.+' fits 'quay-l2'; the nearest is 'quay-\d'\.$"
        Get-PsePort -Estate $rehearsal.EstatePath -Site 'no where' -ErrorVariable problem -ErrorAction SilentlyContinue | Should -BeNullOrEmpty
        "$problem" | Should -Match "^No site of '.+' fits 'no where'; the nearest is '"
    }

    It 'is refused without the right password' {
        $wrong = [pscredential]::new('nobody', (ConvertTo-SecureString 'wrong-word' -AsPlainText -Force))
        $one = $controllers[0].Switch
        Get-PseController -Estate $rehearsal.EstatePath -Switch $one -Credential $wrong -ErrorVariable problem -ErrorAction SilentlyContinue | Should -BeNullOrEmpty
        $problem[0].FullyQualifiedErrorId | Should -Be 'LogInRefused,PoeOps.Cmdlets.Commands.GetPseControllerCommand'
        "$($problem[0])" | Should -Not -Match 'wrong-word'
    }
}

Describe 'Drift' {
    It 'has every verdict of a readable estate in the demo' {
        ($controllers | Test-PseDrift -Baseline $baseline).Verdict | Sort-Object -Unique |
            Should -Be 'Current', 'Behind', 'Ahead', 'Unlisted', 'Faulted'
    }

    It 'says true to -Quiet while anything is not current' {
        $controllers | Test-PseDrift -Baseline $baseline -Quiet | Should -BeTrue
    }

    It 'says false to -Quiet where all is current' {
        $current = $controllers | Test-PseDrift -Baseline $baseline | Where-Object Verdict -eq Current | ForEach-Object Controller
        $current | Test-PseDrift -Baseline $baseline -Quiet | Should -BeFalse
    }

    It 'finds the dialect where the controllers were read with it, wherever that is' {
        Copy-Item "$root/tests/captures/thole/thole.dialect.json" "$work/elsewhere.dialect.json"
        $read = @(Get-PseController -Capture "$root/tests/captures/thole/*.txt" -Dialect "$work/elsewhere.dialect.json" -ErrorAction SilentlyContinue)
        $read.Count | Should -BeGreaterThan 0
        $read | Test-PseDrift -Baseline $baseline -ErrorVariable problems -ErrorAction SilentlyContinue | Out-Null
        $problems | Should -BeNullOrEmpty
    }

    It 'compares nothing where the dialect cannot be found' {
        $stranger = $controllers | Where-Object Condition -eq Healthy | Select-Object -First 1 Switch, Unit, Model, Release, Firmware, Condition
        $verdict = $stranger | Test-PseDrift -Baseline $baseline -Dialect 'no-such-dialect' -ErrorVariable problems -ErrorAction SilentlyContinue
        $verdict.Verdict | Should -Be 'Unreadable'
        $problems[0].FullyQualifiedErrorId | Should -Be 'DialectUnknown,PoeOps.Cmdlets.Commands.TestPseDriftCommand'
    }

    It 'gives the same verdicts to rows of a CSV file' {
        $path = Join-Path $work 'controllers.csv'
        $controllers | Select-Object Site, Switch, Unit, Model, Serial, Release, Firmware, Condition, Dialect | Export-Csv -NoTypeInformation $path
        $byObject = $controllers | Test-PseDrift -Baseline $baseline | ForEach-Object { "$($_.UnitId) $($_.Verdict)" }
        Import-Csv $path | Test-PseDrift -Baseline $baseline | ForEach-Object { "$($_.UnitId) $($_.Verdict)" } | Should -Be $byObject
    }
}

Describe 'Images' {
    It 'finds every image of the baseline whole' {
        Test-PseImage -Path "$examples/images" -Baseline $baseline -Quiet | Should -BeTrue
    }

    It 'names the one that was changed by one byte' {
        $copy = Join-Path $work 'images'
        Copy-Item -Recurse "$examples/images" $copy
        $first = Get-ChildItem $copy -File | Where-Object Name -in (Test-PseImage $copy $baseline).File | Select-Object -First 1
        $bytes = [IO.File]::ReadAllBytes($first.FullName)
        $bytes[$bytes.Length - 1] = $bytes[$bytes.Length - 1] -bxor 1
        [IO.File]::WriteAllBytes($first.FullName, $bytes)
        $bad = Test-PseImage $copy $baseline | Where-Object { -not $_.Good }
        $bad.File | Should -Be $first.Name
        $bad.Problem.Id | Should -Be 'ImageWrongDigest'
        Test-PseImage $copy $baseline -Quiet | Should -BeFalse
    }
}

Describe 'The whole line' {
    BeforeAll {
        $plan = Join-Path $work 'plan.json'
        $behind = @($controllers | Test-PseDrift -Baseline $baseline | Where-Object Verdict -eq Behind)
        $accepted = @($behind | Where-Object { $_.Controller.LifeSafetyLoads -gt 0 } | ForEach-Object { "$($_.UnitId)" })
        $made = Get-PseController -Estate $rehearsal.EstatePath | Test-PseDrift -Baseline $baseline |
            Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate $rehearsal.EstatePath -Path $plan -AcceptLifeSafety $accepted -WarningAction SilentlyContinue
    }

    It 'plans every unit that is behind' {
        @($made.Units.UnitId | ForEach-Object { "$_" } | Sort-Object -Unique) | Should -Be @($behind.UnitId | ForEach-Object { "$_" } | Sort-Object)
    }

    It 'never writes over a plan' {
        $outages = $behind | Measure-PseOutage -WarningAction SilentlyContinue
        { $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path $plan -WarningAction SilentlyContinue -ErrorAction Stop } |
            Should -Throw -ErrorId 'FileExists,PoeOps.Cmdlets.Commands.NewPsePlanCommand'
    }

    It 'changes nothing under -WhatIf' {
        $journal = Join-Path $work 'whatif.journal.jsonl'
        $before = Get-PseController -Estate $rehearsal.EstatePath | ForEach-Object { "$($_.UnitId) $($_.Firmware)" }
        $files = Get-ChildItem -Recurse $work | ForEach-Object FullName
        Invoke-PseRefresh -Plan $plan -ImageFolder "$examples/images" -Journal $journal -WhatIf | ForEach-Object Outcome | Sort-Object -Unique | Should -Be 'Skipped'
        Get-ChildItem -Recurse $work | ForEach-Object FullName | Should -Be $files
        Get-PseController -Estate $rehearsal.EstatePath | ForEach-Object { "$($_.UnitId) $($_.Firmware)" } | Should -Be $before
    }

    It 'refreshes them one after the other, and the estate is current afterwards' {
        $journal = Join-Path $work 'night.journal.jsonl'
        $results = @(Invoke-PseRefresh -Plan $plan -ImageFolder "$examples/images" -Journal $journal -Confirm:$false)
        $results | Where-Object Outcome -ne Done | ForEach-Object { "$($_.UnitId) $($_.Outcome) $($_.Reason)" } | Should -BeNullOrEmpty
        $results.Count | Should -Be $made.Units.Count

        $entries = @(Get-PseJournal $journal -ErrorAction Stop)
        $open = 0
        foreach ($entry in $entries) {
            if ($entry.Kind -eq 'Begin') { $open++ }
            if ($entry.Kind -eq 'End') { $open-- }
            $open | Should -BeIn 0, 1 -Because 'one unit at a time'
        }

        $left = Get-PseController -Estate $rehearsal.EstatePath | Test-PseDrift -Baseline $baseline | Where-Object Verdict -eq Behind
        $left | Should -BeNullOrEmpty
    }

    It 'holds what was planned against what came of it, by unit and by load' {
        $journal = Join-Path $work 'night.journal.jsonl'
        $units = @(Measure-PseOutage -Plan $plan -Journal $journal -WarningVariable said -WarningAction SilentlyContinue)
        ($units | Measure-Object Hops -Sum).Sum | Should -Be $made.Units.Count
        $units.RealOutcome | Sort-Object -Unique | Should -Be 'Done'
        $units.StageTimesFrom | Sort-Object -Unique | Should -Be 'plan'
        ($units | Measure-Object RealLoadsBack -Sum).Sum | Should -Be ($units | Measure-Object Loads -Sum).Sum
        $said -match 'is the journal of a rehearsal at speed' | Should -HaveCount 1
        $loads = @(Measure-PseOutage -Plan $plan -Journal $journal -ByLoad -WarningAction SilentlyContinue)
        $loads.Count | Should -Be ($units | Measure-Object Loads -Sum).Sum
        $loads.RealBack | Sort-Object -Unique | Should -Be $true
        $loads | Where-Object { $_.RealDarkSeconds -le 0 -or $_.DarkFromUtc -ge $_.DarkUntilUtc } | Should -BeNullOrEmpty
        $first = $made.Units[0]
        ($loads | Where-Object { $_.Switch -eq $first.Switch -and $_.Unit -eq $first.Unit } | Select-Object -First 1).DarkFromUtc | Should -BeGreaterThan $first.StartUtc
    }

    It 'learns from a journal, and says where it found too little' {
        $from = @($behind | Measure-PseOutage -Journal (Join-Path $work 'night.journal.jsonl') -WarningAction SilentlyContinue).StageTimesFrom
        $from | Where-Object { $_ -notmatch '^(journal \(\d+\)|baseline \([0-4] of 5\))(; (journal \(\d+\)|baseline \([0-4] of 5\)))?$' } | Should -BeNullOrEmpty
        Measure-PseOutage -Plan $plan -Journal (Join-Path $work 'none.jsonl') -ErrorVariable problem -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Out-Null
        $problem[0].FullyQualifiedErrorId | Should -Be 'FileNotFound,PoeOps.Cmdlets.Commands.MeasurePseOutageCommand'
    }

    It 'says where a journal was altered' {
        $journal = Join-Path $work 'night.journal.jsonl'
        $forged = Join-Path $work 'forged.journal.jsonl'
        $lines = [IO.File]::ReadAllLines($journal)
        $lines[2] = $lines[2].Replace('"utc":"20', '"utc":"19')
        [IO.File]::WriteAllLines($forged, $lines)
        Get-PseJournal $forged -ErrorVariable problem -ErrorAction SilentlyContinue | Out-Null
        $problem[0].FullyQualifiedErrorId | Should -Be 'JournalChainBroken,PoeOps.Cmdlets.Commands.GetPseJournalCommand'
        $problem[0].Exception.Problem.Line | Should -BeIn 3, 4
    }
}
