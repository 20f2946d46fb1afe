# Reading by SNMP and from saved walks, against the agents of a rehearsal.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 60
    $quay = $rehearsal.Switches | Where-Object Name -eq 'quay-1'
    $address = "127.0.0.1:$($quay.SnmpPort)"

    function Secret([string] $User, [string] $Password) {
        [pscredential]::new($User, (ConvertTo-SecureString $Password -AsPlainText -Force))
    }

    $user = Secret $rehearsal.SnmpUser $rehearsal.SnmpAuthPassword
    $privacy = Secret 'privacy' $rehearsal.SnmpPrivPassword
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Get-PseController -Link Snmp' {
    It 'reads what the console says, without a dialect' {
        $console = @(Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1, cold-1 | Where-Object Condition -ne Absent | Sort-Object { "$($_.UnitId)" })
        $told = Told { Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1, cold-1 -Link Snmp }
        # Several agents are asked at once, and come as they answer.
        $rows = @($told.Rows | Sort-Object { "$($_.UnitId)" })

        # The estate has a setting for the unit without a controller, which no table of an agent lists.
        @($told.Errors | Where-Object FullyQualifiedErrorId -NotLike 'SettingFitsNothing,*').Count | Should -Be 0
        $rows.UnitId | ForEach-Object { "$_" } | Should -Be ($console.UnitId | ForEach-Object { "$_" })
        $rows.Serial | Should -Be $console.Serial
        $rows.BudgetWatts | Should -Be $console.BudgetWatts
        ($rows.Ports | ForEach-Object { "$($_.PortId) $($_.Status) $($_.PdClass) $($_.Priority) $($_.Neighbour) $($_.Role)" }) |
            Should -Be ($console.Ports | ForEach-Object { "$($_.PortId) $($_.Status) $($_.PdClass) $($_.Priority) $($_.Neighbour) $($_.Role)" })
        $rows | ForEach-Object { $_.Firmware | Should -BeNullOrEmpty; $_.FirmwareUnread | Should -Not -BeNullOrEmpty; $_.Source | Should -Be 'snmp'; $_.Dialect | Should -BeNullOrEmpty }
    }

    It 'says null and why where no table has watts' {
        $ports = @((Told { Get-PsePort -Estate $rehearsal.EstatePath -Switch quay-3 -Link Snmp }).Rows)
        $ports.Count | Should -BeGreaterThan 0
        $ports | ForEach-Object { $_.DrawWatts | Should -Be $null; $_.Source | Should -BeLike '*no watts drawn*' }
    }

    It 'puts both readings together: power by SNMP, firmware by the console' {
        $console = @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1, quay-2)
        $both = @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1, quay-2 -Link Console, Snmp)
        $both.UnitId | ForEach-Object { "$_" } | Should -Be ($console.UnitId | ForEach-Object { "$_" })
        $both.Firmware | Should -Be $console.Firmware
        $both.Source | Sort-Object -Unique | Should -Be 'console, snmp'
        $both | ForEach-Object { $_.DrawWatts | Should -Be ([Math]::Round($_.DrawWatts)) }
    }

    It 'makes a controller whose firmware nobody publishes unreadable, with the reason' {
        $drift = Get-PseController -Address $address -SnmpCredential $user, $privacy | Select-Object -First 1 | Test-PseDrift -Baseline "$root/examples/winter.baseline.json"
        $drift.Verdict | Should -Be 'Unreadable'
        $drift.Reason | Should -BeLike 'No firmware version was read: the agent lists no PSE controller*'
    }
}

Describe 'Access' {
    It 'takes a community and warns that it travels in clear (<Version>)' -ForEach @(@{ Version = 'V1' }, @{ Version = 'V2c' }) {
        $rows = @(Get-PseController -Address $address -Link Snmp -Community $rehearsal.Community -SnmpVersion $Version -WarningVariable warned -WarningAction SilentlyContinue)
        $rows.Count | Should -Be 2
        "$warned" | Should -Be "SNMP$($Version.ToLower()) sends the community in clear: whoever hears the network can read it. Use SNMPv3 where the switches have it."
    }

    It 'takes a user at level <Level>' -ForEach @(@{ Level = 'AuthNoPriv' }, @{ Level = 'AuthPriv' }) {
        $rows = @(Get-PseController -Address $address -SnmpCredential $user, $privacy -SecurityLevel $Level -WarningVariable warned)
        $rows.Count | Should -Be 2
        $warned | Should -BeNullOrEmpty
    }

    It 'warns about <Hash>' -ForEach @(@{ Hash = 'Md5'; Says = 'MD5 is a weak hash*' }, @{ Hash = 'Sha1'; Says = 'SHA-1 is a weak hash*' }) {
        $weak = Secret "$($rehearsal.SnmpUser)-$($Hash.ToLower())" $rehearsal.SnmpAuthPassword
        @(Get-PseController -Address $address -SnmpCredential $weak, $privacy -AuthProtocol $Hash -WarningVariable warned -WarningAction SilentlyContinue).Count | Should -Be 2
        "$warned" | Should -BeLike $Says
    }

    It 'says what is wrong and never a secret: <Name>' -ForEach @(
        @{ Name = 'password'; Id = 'SnmpWrongPassword'; With = { @{ SnmpCredential = (Secret 'rehearsal' 'not-the-password') } } }
        @{ Name = 'user'; Id = 'SnmpUserUnknown'; With = { @{ SnmpCredential = (Secret 'nobody' 'not-the-password') } } }
        @{ Name = 'privacy'; Id = 'SnmpWrongPrivacy'; With = { @{ SnmpCredential = $user, (Secret 'privacy' 'not-the-password') } } }
        @{ Name = 'short password'; Id = 'SnmpSecretUnusable'; With = { @{ SnmpCredential = (Secret 'rehearsal' 'not-the') } } }
        @{ Name = 'level'; Id = 'SnmpSecretUnusable'; With = { @{ SnmpCredential = $user; SecurityLevel = 'AuthPriv' } } }
        @{ Name = 'privacy alone'; Id = 'SnmpSecretUnusable'; With = { @{ SnmpCredential = [pscredential]::new('rehearsal', [securestring]::new()), $privacy } } }
        @{ Name = 'nothing'; Id = 'SnmpSecretUnusable'; With = { @{} } }
    ) {
        $arguments = & $With
        $told = Told { Get-PseController -Address $address @arguments -Verbose 4>&1 }
        $told.Errors.Count | Should -Be 1
        $told.Errors[0].FullyQualifiedErrorId | Should -BeLike "$Id,*"
        "$($told.Errors) $($told.Rows)" | Should -Not -Match 'not-the|rehearsal-auth|rehearsal-priv'
    }

    It 'reads no console of an address' {
        (Told { Get-PseController -Address $address -Link Console -Community x }).Errors[0].FullyQualifiedErrorId | Should -BeLike 'LinkNotSupported,*'
    }
}

Describe 'Get-PseController -Walk' {
    BeforeAll {
        $walk = "$work/north-1.walk"
        $lines = '.1.3.6.1.2.1.105.1.3.1.1.2.3 = Gauge32: 370', '.1.3.6.1.2.1.105.1.3.1.1.3.3 = INTEGER: 1', '.1.3.6.1.2.1.105.1.3.1.1.4.3 = Gauge32: 30', '.1.3.6.1.2.1.105.1.1.1.6.3.5 = INTEGER: 3',
            '.1.3.6.1.2.1.105.1.1.1.10.3.5 = INTEGER: 5', '.1.3.6.1.2.1.105.1.1.1.6.3.6 = INTEGER: 2'
        [IO.File]::WriteAllLines($walk, [string[]] $lines)
    }

    It 'reads a saved walk, named like its file' {
        $rows = @(Get-PseController -Walk "$work/*.walk")
        "$($rows.UnitId) $($rows.BudgetWatts) $($rows.DrawWatts) $($rows.PortCount) $($rows.PoweredPorts) $($rows.Condition)" | Should -Be 'north-1/3 370 30 2 1 Healthy'
        @(Get-PsePort -Walk $walk -Switch south-9 | ForEach-Object { "$($_.PortId) $($_.PdClass)" }) | Should -Be 'south-9/3/5 4', 'south-9/3/6 '
    }

    It 'tells each line that is none, with its place' {
        [IO.File]::WriteAllLines("$work/cut.txt", [string[]] (@($lines[0]) + 'Timeout: No Response from 192.0.2.7' + $lines[1..5]))
        $told = Told { Get-PseController -Walk "$work/cut.txt" }
        $told.Errors.Count | Should -Be 1
        $told.Errors[0].FullyQualifiedErrorId | Should -BeLike 'WalkUnreadable,*'
        $told.Errors[0].Exception.Problem.Line | Should -Be 2
        $told.Rows[0].ReadingProblems | Should -Be 1
    }

    It 'tells of a file that is not there' {
        (Told { Get-PseController -Walk "$work/none.walk" }).Errors[0].FullyQualifiedErrorId | Should -BeLike 'FileNotFound,*'
    }
}
