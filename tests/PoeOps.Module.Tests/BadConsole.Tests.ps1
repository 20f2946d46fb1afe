# Consoles that refuse, hang, close, ask twice or ask for more: one error each, by its id, and the other switches are read all the same.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"

    function ReadWith([string] $Mishap) {
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600 -Mishap "hall-1:$Mishap"
        try {
            $read = @(Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2' -ErrorVariable problems -ErrorAction SilentlyContinue)
            [pscustomobject]@{ Switches = @($read.Switch | Sort-Object -Unique); Ids = @($problems | ForEach-Object { $_.FullyQualifiedErrorId.Split(',')[0] } | Sort-Object -Unique) }
        }
        finally {
            $rehearsal | Stop-PseRehearsal
        }
    }
}

Describe 'A console that' {
    It '<Mishap> ends with <Id>' -ForEach @(
        @{ Mishap = 'LogIn:Refused'; Id = 'LogInRefused' }
        @{ Mishap = 'LogIn:PasswordTwice'; Id = 'LogInRefused' }
        @{ Mishap = 'Connect:Closes'; Id = 'LinkClosed' }
        @{ Mishap = 'Connect:Hangs'; Id = 'LinkSilent' }
    ) {
        $result = ReadWith $Mishap
        $result.Ids | Should -Be $Id
        $result.Switches | Should -Be 'hall-2'
    }
}

Describe 'A mishap that nobody plays' {
    It 'is refused by its id' {
        { Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Mishap 'hall-1:LogIn:Sings' -ErrorAction Stop } |
            Should -Throw -ErrorId 'MishapUnknown,PoeOps.Cmdlets.Commands.StartPseRehearsalCommand'
    }
}
