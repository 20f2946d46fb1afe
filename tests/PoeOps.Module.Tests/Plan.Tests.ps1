# New-PsePlan over a rehearsal: what its parameters do, what a stopped night leaves, and which plan Invoke-PseRefresh refuses.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    $work = New-WorkFolder
    $night = New-Night $work 'quay-1', 'pilot-1' -Speed 1200
    $estate = $night.Rehearsal.EstatePath
    $outages = @(Get-PseController -Estate $estate -Switch 'quay-1', 'pilot-1' | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" |
            Where-Object Verdict -eq 'Behind' | Measure-PseOutage -WarningAction SilentlyContinue)
    $accepted = @($outages | Where-Object LifeSafetyLoads -gt 0 | ForEach-Object { "$($_.UnitId)" })
    $base = @{ Estate = $estate; AcceptLifeSafety = $accepted; WarningAction = 'SilentlyContinue' }
    $run = @{ ImageFolder = "$root/examples/images"; LockFolder = $night.Locks; Confirm = $false }
}

AfterAll {
    Stop-PseRehearsal
    Remove-Module PoeOps
    Remove-Item -Recurse -Force $work
}

Describe 'New-PsePlan' {
    It 'lets the pilot of a model and image go first, and its fellows after the soak' {
        $plan = $outages | New-PsePlan "$work/soak.plan.json" @base -Soak ([timespan]::FromHours(30))
        $plan.SoakSeconds | Should -Be 108000
        $kinds = @($plan.Units | Group-Object Model, ToFirmware | Where-Object Count -gt 1)
        $kinds.Count | Should -BeGreaterThan 0
        foreach ($kind in $kinds) {
            $pilot = @($kind.Group | Where-Object Pilot)
            $pilot.Count | Should -Be 1
            foreach ($fellow in $kind.Group | Where-Object { -not $_.Pilot }) {
                $fellow.StartUtc | Should -BeGreaterOrEqual $pilot[0].EndUtc.AddHours(30)
            }
        }
    }

    It 'needs no soak in a rehearsal, whose estate says so' { $night.Plan.SoakSeconds | Should -Be 0 }

    It 'gives each site a lane of its own' {
        $plan = $outages | New-PsePlan "$work/lanes.plan.json" @base -Lanes 2
        $plan.Lanes | Should -Be 2
        @($plan.Units | Select-Object Site, Lane -Unique).Count | Should -Be 2
        @($plan.Units.Lane | Sort-Object -Unique) | Should -Be 1, 2
    }

    It 'uses no window that closes later than -Until' {
        $plan = $outages | New-PsePlan "$work/until.plan.json" @base -Until ([datetime]::UtcNow.AddYears(-1))
        $plan.Units.Count | Should -Be 0
        @($plan.Obstacles.ProblemId | Sort-Object -Unique) | Should -Be 'NoWindowFits'
        $plan.Obstacles.Count + $plan.NothingToDo | Should -Be $outages.Count
    }

    It 'looks at no more than -MostWindows windows of a site, and says so' {
        $plan = $outages | New-PsePlan "$work/most.plan.json" @base -MostWindows 1 -Soak ([timespan]::FromDays(40))
        foreach ($site in $plan.Units | Group-Object Site) {
            @($site.Group.WindowOpensUtc | Sort-Object -Unique).Count | Should -Be 1
        }

        $late = @($plan.Obstacles | Where-Object { $_.Reason -match 'looked at: 1\)' })
        $late.Count | Should -BeGreaterThan 0
        $late.WouldHelp | Should -BeLike 'Add windows, look at more (-MostWindows)*'
    }

    It 'refuses <Name>' -ForEach @(
        @{ Name = 'no lanes'; With = @{ Lanes = 0 }; Id = 'ParameterArgumentValidationError' }
        @{ Name = 'a soak below nothing'; With = @{ Soak = [timespan]::FromHours(-1) }; Id = 'SoakImpossible' }
        @{ Name = 'a reserve below nothing'; With = @{ Reserve = [timespan]::FromHours(-1) }; Id = 'ReserveImpossible' }
    ) {
        $told = Told { $outages | New-PsePlan "$work/no.plan.json" @base @With }
        $told.Errors[0].FullyQualifiedErrorId | Should -BeLike "$Id,*"
        Test-Path "$work/no.plan.json" | Should -BeFalse
    }
}

Describe 'Invoke-PseRefresh' {
    It 'takes one lane of a plan with several, by name' {
        $outages | New-PsePlan "$work/two.plan.json" @base -Lanes 2 | Out-Null
        $none = Told { Invoke-PseRefresh "$work/two.plan.json" @run -Journal "$work/two.journal.jsonl" }
        $none.Errors[0].FullyQualifiedErrorId | Should -BeLike 'LaneNotNamed,*'
        "$($none.Errors[0])" | Should -Match 'has 2 lanes'
        (Told { Invoke-PseRefresh "$work/two.plan.json" @run -Journal "$work/two.journal.jsonl" -Lane 3 }).Errors[0].FullyQualifiedErrorId | Should -BeLike 'LaneNotNamed,*'
        $rows = @(Invoke-PseRefresh "$work/two.plan.json" @run -Journal "$work/two.journal.jsonl" -Lane 2 -WhatIf -WarningAction SilentlyContinue)
        $plan = $outages | New-PsePlan "$work/two.plan.json" @base -Lanes 2 -Force
        @($rows.UnitId | ForEach-Object { "$_" }) | Should -Be @($plan.Units | Where-Object Lane -eq 2 | ForEach-Object { "$($_.UnitId)" })
    }

    It 'refuses a plan whose <Name> has changed, and names what of it' -ForEach @(
        @{ Name = 'estate'; Part = "switch 'quay-1'" }
        @{ Name = 'baseline'; Part = "the entry of '" }
    ) {
        $folder = New-Item -ItemType Directory "$work/stale-$Name"
        Copy-Item $estate "$folder/a.estate.json"
        Copy-Item "$root/examples/winter.baseline.json" "$folder/a.baseline.json"
        $drifted = Get-PseController -Estate $estate -Switch 'quay-1' | Test-PseDrift -Baseline "$folder/a.baseline.json" | Where-Object Verdict -eq 'Behind' | Measure-PseOutage -WarningAction SilentlyContinue
        $drifted | New-PsePlan "$folder/a.plan.json" -Estate "$folder/a.estate.json" -AcceptLifeSafety @($drifted.UnitId) -WarningAction SilentlyContinue | Out-Null
        $file = "$folder/a.$Name.json"
        $text = [IO.File]::ReadAllText($file)
        $new = if ($Name -eq 'estate') { $text -replace '("name": "quay-1",)', '$1 "clearText": true,' } else { $text -replace '"firmware": "3\.10\.2"', '"firmware": "3.10.3"' }
        $new | Should -Not -Be $text
        [IO.File]::WriteAllText($file, $new)
        $told = Told { Invoke-PseRefresh "$folder/a.plan.json" @run -Journal "$folder/a.journal.jsonl" }
        $told.Errors[0].FullyQualifiedErrorId | Should -BeLike 'PlanStale,*'
        "$($told.Errors[0])" | Should -BeLike "*The $Name file '*' (*$Part*) has changed since the plan was made.*"
    }
}

Describe 'New-PsePlan -AfterJournal' {
    BeforeAll {
        $first = @($night.Plan.Units)[0]
        Invoke-PseRefresh $night.PlanPath @run -Journal $night.Journal -WarningAction SilentlyContinue | Select-Object -First 1 | Out-Null
    }

    It 'plans what the night left' {
        $rest = New-PsePlan "$work/rest.plan.json" -AfterJournal $night.Journal -WarningAction SilentlyContinue
        @($rest.Units.UnitId) | Should -Not -Contain $first.UnitId
        @($rest.Units.UnitId | ForEach-Object { "$_" } | Sort-Object -Unique).Count + $rest.Obstacles.Count | Should -Be (@($night.Plan.Units.UnitId | Sort-Object -Unique).Count - 1)
        @($rest.Units.WindowOpensUtc | Sort-Object -Unique) | Should -Be @($night.Plan.Units.WindowOpensUtc | Sort-Object -Unique)
        $rest.EstatePath | Should -Be $night.Plan.EstatePath
    }

    It 'takes a fresh reading in the place of what the plan knew' {
        $fresh = $outages | Where-Object { $_.UnitId -ne $first.UnitId } | Select-Object -First 1
        $rest = $fresh | New-PsePlan "$work/fresh.plan.json" -AfterJournal $night.Journal -Estate $estate -WarningAction SilentlyContinue
        @($rest.Units | Where-Object UnitId -eq $fresh.UnitId).Count | Should -Be $fresh.Hops
    }

    It 'refuses a journal that is none' {
        [IO.File]::WriteAllText("$work/none.jsonl", "{}`n")
        (Told { New-PsePlan "$work/none.plan.json" -AfterJournal "$work/none.jsonl" }).Errors[0].FullyQualifiedErrorId | Should -BeLike 'JournalUnreadable,*'
    }
}
