# What whoever looks for a fault is told: the story with -Verbose, the bytes with -Debug, and errors with all that an error record can say.
BeforeAll {
    $root = (Resolve-Path "$PSScriptRoot/../..").Path
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $examples = "$root/examples"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Speed 600
    $hidden = [regex] '[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]'

    # The texts of one stream of a command, and whatever else came.
    function Streams([scriptblock] $Command) {
        $all = @(& $Command *>&1)
        [pscustomobject]@{
            Verbose = @($all | Where-Object { $_ -is [Management.Automation.VerboseRecord] } | ForEach-Object Message)
            Debug   = @($all | Where-Object { $_ -is [Management.Automation.DebugRecord] } | ForEach-Object Message)
            Rows    = @($all | Where-Object { $_ -isnot [Management.Automation.InformationalRecord] -and $_ -isnot [Management.Automation.WarningRecord] })
        }
    }
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe '-Verbose' {
    It 'says which file was read, which switches are asked, and how many units each has' {
        $told = (Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch pilot-1, quay-1 -Verbose }).Verbose
        # A switch is begun before what came of the one before is handed on.
        @($told | Sort-Object) | Should -Be @(@(
            "Read the estate '$($rehearsal.EstatePath)': 9 switches at 3 sites."
            "2 of 9 switches fit switch 'pilot-1', 'quay-1' and any site."
            'Reading quay-1 at 127.0.0.1.'
            'quay-1: 3 units, 0 problems.'
            'Reading pilot-1 at 127.0.0.1.'
            'pilot-1: 2 units, 0 problems.'
        ) | Sort-Object)
    }

    It 'says of each unit what is to do with it, and why not' {
        $baseline = "$examples/winter.baseline.json"
        $told = Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 | Test-PseDrift -Baseline $baseline -Verbose }
        $told.Verbose[0] | Should -Be "Comparing with the baseline '$baseline'."
        $told.Verbose[1..3] | Should -Be @($told.Rows | ForEach-Object { "$($_.UnitId): $($_.Verdict). $($_.Reason)" })
    }

    It 'says of a run what it was made from and how each unit ended' {
        $plan = Get-PseController -Estate $rehearsal.EstatePath -Switch pilot-1 | Test-PseDrift -Baseline "$examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -WarningAction SilentlyContinue
        $told = Streams { Invoke-PseRefresh -Plan "$work/plan.json" -ImageFolder "$examples/images" -Journal "$work/a.journal.jsonl" -WhatIf -Verbose }
        $told.Verbose | Should -Contain "Read the plan '$work/plan.json': $($plan.Units.Count) units, and $($plan.Obstacles.Count) that are not planned."
        foreach ($row in $told.Rows | Where-Object { $_ -isnot [string] }) {
            $told.Verbose | Should -Contain "$($row.UnitId) ended $($row.Outcome): $($row.Reason)"
        }
    }
}

Describe '-Debug' {
    It 'shows every byte of the dialogue, without secrets and with nothing hidden' {
        # What -Debug itself sets is Inquire in some hosts, which asks at each line.
        $DebugPreference = 'Continue'
        $told = (Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch hall-2 }).Debug
        $told.Count | Should -BeGreaterThan 10
        $told | Where-Object { $_ -notmatch '^hall-2 \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z [<>] ' } | Should -BeNullOrEmpty
        @($told | Where-Object { $_ -match ' > ' }).Count | Should -BeGreaterThan 3
        $text = $told -join "`n"
        $text | Should -Match '\[secret\]'
        $text | Should -Match '\\r'
        $text | Should -Not -Match ([regex]::Escape($rehearsal.Password))
        $text | Should -Not -Match ([regex]::Escape($rehearsal.ElevationPassword))
        $hidden.IsMatch($text) | Should -BeFalse
    }

    It 'shows what is saved as a capture, with the log-in and without its secrets' {
        $DebugPreference = 'Continue'
        $told = (Streams { Save-PseCapture -Estate $rehearsal.EstatePath -Switch hall-2 -Send 'list sockets A' -Path "$work/saved" }).Debug
        $told | Where-Object { $_ -notmatch '^hall-2 \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z [<>] ' } | Should -BeNullOrEmpty
        @($told | Where-Object { $_ -match "> list sockets A\\r\\n$" }).Count | Should -Be 1
        $text = $told -join "`n"
        $text | Should -Match '\[secret\]'
        $text | Should -Not -Match ([regex]::Escape($rehearsal.Password))
    }

    It 'shows what is asked and answered by SNMP, and no community (<Way>)' -ForEach @(@{ Way = 'user of the rehearsal' }, @{ Way = 'community' }, @{ Way = 'address' }) {
        $DebugPreference = 'Continue'
        $place = $rehearsal.Switches | Where-Object Name -EQ 'quay-1'
        $told = switch ($Way) {
            'community' { Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 -Link Snmp -Community $rehearsal.Community } }
            'address' { Streams { Get-PseController -Address "127.0.0.1:$($place.SnmpPort)" -Community $rehearsal.Community } }
            default { Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 -Link Snmp } }
        }
        $name = if ($Way -eq 'address') { '127\.0\.0\.1' } else { 'quay-1' }
        $told.Debug.Count | Should -BeGreaterThan 10
        $told.Debug | Where-Object { $_ -notmatch "^$name \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z [<>] \d+ octets, " } | Should -BeNullOrEmpty

        # The nominal power of the first group (RFC 3621, pethMainPsePower), asked for and answered.
        @($told.Debug | Where-Object { $_ -match ' > \d+ octets, GetBulkRequest, \d+ after each: .*1\.3\.6\.1\.2\.1\.105\.1\.3\.1\.1\.2' }).Count | Should -BeGreaterThan 0
        $watts = ($told.Rows | Select-Object -First 1).BudgetWatts
        @($told.Debug | Where-Object { $_ -match " < \d+ octets, Response: .*1\.3\.6\.1\.2\.1\.105\.1\.3\.1\.1\.2\.\d+ = Gauge32 $watts\b" }).Count | Should -BeGreaterThan 0
        ($told.Debug -join "`n") | Should -Not -Match ([regex]::Escape($rehearsal.Community))
    }

    It 'says nothing where nobody asks' {
        $told = Streams { Get-PseController -Estate $rehearsal.EstatePath -Switch hall-2 }
        @($told.Debug) + @($told.Verbose) | Should -BeNullOrEmpty
        $told.Rows.Count | Should -BeGreaterThan 0
    }
}

Describe 'An error' {
    It 'has id, category, target, sentence and what to do: <Id>' -ForEach @(
        @{ Id = 'FileNotFound'; Command = { Get-PseController -Estate none.json }; Category = 'ObjectNotFound' }
        @{ Id = 'FileNotFound'; Command = { Test-PseDrift -Baseline none.json -Switch s -Unit 1 }; Category = 'ObjectNotFound' }
        @{ Id = 'FileNotFound'; Command = { Invoke-PseRefresh -Plan none.json -ImageFolder . -Journal ./n.jsonl -Confirm:$false }; Category = 'ObjectNotFound' }
        @{ Id = 'FileNotFound'; Command = { Get-PseJournal none.jsonl }; Category = 'ObjectNotFound' }
        @{ Id = 'NotInEstate'; Command = { Get-PseController -Estate $rehearsal.EstatePath -Switch nobody }; Category = 'ObjectNotFound' }
        @{ Id = 'DialectUnknown'; Command = { Test-PseDialect -Dialect nobody -Capture "$examples/captures/kelpline/*.txt" }; Category = 'ObjectNotFound' }
        @{ Id = 'MishapUnknown'; Command = { Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Mishap 'quay-1:Nothing:Ever' }; Category = 'InvalidArgument' }
        @{ Id = 'GateNotSkippable'; Command = { Invoke-PseRefresh -Plan x -ImageFolder . -Journal ./n.jsonl -SkipGate Digest -Confirm:$false }; Category = '*' }
        @{ Id = 'JsonSyntax'; Command = { Set-Content "$work/bad.json" '{ "name": }'; Get-PseController -Estate "$work/bad.json" }; Category = 'ParserError' }
    ) {
        $record = (Told $Command).Errors[-1]
        $problem = $record.Exception.Problem
        $record.FullyQualifiedErrorId | Should -Match "^$Id,PoeOps\.Cmdlets\.Commands\.\w+Command$"
        "$($record.CategoryInfo.Category)" | Should -BeLike $Category
        $record.CategoryInfo.Category | Should -Not -Be NotSpecified
        "$($record.TargetObject)" | Should -Not -BeNullOrEmpty
        $record.ErrorDetails.RecommendedAction | Should -Be $problem.Advice
        $record.Exception.Message | Should -Be "$problem"

        # Printed once as PowerShell 7 does it, sentence and advice; broken to the window's width, with a rule in front.
        $ErrorView = 'ConciseView'
        $shown = (($record | Out-String -Width 10000) -replace '\x1b\[[0-9;]*m' -replace '\s*\r?\n[ |]*', ' ')
        $shown | Should -Match ([regex]::Escape($problem.Sentence))
        ([regex]::Matches($shown, [regex]::Escape($problem.Advice))).Count | Should -Be 1
        (Get-Error -InputObject $record | Out-String -Width 10000) -replace '\s+', ' ' | Should -Match ([regex]::Escape($problem.Advice))
    }

    It 'has a category and a target of its own for every id' {
        $of = [PoeOps.Cmdlets.PoeCommand].Assembly.GetType('PoeOps.Cmdlets.ProblemRecord', $true).GetMethod('Of')
        foreach ($id in [Enum]::GetValues([PoeOps.ProblemId])) {
            $record = $of.Invoke($null, @([PoeOps.Problem]::new($id, 'It is wrong.', 'Do right.'), $null))
            "$id $($record.FullyQualifiedErrorId)" | Should -Be "$id $id"
            $record.CategoryInfo.Category | Should -Not -Be NotSpecified -Because "$id"
            $record.TargetObject | Should -Not -BeNullOrEmpty -Because "$id"
            $record.ErrorDetails.RecommendedAction | Should -Be 'Do right.'
            "$record" | Should -Be 'It is wrong.'
        }
    }
}
