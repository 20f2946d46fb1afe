# Links that carry the password in clear, outside a rehearsal: one warning a command where somebody watches; where nobody does, refused before anything is
# connected, unless the estate says for that switch that it may be.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
    $who = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))

    $secrets = @{ Credential = $who; ElevationCredential = [pscredential]::new('x', (ConvertTo-SecureString $rehearsal.ElevationPassword -AsPlainText -Force)) }

    # The rehearsal's consoles as those of real switches: no rehearsal's clock, and a window in some days.
    function New-RealEstate([string] $Name, [string[]] $ClearText = @()) {
        $estate = Get-Content -Raw $rehearsal.EstatePath | ConvertFrom-Json
        $estate.PSObject.Properties.Remove('rehearsal')
        $estate.sites | ForEach-Object { $_.extraWindows = @(@{ opens = [DateTime]::UtcNow.AddDays(4).ToString('yyyy-MM-ddT22:00'); length = 'PT8H'; attended = $true }) }
        $estate.sites.switches | ForEach-Object { $_.PSObject.Properties.Remove('clearText') }
        $estate.sites.switches | Where-Object name -in $ClearText | ForEach-Object { $_ | Add-Member clearText $true }
        $estate | ConvertTo-Json -Depth 30 | Set-Content "$work/$Name.estate.json"
        "$work/$Name.estate.json"
    }

    function Sessions {
        @($rehearsal.Log | Where-Object { "$($_.Kind)" -eq 'SessionOpened' }).Count
    }

    function New-Plan([string] $Estate) {
        $path = "$work/$([guid]::NewGuid().ToString('N')).plan.json"
        $behind | New-PsePlan -Estate $Estate -Path $path -AcceptLifeSafety 'hall-1/1', 'hall-1/2' -WarningAction SilentlyContinue | Out-Null
        $path
    }

    $real = New-RealEstate 'real'
    $allowed = New-RealEstate 'allowed' 'hall-1'
    $behind = @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1 | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)
    $night = @{ ImageFolder = "$root/examples/images"; LockFolder = "$work/locks"; Credential = $who }
    $tail = 'user, password and everything said can be read on the way. Use SSH where the switch has it.'
    $refused = "The link to {0} at 127\.0\.0\.1 port \d+ is raw TCP, which carries user, password and everything said in clear; nobody watches this command, and no estate allows that for this switch\."
    $advice = 'Reach the switch by SSH, write "clearText": true for it in the estate file, or be there yourself, without -Confirm:\$false\.'
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Reading in clear' {
    It 'warns once a command, by the names of the switches' {
        $rows = @(Get-PseController -Estate $real -Switch hall-1, quay-1, pilot-1 @secrets -WarningVariable warned -WarningAction SilentlyContinue)
        $warned | Should -Be "3 links are in clear (hall-1, quay-1, pilot-1): $tail"
        @($rows.Switch | Sort-Object -Unique) | Should -Be 'hall-1', 'pilot-1', 'quay-1'
    }

    It 'counts those that it does not name, and counts an estate that comes twice once' {
        $port = 0
        $estate = Get-Content -Raw $real | ConvertFrom-Json
        $estate.sites.switches | ForEach-Object { $_.port = ++$port }
        $estate | ConvertTo-Json -Depth 30 | Set-Content "$work/nobody.estate.json"
        $rows = 1, 2 | ForEach-Object { [pscustomobject]@{ Estate = "$work/nobody.estate.json" } }
        $rows | Get-PsePort @secrets -WarningVariable warned -WarningAction SilentlyContinue -ErrorAction SilentlyContinue | Out-Null
        $warned | Should -Be "9 links are in clear (hall-1, hall-2, hall-3, quay-1, quay-2 and 4 more): $tail"
    }

    It 'is refused where nobody watches, before a connection, but for the switch that may be' {
        $ConfirmPreference = 'None'
        $before = Sessions
        $told = Told { Get-PseController -Estate $real -Switch hall-1 -Credential $who }
        Confirm-OneProblem $told 'ClearTextRefused' "^$($refused -f 'hall-1') $advice$"
        $told.Errors[0].TargetObject | Should -Be 'hall-1'
        "$($told.Errors[0].CategoryInfo.Category)" | Should -Be 'SecurityError'
        $told.Rows | Should -BeNullOrEmpty
        Sessions | Should -Be $before

        $told = Told { Get-PseController -Estate $allowed -Switch hall-1, quay-1 -Credential $who -WarningVariable script:warned }
        Confirm-OneProblem $told 'ClearTextRefused' "^$($refused -f 'quay-1') "
        $told.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-1'
        $script:warned | Should -Be "1 link is in clear (hall-1): $tail"
    }

    It 'of a rehearsal needs no word, attended or not' -ForEach @(@{ Preference = 'High' }, @{ Preference = 'None' }) {
        $ConfirmPreference = $Preference
        @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1 -WarningVariable warned).Count | Should -BeGreaterThan 0
        $warned | Should -BeNullOrEmpty
    }

    It 'that the estate allows in a wrong way is told, and nothing is connected' {
        $before = Sessions
        Set-Content "$work/wrong.estate.json" ((Get-Content -Raw $allowed) -replace '"clearText": true', '"clearText": "yes"')
        Confirm-OneProblem (Told { Get-PseController -Estate "$work/wrong.estate.json" -Credential $who }) 'JsonWrongType' "clearText: Found the text 'yes' where true or false was expected\. Write true or false there\.$"
        Sessions | Should -Be $before
    }

    It 'that the estate allows for a switch by SSH is no harm' {
        $estate = Get-Content -Raw $allowed | ConvertFrom-Json
        ($estate.sites.switches | Where-Object name -eq 'hall-1').link = 'ssh'
        $estate | ConvertTo-Json -Depth 30 | Set-Content "$work/ssh.estate.json"
        $ConfirmPreference = 'None'
        $told = Told { Get-PseController -Estate "$work/ssh.estate.json" -Switch hall-1 -WarningVariable script:warned }
        $told.Errors.FullyQualifiedErrorId | Should -Match '^(SecretMissing|SshModuleMissing),'
        $script:warned | Should -BeNullOrEmpty
    }
}

Describe 'Saving captures in clear' {
    It 'warns, from an estate and from an address' {
        $console = "127.0.0.1:$((Get-Content -Raw $real | ConvertFrom-Json).sites.switches[0].port)"
        Save-PseCapture -Estate $real -Switch hall-1 -Send 'tell power' -Path "$work/saved" -Credential $who -WarningVariable warned -WarningAction SilentlyContinue | Should -HaveCount 1
        $warned | Should -Be "1 link is in clear (hall-1): $tail"
        Save-PseCapture -Address $console -Link Tcp -Dialect kelpline -Send 'tell units' -Path "$work/saved" -Credential $who -WarningVariable warned -WarningAction SilentlyContinue | Should -HaveCount 1
        $warned | Should -Be "1 link is in clear (127.0.0.1): $tail"
    }

    It 'is refused where nobody watches, with -WhatIf as well: <Name>' -ForEach @(
        @{ Name = 'by an address'; More = @{ Address = '127.0.0.1:{0}'; Link = 'Tcp'; Dialect = 'kelpline' }; Named = '127\.0\.0\.1'; Confirm = $false }
        @{ Name = 'by an estate'; More = @{ Estate = '{1}'; Switch = 'hall-1' }; Named = 'hall-1'; Confirm = $false }
        @{ Name = 'by an address, to look'; More = @{ Address = '127.0.0.1:{0}'; Link = 'Tcp'; Dialect = 'kelpline'; WhatIf = $true }; Named = '127\.0\.0\.1'; Confirm = $false }
    ) {
        $port = (Get-Content -Raw $real | ConvertFrom-Json).sites.switches[0].port
        foreach ($key in @($More.Keys | Where-Object { $More[$_] -is [string] })) { $More[$key] = $More[$key] -f $port, $real }
        $before = Sessions
        Confirm-OneProblem (Told { Save-PseCapture @More -Send 'tell power' -Path "$work/none" -Credential $who -Confirm:$false }) 'ClearTextRefused' "^$($refused -f $Named) "
        Sessions | Should -Be $before
        Test-Path "$work/none" | Should -BeFalse
    }
}

Describe 'A refresh in clear that nobody watches' {
    It 'is refused unit by unit before its switch is reached<Also>' -ForEach @(@{ Also = ''; WhatIf = $false }, @{ Also = ', with -WhatIf as well'; WhatIf = $true }) {
        $plan = New-Plan $real
        $journal = "$work/refused-$WhatIf.journal.jsonl"
        $before = Sessions
        $results = @(Invoke-PseRefresh -Plan $plan -Journal $journal @night -Confirm:$false -WhatIf:$WhatIf -WarningVariable warned -WarningAction SilentlyContinue)
        @($results | ForEach-Object { "$($_.UnitId) $($_.Outcome) $($_.ProblemId)" } | Sort-Object) | Should -Be 'hall-1/1 Refused ClearTextRefused', 'hall-1/2 Refused ClearTextRefused'
        $results | ForEach-Object { $_.Reason | Should -Match "^$($refused -f 'hall-1')" }
        @($warned | Where-Object { "$_" -match 'in clear \(' }) | Should -BeNullOrEmpty
        Sessions | Should -Be $before
        if ($WhatIf) {
            Test-Path $journal | Should -BeFalse
            return
        }

        $entries = @(Get-PseJournal $journal -ErrorAction Stop)
        @($entries | Where-Object { "$($_.Kind)" -eq 'Begin' }) | Should -BeNullOrEmpty
        @($entries | Where-Object { $_.Facts['gate'] -eq 'ClearText' }).Count | Should -Be 2
        $entries[-1].Facts['because'] | Should -Be 'the plan is through'
    }

    It 'passes that gate where the estate says so for the switch, with one warning that the journal keeps' {
        $journal = "$work/allowed.journal.jsonl"
        $results = @(Invoke-PseRefresh -Plan (New-Plan $allowed) -Journal $journal @night -Confirm:$false -WarningVariable warned -WarningAction SilentlyContinue)
        @($results.ProblemId | Sort-Object -Unique) | Should -Be 'WindowClosed'
        @($warned | Where-Object { "$_" -match 'in clear \(' }) | Should -Be "1 link is in clear (hall-1): $tail"
        @(Get-PseJournal $journal -ErrorAction Stop | Where-Object { $_.Facts['text'] }).ForEach({ $_.Facts['text'] }) | Should -Be "1 link is in clear (hall-1): $tail"
    }

    It 'holds by the link of the estate as it is: a plan from before it was changed is stale' {
        $estate = New-RealEstate 'changed' 'hall-1'
        $plan = New-Plan $estate
        Set-Content $estate ((Get-Content -Raw $estate) -replace '"clearText": true', '"clearText": false')
        Confirm-OneProblem (Told { Invoke-PseRefresh -Plan $plan -Journal "$work/stale.journal.jsonl" @night -Confirm:$false }) 'PlanStale'
    }

    It 'is warned about where somebody watches' {
        $results = @(Invoke-PseRefresh -Plan (New-Plan $real) -Journal "$work/attended.journal.jsonl" @night -WhatIf -WarningVariable warned -WarningAction SilentlyContinue)
        @($results.ProblemId | Sort-Object -Unique) | Should -Be 'WindowClosed'
        @($warned | Where-Object { "$_" -match 'in clear \(' }) | Should -Be "1 link is in clear (hall-1): $tail"
    }
}
