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
        $told.Verbose | Should -Contain "Read the plan '$work/plan.json': $($plan.Units.Count) unit$(if ($plan.Units.Count -ne 1) { 's' }), and $($plan.Obstacles.Count) that are not planned."
        foreach ($row in $told.Rows | Where-Object { $_ -isnot [string] }) {
            $told.Verbose | Should -Contain "$($row.UnitId) ended $($row.Outcome): $($row.Reason)"
        }
    }
}

Describe '-Verbose of a run' {
    BeforeAll {
        $unit = 'pilot-1/A'
        $plan = Get-PseController -Estate $rehearsal.EstatePath -Switch pilot-1 | Test-PseDrift -Baseline "$examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/run.plan.json" -AcceptLifeSafety $unit -WarningAction SilentlyContinue
        $run = Streams { Invoke-PseRefresh -Plan "$work/run.plan.json" -ImageFolder "$examples/images" -Journal "$work/run.journal.jsonl" -Confirm:$false -Verbose -WarningAction SilentlyContinue }
        $entries = @(Get-PseJournal "$work/run.journal.jsonl")
        # What is told of files comes first; what is asked, and then answered by nobody, is PowerShell's own.
        $story = @($run.Verbose | Where-Object { $_ -notmatch '^Read the |^pilot-1/A: Refresh the controller' })
    }

    It 'tells each entry of the journal, in its order, and nothing beside' {
        $entries.Count | Should -BeGreaterThan 20
        $story.Count | Should -Be $entries.Count
        for ($i = 0; $i -lt $entries.Count; $i++) {
            $entry = $entries[$i]
            $f = $entry.Facts
            $story[$i] | Should -BeLike $(switch ($entry.Kind) {
                    'RunBegan' { "A run of the plan 'Demo harbour' begins, with 1 unit." }
                    'Gate' { "${unit}: gate $($f.gate) is open*." }
                    'Begin' { "$unit begins: from 3.8-p4 to R3-B10p2 by oakum-R3-B10p2.img of 300165 bytes from $($f.server). 26 loads, 2 of them life-safety." }
                    'StageBegan' { "$unit $($f.stage) begins: *$([WildcardPattern]::Escape($f.text.Trim().TrimEnd('.')))." }
                    'Progress' { "$unit $($f.stage): $($f.percent) %." }
                    'StageEnded' { "$unit $($f.stage) ended after $($f.seconds) s." }
                    'Served' { "${unit}: oakum-R3-B10p2.img went to $($f.client), 300165 bytes in $($f.blocks) blocks, $($f.retransmissions) sent again: Whole." }
                    'Note' { "${unit}: $([WildcardPattern]::Escape($f.text.TrimEnd('.')))." }
                    'LoadsBack' { "${unit}: 26 of 26 loads have power again, the last after *  s in the dark.".Replace('  ', ' ') }
                    'End' { "$unit ended Done: $($f.reason) Last seen: firmware R3-B10p2, 26 of 26 loads back, $($f.darkSeconds) s in the dark, $($f.waitedSeconds) s waited and $($f.ownSeconds) s of our own, by this machine's time." }
                    'RunEnded' { 'The run ended because the plan is through.' }
                })
        }

        $story -join "`n" | Should -Match "gate Image is open \(sha256 [0-9a-f]{64}\)"
        $story -join "`n" | Should -Match 'gate Reading is open \(model OK-32, serial OK32-77200, firmware 3.8-p4, release 24-07\)'
    }

    It 'says so where a stop is asked for, and what is left' {
        Set-Content "$work/stop-here" ''
        $told = (Streams { Invoke-PseRefresh -Plan "$work/run.plan.json" -ImageFolder "$examples/images" -Journal "$work/stopped.journal.jsonl" -StopFile "$work/stop-here" -Confirm:$false -Verbose -WarningAction SilentlyContinue }).Verbose
        $told[-2] | Should -BeLike 'The run is to stop: *stop-here*.'
        $told[-1] | Should -BeLike 'The run ended because *stop-here*. Not begun: pilot-1/A.'
    }

    It 'is not told where nobody asks' {
        (Streams { Invoke-PseRefresh -Plan "$work/run.plan.json" -ImageFolder "$examples/images" -Journal "$work/silent.journal.jsonl" -WhatIf }).Verbose | Should -BeNullOrEmpty
    }
}

Describe '-Verbose of <Name>' -ForEach @(
    @{ Name = 'Get-PsePort'; Command = { $controllers | Get-PsePort }; Says = '^quay-1/1: \d+ ports, \d+ of them with power\.$' }
    @{ Name = 'Get-PseJournal'; Command = { Get-PseJournal "$work/told.journal.jsonl" }; Says = "^Read the journal '.*told\.journal\.jsonl': \d+ entries, and its chain holds\.$" }
    @{ Name = 'Get-PseJournal (broken)'; Command = { Get-PseJournal "$work/broken.journal.jsonl" -ErrorAction SilentlyContinue }; Says = "^Read the journal '.*': \d+ entries, and its chain does not hold, with \d+ problems?\.$" }
    @{ Name = 'Get-PseWindow'; Command = { Get-PseWindow "$examples/harbour.estate.json" -Count 3 }; Says = '^Read the estate ''.*'': 9 switches at 3 sites\.$', '^Found 3 windows, and \d+ openings that a freeze drops\.$' }
    @{ Name = 'Test-PseImage'; Command = { Test-PseImage "$examples/images" "$examples/winter.baseline.json" }; Says = "^Read the baseline '.*': 5 entries and 5 images\.$", "^Looking at '.*images'\.$", '^kelp-2\.0\.4\.img: It is the approved image' }
    @{ Name = 'Test-PseDialect'; Command = { Test-PseDialect kelpline "$examples/captures/kelpline/*.txt" -Summary }; Says = "^Read the dialect '.*kelpline\.dialect\.json': 'kelpline', with \d+ blocks and \d+ rules", '^Read 3 captures: 466 lines, 0 of them unread, 0 problems\.$' }
    @{ Name = 'Get-PseHostKey'; Command = { Get-PseHostKey -HostKeyPath "$work/none.hostkeys.json" }; Says = "^Read the host keys '.*none\.hostkeys\.json': 0 keys\.$" }
    @{ Name = 'Measure-PseOutage'; Command = { $drifts | Measure-PseOutage -WarningAction SilentlyContinue }; Says = '^quay-1/1: \d+ loads, \d+ of them life-safety; dark for about \d+ s\.$', '^Measured 3 outages\.$' }
    @{ Name = 'New-PsePlan'; Command = { $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/new.plan.json" -WarningAction SilentlyContinue }; Says = "^Read the estate '.*': 9 switches at 3 sites\.$", '^Planning 3 outages from \d{4}-\d\d-\d\d \d\d:\d\d UTC on, in at most 60 windows of each site\.$', '^Planned \d+ refresh(es)? in \d+ windows?; \d+ cannot be planned, and \d+ have nothing to load\.$', "^Wrote the plan to '.*new\.plan\.json'\.$" }
    @{ Name = 'New-PseDialect'; Command = { New-PseDialect "$work/new.dialect.json" -Capture "$examples/captures/kelpline/*.txt" -WarningAction SilentlyContinue -ErrorAction SilentlyContinue }; Says = '^Read 3 captures: 448 lines, \d+ of them covered by \d+ guesses\.$', "^Wrote the dialect to '.*new\.dialect\.json'\.$" }
    @{ Name = 'Export-PseCalendar'; Command = { Export-PseCalendar "$work/told.ics" -Plan "$work/told.plan.json" }; Says = "^Read the plan '.*told\.plan\.json': \d+ units?, and \d+ that are not planned\.$", "^Wrote a calendar of \d+ windows? to '.*told\.ics'\.$" }
    @{ Name = 'Export-PseNotice'; Command = { Export-PseNotice "$work/notices" -Plan "$work/told.plan.json" -WarningAction SilentlyContinue }; Says = "^Read the plan '", "^Read the estate '", "^Wrote the notice of .* to '.*\.txt'\.$" }
    @{ Name = 'Export-PseReport'; Command = { Export-PseReport "$work/told.html" -Plan "$work/told.plan.json" -Journal "$work/told.journal.jsonl" -ErrorAction SilentlyContinue }; Says = "^Read the plan '", "^Read the journal '.*': \d+ entries, and its chain holds\.$", "^Wrote the report to '.*told\.html'\.$" }
    @{ Name = 'Export-PseReport (dialect)'; Command = { Export-PseReport "$work/reading.html" -Dialect kelpline -Capture "$examples/captures/kelpline/*.txt" }; Says = "^Read the dialect '", '^Read 3 captures: 466 lines, 0 of them unread\.$', "^Wrote the report to '.*reading\.html'\.$" }
    @{ Name = 'Get-PseController -Address'; Command = { Get-PseController -Address "127.0.0.1:$(($rehearsal.Switches | Where-Object Name -EQ quay-1).SnmpPort)" -Community $rehearsal.Community -WarningAction SilentlyContinue }; Says = '^Asking the agent at 127\.0\.0\.1, UDP port \d+\.$', '^127\.0\.0\.1: \d+ units, 0 problems\.$' }
    @{ Name = 'Get-PseController -Capture'; Command = { Get-PseController -Capture "$examples/captures/kelpline/quay-1.txt" -Dialect kelpline }; Says = "^Read the dialect '", '^Reading 1 capture by the dialect ''kelpline''\.$' }
    @{ Name = 'Start-PseRehearsal'; Command = { $other = Start-PseRehearsal "$examples/harbour.estate.json" -Mishap 'quay-1/2:Program:StuckAt40'; $other; $other | Stop-PseRehearsal }; Says = "^Read the estate '.*harbour\.estate\.json': 9 switches to rehearse, with 1 mishap\.$", "^Wrote the estate of the rehearsal to '.*'\.$", "^quay-1 of the family 'kelpline' listens at 127\.0\.0\.1, TCP port \d+ for its console and UDP port \d+ for SNMP\.$" }
) {
    BeforeAll {
        $controllers = @(Get-PseController -Capture "$examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate "$examples/harbour.estate.json")
        $drifts = @($controllers | Test-PseDrift -Baseline "$examples/winter.baseline.json")
        $outages = @($drifts | Measure-PseOutage -WarningAction SilentlyContinue)
        if (-not (Test-Path "$work/told.plan.json")) {
            $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/told.plan.json" -WarningAction SilentlyContinue | Out-Null
            Invoke-PseRefresh -Plan "$work/told.plan.json" -ImageFolder $work -Journal "$work/told.journal.jsonl" -StopFile $work -Confirm:$false -WarningAction SilentlyContinue | Out-Null
            Set-Content "$work/broken.journal.jsonl" (@(Get-Content "$work/told.journal.jsonl") -replace '"because"', '"Because"')
        }
    }

    It 'says each of it once, and without it says nothing' {
        $VerbosePreference = 'Continue'
        $told = (Streams $Command).Verbose
        foreach ($pattern in $Says) {
            @($told -match $pattern).Count | Should -BeGreaterThan 0 -Because "$pattern is to be among: $($told -join ' | ')"
        }

        Get-ChildItem $work -Recurse -File | Where-Object Name -Match '^(new|told|reading)\.(plan\.json|dialect\.json|ics|html)$|notice' | Where-Object Name -NE 'told.plan.json' | Remove-Item
        $VerbosePreference = 'SilentlyContinue'
        (Streams $Command).Verbose | Should -BeNullOrEmpty
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
