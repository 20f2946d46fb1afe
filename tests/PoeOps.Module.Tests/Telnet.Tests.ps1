# Switches behind Telnet servers and a console server by others, each with a terminal of its own between: a whole switch read, and by Telnet two units refreshed in one run.
BeforeDiscovery {
    . "$PSScriptRoot/TelnetServer.ps1"
    $obstacle = Find-TelnetObstacle
    if ($obstacle) { Write-Warning $obstacle }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/TelnetServer.ps1"
    $all = New-WorkFolder

    # Everything that was read of a switch, its ports too.
    function Shown($Controllers) {
        @($Controllers | ForEach-Object { "$($_.UnitId) $($_.Model) $($_.Firmware) $($_.Condition) $($_.BudgetWatts)"; $_.Ports | ForEach-Object { "$($_.PortId) $($_.Status) $($_.PdClass) $($_.Priority) $($_.Load)" } })
    }
}

AfterAll {
    if ($all) { Remove-Item -Recurse -Force $all }
}

Describe 'A switch' {
    BeforeAll {
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 1
        $who = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))
        $direct = Shown @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1)
    }

    AfterAll {
        if ($rehearsal) { $rehearsal | Stop-PseRehearsal }
    }

    # A line is sent with the NUL behind its carriage return, which a console that knows nothing of Telnet has to pass over; nothing else is sent unasked.
    It 'is read whole by Telnet where the far end says nothing of Telnet' {
        $told = Told { Get-PseController -Estate (New-LinkEstate $rehearsal "$all/plain.estate.json" 'hall-1' ([pscustomobject]@{ Link = 'telnet'; Port = Get-ConsolePort $rehearsal 'hall-1' })) -Switch hall-1 -Credential $who }
        $told.Errors | Should -BeNullOrEmpty
        Shown $told.Rows | Should -Be $direct
    }

    It 'is read whole, as it is without, behind <Kind>' -Skip:([bool] $obstacle) -ForEach @(
        @{ Kind = 'busybox telnetd' }
        @{ Kind = 'busybox telnetd, its terminal raw' }
        @{ Kind = 'telnetd of inetutils' }
        @{ Kind = 'telnetd of inetutils, its terminal raw' }
        @{ Kind = 'console server over raw TCP' }
    ) {
        $work = "$all/$([guid]::NewGuid().ToString('N'))"
        $server = Start-TelnetServer $Kind (Get-ConsolePort $rehearsal 'hall-1') "$work/server"
        try {
            $told = Told { Get-PseController -Estate (New-LinkEstate $rehearsal "$work/link.estate.json" 'hall-1' $server) -Switch hall-1 -Credential $who }
            $told.Errors | Should -BeNullOrEmpty
            Shown $told.Rows | Should -Be $direct
            $direct.Count | Should -BeGreaterThan 50
        }
        finally {
            Stop-TelnetServer $server
        }
    }
}

Describe 'Two units in one run' -Skip:([bool] $obstacle) {
    It 'are refreshed behind <Kind>' -ForEach @(
        @{ Kind = 'busybox telnetd, its terminal one of lines' }
        @{ Kind = 'telnetd of inetutils, its terminal one of lines' }
    ) {
        $work = "$all/$([guid]::NewGuid().ToString('N'))"
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 400
        $server = $null
        try {
            $who = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))
            $server = Start-TelnetServer $Kind (Get-ConsolePort $rehearsal 'hall-1') "$work/server"
            $estate = New-LinkEstate $rehearsal "$work/link.estate.json" 'hall-1' $server
            Get-PseController -Estate $estate -Switch hall-1 -Credential $who | Where-Object Unit -in '1', '2' | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" |
                Measure-PseOutage -WarningAction SilentlyContinue | New-PsePlan -Estate $estate -Path "$work/night.plan.json" -AcceptLifeSafety 'hall-1/1', 'hall-1/2' -WarningAction SilentlyContinue | Out-Null
            $results = @(Invoke-PseRefresh -Plan "$work/night.plan.json" -ImageFolder "$root/examples/images" -Journal "$work/night.journal.jsonl" -LockFolder "$work/locks" -Credential $who -Confirm:$false -WarningVariable warned -WarningAction SilentlyContinue)
            @($results | ForEach-Object { "$($_.UnitId) $($_.Outcome)" } | Sort-Object) | Should -Be 'hall-1/1 Done', 'hall-1/2 Done' -Because "$($results.Reason) $warned"
            @($rehearsal.Log | Where-Object { "$($_.Kind)" -eq 'InstallBegan' }).Count | Should -Be 2
            # Of the loads alone, not of the link.
            @($warned | Where-Object { "$_" -notmatch '^\d+ life-safety loads go dark\.' }) | Should -BeNullOrEmpty -Because 'a rehearsal stays on loopback'
        }
        finally {
            Stop-TelnetServer $server
            $rehearsal | Stop-PseRehearsal
        }
    }
}
