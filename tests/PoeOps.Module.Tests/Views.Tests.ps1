# What each type looks like on the screen: whole headers and whole values, in a narrow window as well.
BeforeDiscovery {
    [xml] $format = Get-Content -Raw "$PSScriptRoot/../../module/PoeOps.Format.ps1xml"
    $views = foreach ($view in $format.Configuration.ViewDefinitions.View) {
        @{
            View   = $view.Name
            Kind   = if ($view.TableControl) { 'table' } else { 'list' }
            Labels = @(if ($view.TableControl) { $view.TableControl.TableHeaders.TableColumnHeader.Label } else { $view.ListControl.ListEntries.ListEntry.ListItems.ListItem | ForEach-Object { if ($_.Label) { $_.Label } else { $_.PropertyName } } })
            Named  = @($view.ListControl.ListEntries.ListEntry.ListItems.ListItem | ForEach-Object { if ($_.PropertyName) { $_.PropertyName } else { $_.Label } })
            Rights = @($view.TableControl.TableHeaders.TableColumnHeader | Where-Object Alignment -eq Right | ForEach-Object Label)
        }
    }
    $tables = @($views | Where-Object Kind -eq table)
    $lists = @($views | Where-Object Kind -eq list)
    $types = @($format.Configuration.ViewDefinitions.View | Group-Object { @($_.ViewSelectedBy.TypeName)[0] } | ForEach-Object {
            @{
                Type   = $_.Name
                View   = $_.Group[0].Name
                Names  = @($_.Group.Name | Sort-Object -Unique)
                Kinds  = @($_.Group | ForEach-Object { if ($_.TableControl) { 'table' } else { 'list' } })
                Others = @($_.Group | ForEach-Object { @($_.ViewSelectedBy.TypeName)[1] } | Sort-Object -Unique)
            }
        })
    $given = @((Get-Command -Module PoeOps).OutputType.Type | Where-Object { $_.Namespace -like 'PoeOps*' } | Sort-Object FullName -Unique | ForEach-Object { @{ Type = $_.FullName; Defined = @($types | Where-Object Type -eq $_.FullName) } })
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $examples = "$root/examples"
    $baseline = "$examples/winter.baseline.json"
    $work = New-WorkFolder
    $PSStyle.OutputRendering = 'PlainText'
    $rehearsal = Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Speed 600 -Mishap 'quay-1/2:Recover:LoadsSlow', 'hall-2:Device:Slow:2-'
    $switches = 'quay-1', 'pilot-1', 'quay-3'
    $controllers = @(Get-PseController -Estate $rehearsal.EstatePath -Switch $switches)
    $drift = @($controllers | Test-PseDrift -Baseline $baseline)
    $outages = @($drift | Measure-PseOutage -WarningAction SilentlyContinue)
    $plan = $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -WarningAction SilentlyContinue
    $results = @(Invoke-PseRefresh -Plan "$work/plan.json" -ImageFolder "$examples/images" -Journal "$work/night.journal.jsonl" -Confirm:$false -WarningAction SilentlyContinue)
    $log = Join-Path $work 'refresh.log'
    Set-Content -LiteralPath $log -Value 'mole-1 :: helm :: refit unit 1 from 192.0.2.5 at 69 with kelp.img', 'Hauling the image aboard.', 'Hauled: 100 %', 'Refit of unit 1 stopped: the image is damaged.'
    $server = Start-PseImageServer "$examples/images" -Baseline $baseline -Client 127.0.0.1 -Port 0
    Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/" -Baseline $baseline -Quiet | Out-Null
    $keys = @(
        @{ address = '192.0.2.11'; port = 22; algorithm = 'ssh-ed25519'; fingerprint = "SHA256:$('a' * 43)"; acceptedUtc = '2026-12-01T22:55:00Z'; acceptedBy = 'gull on quay' }
        @{ address = 'console.example.org'; port = 10022; algorithm = 'ecdsa-sha2-nistp256'; fingerprint = "SHA256:$('b' * 43)"; acceptedUtc = '2026-12-01T22:55:00Z'; acceptedBy = 'gull on quay' }
    )
    @{ hostKeys = $keys } | ConvertTo-Json -Depth 3 | Set-Content "$work/hostkeys.json"
    $objects = @{
        ImageServer      = @($server)
        TftpTransfer     = @($server.Transfers)
        Controller       = $controllers
        Port             = @($controllers | Get-PsePort)
        Drift            = $drift
        ImageVerdict     = @(Test-PseImage -Path "$examples/images" -Baseline $baseline)
        Outage           = $outages
        LoadOutage       = @($drift | Measure-PseOutage -ByLoad -WarningAction SilentlyContinue)
        Window           = @(Get-PseWindow "$examples/harbour.estate.json" -From ([datetime]::new(2026, 10, 20, 0, 0, 0, [DateTimeKind]::Utc)) -Count 60 -IncludeFrozen)
        Plan             = @($plan)
        PlannedUnit      = $plan.Units
        WindowRisk       = $plan.Risks
        Obstacle         = $plan.Obstacles
        UnitResult       = $results
        JournalEntry     = @(Get-PseJournal "$work/night.journal.jsonl")
        LineReading      = @(Test-PseDialect -Dialect kelpline -Capture "$examples/captures/kelpline/*.txt")
        DialectDraft     = @(New-PseDialect "$work/a.dialect.json" -Capture "$examples/captures/kelpline/*.txt" -WarningAction SilentlyContinue)
        SavedCapture     = @(Save-PseCapture -Estate $rehearsal.EstatePath -Switch pilot-1 -Send 'list node', 'list feeders' -Path "$work/saved")
        HostKey          = @(Get-PseHostKey -HostKeyPath "$work/hostkeys.json")
        RunningRehearsal = @($rehearsal)
        DeviceEntry      = @($rehearsal.Log)
        ReplayRow        = @(Test-PseDialect kelpline -Transcript $log)
        ReplaySummary    = @(Test-PseDialect kelpline -Transcript $log -Summary)
        DialectCoverage  = @(Test-PseDialect -Dialect kelpline -Capture "$examples/captures/kelpline/*.txt" -Summary)
    }

    function Lines($Things, [int] $Width) {
        ($Things | Out-String -Width $Width) -split '\r?\n'
    }

    function TableOf($Things, [int] $Width) { Lines ($Things | Format-Table) $Width }

    function ListOf($Things, [int] $Width) { Lines ($Things | Format-List) $Width }

    # As it comes back from another process, by Export-Clixml (depth 2) or over remoting (depth 1).
    function Back($Things, [int] $Depth) { [Management.Automation.PSSerializer]::Deserialize([Management.Automation.PSSerializer]::Serialize(@($Things), $Depth)) }

    # The labels of a table, taken from the line above the dashes: a label that is broken goes on in the line above that, or ends in an ellipsis.
    function HeaderOf([string[]] $Lines) {
        $dashes = [Array]::FindIndex($Lines, [Predicate[string]] { param($line) $line -match '^ *-+( +-+)* *$' })
        $dashes | Should -Be 2 -Because 'a blank line and one line of labels stand above the dashes'
        $Lines[1]
    }
}

AfterAll {
    $server | Stop-PseImageServer
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'The table of <View>' -ForEach $tables {
    It 'is whole at 100 columns' {
        $objects[$View].Count | Should -BeGreaterThan 0
        $lines = TableOf $objects[$View] 100
        HeaderOf $lines | Should -Match ('^ *' + (($Labels | ForEach-Object { [regex]::Escape($_) }) -join ' +') + ' *$')
        $lines | Where-Object { $_.Contains([char] 0x2026) } | Should -BeNullOrEmpty
        ($lines | Measure-Object Length -Maximum).Maximum | Should -BeLessOrEqual 100
    }

    It 'breaks no id of 24 characters at 100 columns' {
        $id = $Labels | Where-Object { $_ -in 'UnitId', 'PortId' -or ($_ -eq 'Unit' -and $View -eq 'JournalEntry') -or ($_ -eq 'Target' -and $View -eq 'DeviceEntry') } | Select-Object -First 1
        if ($id) {
            $long = 'cellar-quay-tower-1/1/47'
            $long.Length | Should -Be 24
            $row = [pscustomobject] @{ $id = $long }
            $row.PSTypeNames.Insert(0, "Deserialized.$($objects[$View][0].GetType().FullName)")
            @(TableOf $row 100 | Where-Object { $_.Contains($long) }).Count | Should -Be 1
        }
    }

    It 'keeps every figure at 80 columns' {
        $lines = TableOf $objects[$View] 80
        $header = -split (HeaderOf $lines).Replace('Start (UTC)', 'Start(UTC)')
        $header[0..($header.Count - 1)] | Should -Be ($Labels[0..($header.Count - 1)].Replace('Start (UTC)', 'Start(UTC)'))
        foreach ($right in $Rights) {
            $right | Should -BeIn $header
        }

        $lines | Where-Object { $_.Contains([char] 0x2026) } | Should -BeNullOrEmpty
    }
}

Describe 'The list of <View>' -ForEach $lists {
    It 'has every label, and no value is cut' {
        $lines = ListOf $objects[$View][0] 80
        @($lines | Where-Object { $_ -match '^(\S+) +: ' } | ForEach-Object { ($_ -split ' ')[0] }) | Should -Be $Labels
        $lines | Where-Object { $_.Contains([char] 0x2026) } | Should -BeNullOrEmpty
    }
}

Describe 'Behind a row of another type <View>' -ForEach $lists {
    It 'shows the properties of its list, and no insides of objects' {
        # PowerShell takes no view there, but the set that the type names.
        $first = if ($View -eq 'Controller') { $drift[0] } else { $controllers[0] }
        $lines = Lines ($first, $objects[$View][0]) 200
        $begins = [Array]::FindIndex($lines, [Predicate[string]] { param($line) $line -match '^\S+ +: ' })
        $begins | Should -BeGreaterThan 0
        $shown = @($lines[$begins..($lines.Count - 1)] | Where-Object { $_ -match '^(\S+) +: ' } | ForEach-Object { ($_ -split ' ')[0] })
        $shown.Count | Should -BeGreaterThan 3
        $Named | Where-Object { $_ -in $shown } | Should -Be $shown
        @($Named | Where-Object { $_ -notin $shown }).Count | Should -BeLessThan 5
        $lines | Where-Object { $_ -match 'System\.Collections|ReadOnlyList|\w+ \{ \w+ = ' } | Should -BeNullOrEmpty
    }
}

Describe 'Figures and texts' {
    BeforeAll {
        function Row([string] $View, [hashtable] $Values) {
            $row = [pscustomobject] $Values
            $row.PSTypeNames.Insert(0, "Deserialized.$($objects[$View][0].GetType().FullName)")
            $row
        }
    }

    It 'of <Digits> digits stand in one line, in brief where there is no room' -ForEach @(@{ Digits = 7; Number = 1234567; Brief = '1.2E6' }, @{ Digits = 10; Number = 9876543210; Brief = '9.9E9' }, @{ Digits = 13; Number = 1234567890123; Brief = '1.2E12' }) {
        $shown = @(TableOf (Row Outage @{ UnitId = 'quay-1/1'; Loads = $Number; LifeSafetyLoads = $Number; DarkSecondsTypical = 60 * $Number; DarkSecondsWorst = 60 * $Number; DarkLoadMinutes = $Number; UnservedWattHours = $Number; RefusedLoads = $Number; ShortfallWatts = $Number }) 100 | Where-Object { $_ -match '\S' })
        $shown.Count | Should -Be 3 -Because ($shown -join "`n")
        $cells = -split $shown[2]
        $cells[0] | Should -Be 'quay-1/1'
        $cells[5] | Should -Be $Brief
        # Five columns are too few for 1.2E12.
        $cells[1] | Should -Be $(if ($Digits -eq 13) { '1E12' } else { $Brief })
        @(TableOf (Row DialectCoverage @{ Dialect = 'kelpline'; Lines = $Number; Read = $Number; Unread = $Number; CoveredPercent = 100; Controllers = $Number; Ports = $Number }) 100 | Where-Object { $_ -match '\S' }).Count | Should -Be 3
        @(TableOf (Row LineReading @{ File = 'a.txt'; Line = $Number; ReadAs = 'Read'; Rule = 'x'; Text = 'y' }) 100 | Where-Object { $_ -match '\S' }).Count | Should -Be 3
    }

    It 'have one decimal in each row, or none in any' {
        $shown = @(66, 0, 40.5 | ForEach-Object { Row Outage @{ UnitId = 'quay-1/1'; Loads = 1; LifeSafetyLoads = 0; DarkLoadMinutes = $_ } })
        @(TableOf $shown 100 | Where-Object { $_ -match '^quay' } | ForEach-Object { (-split $_)[3] }) | Should -Be '66.0', '0.0', '40.5'
        $shown = @(26.6, 0 | ForEach-Object { Row Outage @{ UnitId = 'quay-1/1'; Loads = 1; LifeSafetyLoads = 0; ShortfallWatts = $_ } })
        @(TableOf $shown 100 | Where-Object { $_ -match '^quay' } | ForEach-Object { (-split $_)[3] }) | Should -Be '26.6', '0.0'
    }

    It 'break at words in the cultures in which PowerShell can' {
        $before = [cultureinfo]::CurrentCulture
        try {
            [cultureinfo]::CurrentCulture = 'en-US'
            $reason = 'The controller has a fault; the device says broken and unavailable, and nobody knows since when it has been so.'
            foreach ($view in 'Drift', 'Obstacle', 'UnitResult') {
                $row = Row $view @{ UnitId = 'cellar-quay-tower-1/1/47'; Reason = $reason }
                $words = @(TableOf $row 100 | Select-Object -Skip 3 | ForEach-Object { -split $_.Replace('cellar-quay-tower-1/1/47', '') } | Where-Object { $_ -notmatch '^[\d.]*$' })
                $words -join ' ' | Should -Be $reason -Because $view
            }
        }
        finally { [cultureinfo]::CurrentCulture = $before }
    }
}

Describe 'The views' {
    It 'are those of every type that the cmdlets give' {
        $given = (Get-Command -Module PoeOps).OutputType.Type | Where-Object { $_.Namespace -like 'PoeOps*' } | ForEach-Object Name | Sort-Object -Unique
        $given | Where-Object { $_ -notin $objects.Keys } | Should -BeNullOrEmpty
    }
}

Describe 'What the cmdlets give' {
    It 'is shown as a table and as a list: <Type>' -ForEach $given {
        $Defined.Count | Should -Be 1
        $Defined[0].Kinds | Sort-Object | Should -Be 'list', 'table'
    }
}

Describe 'The views of <Type>' -ForEach $types {
    BeforeAll {
        $some = @($objects[$View] | Select-Object -First 12)
    }

    It 'are a table and a list, of one name, and hold for what comes back from elsewhere' {
        $Kinds | Sort-Object | Should -Be 'list', 'table'
        $Names.Count | Should -Be 1
        $Others | Should -Be "Deserialized.$Type"
    }

    It 'print the same for what comes back from another process' {
        foreach ($depth in 1, 2) {
            $back = @(Back $some $depth)
            $back[0].PSTypeNames[0] | Should -Be "Deserialized.$Type"
            TableOf $back 100 | Should -Be (TableOf $some 100)
            ListOf $back 100 | Should -Be (ListOf $some 100)
        }
    }

    It 'stay plain in a file of 100 columns' {
        $before = $PSStyle.OutputRendering
        try {
            $PSStyle.OutputRendering = 'Host'
            $some | Format-Table | Out-File -Width 100 "$work/log.txt"
            $some | Format-List | Out-File -Width 100 "$work/log.txt" -Append
        }
        finally { $PSStyle.OutputRendering = $before }

        $lines = @(Get-Content "$work/log.txt")
        @($lines | Where-Object { $_.Contains([char] 27) }) | Should -BeNullOrEmpty
        ($lines | Measure-Object Length -Maximum).Maximum | Should -BeLessOrEqual 100
    }

    It 'say in words what they say in colour' {
        $plain = TableOf $some 100
        $before = $PSStyle.OutputRendering
        try {
            $PSStyle.OutputRendering = 'Ansi'
            $coloured = TableOf $some 100
        }
        finally { $PSStyle.OutputRendering = $before }

        # Blanks at a line's end nobody sees.
        $coloured | ForEach-Object { ($_ -replace '\x1b\[[0-9;]*m').TrimEnd() } | Should -Be @($plain | ForEach-Object TrimEnd)
    }
}

Describe 'Colour' {
    It 'stands at <Word>, by the theme of whoever looks, and at nothing that is well' -ForEach @(
        @{ View = 'Drift'; Property = 'Verdict'; Well = 'Current'; Word = 'Behind'; Sign = 'Warning' }
        @{ View = 'Controller'; Property = 'Condition'; Well = 'Healthy'; Word = 'Faulted'; Sign = 'Error' }
        @{ View = 'Controller'; Property = 'Condition'; Well = 'Healthy'; Word = 'Absent'; Sign = 'Warning' }
        @{ View = 'UnitResult'; Property = 'Outcome'; Well = 'Done'; Word = 'Degraded'; Sign = 'Warning' }
        @{ View = 'UnitResult'; Property = 'Outcome'; Well = 'Skipped'; Word = 'Uncertain'; Sign = 'Error' }
        @{ View = 'ImageVerdict'; Property = 'Good'; Well = 'True'; Word = 'False'; Sign = 'Error' }
    ) {
        $before = $PSStyle.OutputRendering
        try {
            $PSStyle.OutputRendering = 'Ansi'
            $rows = foreach ($one in $Well, $Word) {
                $row = [Management.Automation.PSObject]::new()
                $row.PSTypeNames.Insert(0, "Deserialized.$($objects[$View][0].GetType().FullName)")
                $row | Add-Member NoteProperty $Property $one -PassThru
            }

            $text = ($rows | Format-Table | Out-String -Width 100)
        }
        finally { $PSStyle.OutputRendering = $before }

        $text | Should -Match ([regex]::Escape("$($PSStyle.Formatting.$Sign)$Word$($PSStyle.Reset)"))
        $text | Should -Not -Match "\x1b\[[0-9;]*m$Well"
    }

    It 'is left out where PowerShell knows no $PSStyle, also under strict rules' {
        $rows = Back $objects.Drift 2
        $state = [initialsessionstate]::CreateDefault2()
        $state.Variables.Remove('PSStyle', $null)
        $shell = [powershell]::Create($state)
        try {
            $null = $shell.AddScript({
                    param($manifest, $rows)
                    Set-StrictMode -Version Latest
                    if (Get-Variable PSStyle -ErrorAction Ignore) { throw 'there is a $PSStyle' }
                    Import-Module $manifest
                    $rows | Format-Table | Out-String -Width 100
                    $rows | Format-List | Out-String -Width 100
                }).AddArgument("$root/PoeOps.psd1").AddArgument($rows)
            $text = "$($shell.Invoke())"
            $shell.Streams.Error | Should -BeNullOrEmpty
        }
        finally { $shell.Dispose() }

        $text | Should -Match 'Behind'
        ($text -replace '\x1b\[32;1m|\x1b\[0m') | Should -Not -Match '\x1b' -Because 'nothing but the headers, which are not ours, has a colour'
    }
}

Describe 'Rows in a file' {
    It 'print the same when they are imported again' {
        $drift | Export-Clixml "$work/drift.xml"
        TableOf (Import-Clixml "$work/drift.xml") 100 | Should -Be (TableOf $drift 100)
    }
}

Describe 'What a list says' {
    It 'is of a rehearsal: where, how fast, and what goes wrong, and no secret' {
        $text = (Lines $rehearsal 300) -join "`n"
        $text | Should -Match "EstatePath +: $([regex]::Escape($rehearsal.EstatePath))"
        $text | Should -Match 'Speed +: 600'
        $text | Should -Match 'Switches +: hall-1, hall-2, hall-3, quay-1, '
        $text | Should -Match 'Mishaps +: quay-1/2:Recover:LoadsSlow:1, hall-2:Device:Slow:2-'
        $text | Should -Not -Match "$($rehearsal.Password)|$($rehearsal.ElevationPassword)|Password"
    }

    It 'is of a plan: how many, and when, and not its units' {
        $text = (Lines $plan 300) -join "`n"
        $text | Should -Match "(?m)^Units +: $($plan.Units.Count)$"
        $text | Should -Match "(?m)^Obstacles +: $($plan.Obstacles.Count)$"
        $loads = ($plan.Units | Group-Object UnitId | ForEach-Object { ($_.Group.LifeSafetyLoads | Measure-Object -Maximum).Maximum } | Measure-Object -Sum).Sum
        $text | Should -Match "(?m)^LifeSafety +: $loads$"
        $text | Should -Match "(?m)^LastEndUtc +: $($plan.LastEndUtc.ToString('yyyy-MM-dd HH:mm:ss'))$"
        $text | Should -Not -Match 'PlannedUnit|ImageSha256'
    }

    It 'holds for what comes back from another process as well' {
        $back = [Management.Automation.PSSerializer]::Deserialize([Management.Automation.PSSerializer]::Serialize($plan, 2))
        Lines $back 100 | Should -Be (Lines $plan 100)
    }
}
