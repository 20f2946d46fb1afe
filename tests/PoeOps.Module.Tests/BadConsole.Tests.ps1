# Consoles that refuse, hang, close, ask twice, ask for more or talk nonsense: one error each, by its id, and the other switches are read all the same.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"

    function ReadWith([string] $Mishap, [switch] $OwnCredential, [switch] $Elevation) {
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600 -Mishap "hall-1:$Mishap"
        try {
            $secrets = @{}
            if ($OwnCredential) { $secrets.Credential = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force)) }
            if ($Elevation) { $secrets.ElevationCredential = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.ElevationPassword -AsPlainText -Force)) }
            $result = Told { Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2' @secrets }
            "$($result.Errors)" | Should -Not -Match ([regex]::Escape($rehearsal.Password))
            $result
        }
        finally {
            $rehearsal | Stop-PseRehearsal
        }
    }
}

Describe 'A console that' {
    It '<Mishap> ends with <Id>' -ForEach @(
        @{ Mishap = 'LogIn:Refused'; Id = 'LogInRefused'; Says = '^hall-1: The device refused the log-in with ''.+''\. Check user and password' }
        @{ Mishap = 'LogIn:PasswordTwice'; Id = 'LogInRefused'; Says = '^hall-1: The device asked ''.+'' again after it was answered\. ' }
        @{ Mishap = 'Connect:Closes'; Id = 'LinkClosed'; Says = '^hall-1: The device closed the connection while a prompt after log-in was awaited\. ' }
        @{ Mishap = 'Connect:Hangs'; Id = 'LinkSilent'; Says = '^hall-1: The device said nothing for 30 s while a prompt after log-in was awaited\. ' }
        @{ Mishap = 'Answer:LinkLost'; Id = 'LinkClosed'; Says = '^hall-1: The device closed the connection while the answer to ''.+'' was awaited; its last words: ''.+''\. ' }
        @{ Mishap = 'Answer:Garbage'; Id = 'CaptureOfAnotherFamily'; Says = '^hall-1: The dialect ''kelpline'' reads nothing here: ' }
    ) {
        $result = ReadWith $Mishap
        Confirm-OneProblem $result $Id $Says
        $result.Errors[0].TargetObject | Should -Be 'hall-1'
        $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-2'
    }

    It 'LogIn:SecondSecret ends with SecretMissing where no second secret was given' {
        $result = ReadWith 'LogIn:SecondSecret' -OwnCredential
        Confirm-OneProblem $result 'SecretMissing' '^hall-1: The device asks ''.+'', and no ElevationPassword was given\. Give -Credential, or -ElevationCredential'
        $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-2'
    }

    It 'LogIn:SecondSecret is read where it was given' {
        $result = ReadWith 'LogIn:SecondSecret' -OwnCredential -Elevation
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-1', 'hall-2'
    }

    It 'is not there ends with ConnectFailed' {
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
        try {
            $closed = [Net.Sockets.TcpListener]::new([Net.IPAddress]::Loopback, 0)
            $closed.Start()
            $port = $closed.LocalEndpoint.Port
            $closed.Stop()
            $there = @($rehearsal.Switches | Where-Object Name -eq 'hall-1').Port
            [IO.File]::WriteAllText($rehearsal.EstatePath, [IO.File]::ReadAllText($rehearsal.EstatePath).Replace("$there", "$port"))
            $result = Told { Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2' }
            Confirm-OneProblem $result 'ConnectFailed' "\b$port\b"
            $result.Errors[0].TargetObject | Should -Be 'hall-1'
            $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-2'
        }
        finally {
            $rehearsal | Stop-PseRehearsal
        }
    }
}

Describe 'A mishap that nobody plays' {
    It 'is refused by its id' {
        { Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Mishap 'hall-1:LogIn:Sings' -ErrorAction Stop } |
            Should -Throw -ErrorId 'MishapUnknown,PoeOps.Cmdlets.Commands.StartPseRehearsalCommand'
    }
}
