# What is shown while units are refreshed: a bar for the run with the time left, one for the unit beneath it, neither too often, and both ended.
BeforeAll {
    $root = (Resolve-Path "$PSScriptRoot/../..").Path
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $examples = "$root/examples"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Speed 300
    $drift = Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1, pilot-1 | Test-PseDrift -Baseline "$examples/winter.baseline.json"
    $behind = @($drift | Where-Object Verdict -eq Behind).UnitId
    $plan = $drift | Measure-PseOutage -WarningAction SilentlyContinue | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -AcceptLifeSafety $behind -AcceptRefusedLoad $behind -AcceptedBy gull -WarningAction SilentlyContinue

    # A run in a shell of its own, whose progress comes as records.
    function Shown([string] $Journal, [string] $Preference, [string] $More = '') {
        $shell = [powershell]::Create()
        try {
            $null = $shell.AddScript("
                `$ProgressPreference = 'SilentlyContinue'
                Import-Module '$root/PoeOps.psd1'
                `$ProgressPreference = '$Preference'
                Invoke-PseRefresh -Plan '$work/plan.json' -ImageFolder '$examples/images' -Journal '$work/$Journal' -SkipGate Window, LifeSafety -Confirm:`$false -WarningAction SilentlyContinue $More")
            $watch = [Diagnostics.Stopwatch]::StartNew()
            $output = @($shell.Invoke())
            [pscustomobject]@{ Records = @($shell.Streams.Progress); Results = $output; Errors = @($shell.Streams.Error); Seconds = $watch.Elapsed.TotalSeconds }
        }
        finally { $shell.Dispose() }
    }

    $run = Shown 'night.journal.jsonl' 'Continue'
    $bar = @($run.Records | Where-Object ActivityId -eq 1)
    $unitBar = @($run.Records | Where-Object ActivityId -eq 2)
    $stages = @(Get-PseJournal "$work/night.journal.jsonl" | Where-Object Kind -eq StageBegan)
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'The bars of a run' {
    It 'are of a run that was one' {
        $run.Errors | Should -BeNullOrEmpty
        $run.Results.Count | Should -Be $plan.Units.Count
        @($run.Results | Where-Object Outcome -eq Done).Count | Should -BeGreaterThan 1
    }

    It 'are two, the unit beneath the run' {
        @($run.Records.ActivityId | Sort-Object -Unique) | Should -Be 1, 2
        @($bar.ParentActivityId | Sort-Object -Unique) | Should -Be -1
        @($unitBar.ParentActivityId | Sort-Object -Unique) | Should -Be 1
        @($run.Records | Where-Object { -not $_.Activity -or -not $_.StatusDescription }) | Should -BeNullOrEmpty
    }

    It 'say unit and stage, each stage of each unit' {
        foreach ($stage in $stages) {
            @($unitBar | Where-Object { $_.StatusDescription -match "^$([regex]::Escape($stage.Unit)) $($stage.Facts.stage)(, \d+ %)?$" }).Count | Should -BeGreaterThan 0 -Because "$($stage.Unit) was in $($stage.Facts.stage)"
        }
    }

    It 'never go back: the unit''s within a stage, and the run''s at all' {
        # A unit that takes two images is in each stage twice.
        $turn = 0
        $before = ''
        $shown = @($unitBar | Where-Object RecordType -eq Processing | ForEach-Object {
                $stage = ($_.StatusDescription -split ',')[0]
                if ($stage -ne $before) { $turn++ }
                $before = $stage
                [pscustomobject] @{ Turn = $turn; Percent = $_.PercentComplete }
            })
        foreach ($group in $shown | Group-Object Turn) {
            $percents = @($group.Group.Percent | Where-Object { $_ -ge 0 })
            $percents | Should -Be @($percents | Sort-Object)
        }

        $percents = @(($bar | Where-Object RecordType -eq Processing).PercentComplete)
        $percents | Should -Be @($percents | Sort-Object)
        ($percents | Measure-Object -Minimum -Maximum).Minimum | Should -BeGreaterOrEqual 0
        ($percents | Measure-Object -Minimum -Maximum).Maximum | Should -BeLessOrEqual 100
        ($unitBar.PercentComplete | Measure-Object -Maximum).Maximum | Should -BeGreaterThan 50
    }

    It 'say how much time is left, of the machine, less and less of it' {
        $left = @(($bar | Where-Object RecordType -eq Processing).SecondsRemaining)
        $left | Where-Object { $_ -lt 0 } | Should -BeNullOrEmpty -Because 'the baseline has a time for each stage'
        $left[0] | Should -BeGreaterThan $left[-1]

        # By the plan's own times: all units in the window of the first, in the machine's time.
        $first = $plan.Units[0]
        $typical = ($plan.Units | Where-Object WindowOpensUtc -le $first.WindowClosesUtc | ForEach-Object { ($_.StageTimes.Stages.Values.TypicalSeconds | Measure-Object -Sum).Sum + $_.RecoverSeconds + $(if ($_.StageTimes.Stages.ContainsKey('Gate')) { 0 } else { 30 }) } | Measure-Object -Sum).Sum
        [Math]::Abs($left[0] - $typical / 300) | Should -BeLessOrEqual 1.2
    }

    It 'are never all done before the end, and count on the loads'' restart' {
        @($bar | Where-Object { $_.RecordType -eq 'Processing' -and $_.PercentComplete -ge 100 }) | Should -BeNullOrEmpty
        $recover = @($unitBar | Where-Object { $_.RecordType -eq 'Processing' -and $_.StatusDescription -match ' Recover' })
        $recover.Count | Should -BeGreaterThan 0
        @($recover | Where-Object PercentComplete -GE 100) | Should -BeNullOrEmpty
        $waiting = @($recover | Where-Object CurrentOperation -Match '^(\d+) of \1 loads have power, and are given the time to serve again$')
        $waiting.Count | Should -BeGreaterThan 0
        @($waiting | Where-Object SecondsRemaining -LE 0) | Should -BeNullOrEmpty
    }

    It 'are ended, each' {
        @($bar | Where-Object RecordType -eq Completed).Count | Should -Be 1
        $run.Records[-1].ActivityId | Should -Be 1
        $run.Records[-1].RecordType | Should -Be Completed
        $begun = @($unitBar | Where-Object RecordType -eq Processing | ForEach-Object { ($_.StatusDescription -split ' ')[0] } | Select-Object -Unique)
        @($unitBar | Where-Object RecordType -eq Completed).Count | Should -BeGreaterOrEqual $begun.Count
        $unitBar[-1].RecordType | Should -Be Completed
    }

    It 'move four times a second at the most, and at each stage and end' {
        $most = [Math]::Ceiling($run.Seconds * 4) + $stages.Count + 2 * $plan.Units.Count + 1
        $bar.Count | Should -BeLessOrEqual $most
        $unitBar.Count | Should -BeLessOrEqual ($most + $plan.Units.Count)
    }
}

Describe 'Whoever wants no bars' {
    It 'gets none by <Name>' -ForEach @(
        @{ Name = 'the preference'; Preference = 'SilentlyContinue'; More = '-WhatIf' }
        @{ Name = 'the line'; Preference = 'Continue'; More = '-WhatIf -ProgressAction Ignore' }
    ) {
        $quiet = Shown 'none.journal.jsonl' $Preference $More
        $quiet.Errors | Should -BeNullOrEmpty
        $quiet.Records | Should -BeNullOrEmpty
        $quiet.Results.Count | Should -Be $plan.Units.Count
    }
}
