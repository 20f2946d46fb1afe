# Switches reached by SSH: OpenSSH's server in front of a rehearsal's consoles. With POEOPS_POSHSSH the SSH module of that folder is used, else the stand-in.
BeforeDiscovery {
    . "$PSScriptRoot/SshServer.ps1"
    $obstacle = Find-SshObstacle
    if ($obstacle) { Write-Warning $obstacle }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/SshServer.ps1"
    if (Find-SshObstacle) { return }

    $env:PSModulePath = "$(Get-SshModulePath $root)$([IO.Path]::PathSeparator)$env:PSModulePath"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 100
    $console = Get-ConsolePort $rehearsal 'hall-1'
    $byPassword, $byKey = (Get-FreePort), (Get-FreePort)
    $server = New-SshServer "$work/server" $rehearsal @{ $byPassword = "$console"; $byKey = "{$console}" }
    $estate = New-SshEstate $rehearsal "$work/password.estate.json" @{ 'hall-1' = $byPassword }
    $keyEstate = New-SshEstate $rehearsal "$work/key.estate.json" @{ 'hall-1' = $byKey } 'ferry hall'
    $direct = @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1 | ForEach-Object { "$($_.UnitId) $($_.Firmware) $($_.DrawWatts)" })
    $who = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))
    $keyWho = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $server.Passphrase -AsPlainText -Force))
    $known = "$work/known.json"

    function Read-Hall([string] $Estate = $estate, [hashtable] $With = @{}) {
        Told { Get-PseController -Estate $Estate -Switch hall-1 @With }
    }

    function Rows($Told) {
        $Told.Errors | Should -BeNullOrEmpty
        @($Told.Rows | ForEach-Object { "$($_.UnitId) $($_.Firmware) $($_.DrawWatts)" })
    }

    # What the server's log says of log-ins since a line of it.
    function LogIns([int] $Since) {
        @(Get-Content $server.Log | Select-Object -Skip $Since | Where-Object { $_ -match '^(Accepted|Failed) (password|publickey|keyboard-interactive)' })
    }

    function Sessions {
        @(Get-SSHSession).Count
    }
}

AfterAll {
    if ($rehearsal) {
        Stop-SshServer $server
        $rehearsal | Stop-PseRehearsal
        Remove-Item -Recurse -Force $work
    }
}

Describe 'A host key' -Skip:([bool] $obstacle) {
    It 'that is not known is refused where nobody watches, before anybody logs in' {
        $from = @(Get-Content $server.Log).Count
        $told = Read-Hall $estate @{ Credential = $who; HostKeyPath = "$work/none.json" }
        Confirm-OneProblem $told 'HostKeyUnknown'
        $told.Errors[0].Exception.Message | Should -BeExactly ("hall-1: The host key of 127.0.0.1 port $byPassword is not known and was not accepted: ssh-ed25519 $($server.Fingerprint). " +
            'Compare the fingerprint with the one that the switch shows at its console, then accept it when asked, or run once with -TrustNewHost.')
        $told.Errors[0].CategoryInfo.Category | Should -Be 'SecurityError'
        LogIns $from | Should -BeNullOrEmpty
        Test-Path "$work/none.json" | Should -BeFalse
    }

    It 'is accepted with -TrustNewHost, kept, and taken without a word from then on' {
        Rows (Read-Hall $estate @{ Credential = $who; HostKeyPath = $known; TrustNewHost = $true; WarningVariable = 'said'; WarningAction = 'SilentlyContinue' }) | Should -Be $direct
        $key = @(Get-PseHostKey -HostKeyPath $known)
        $key.Count | Should -Be 1
        $key = $key[0]
        "$($key.Address) $($key.Port) $($key.Algorithm) $($key.Fingerprint)" | Should -BeExactly "127.0.0.1 $byPassword ssh-ed25519 $($server.Fingerprint)"
        $key.AcceptedBy | Should -Be "$([Environment]::UserName) on $([Environment]::MachineName)"
        ([datetime]::UtcNow - $key.AcceptedUtc).TotalMinutes | Should -BeLessThan 10
        $told = Told { Get-PseController -Estate $estate -Switch hall-1 -Credential $who -HostKeyPath $known -WarningVariable said }
        Rows $told | Should -Be $direct
        Sessions | Should -Be 0
    }

    It 'says what it accepted' {
        Get-PseController -Estate $estate -Switch hall-1 -Credential $who -HostKeyPath "$work/said.json" -TrustNewHost -WarningVariable said -WarningAction SilentlyContinue | Out-Null
        "$said" | Should -BeExactly "The host key of 127.0.0.1 port $byPassword was not known and is accepted: ssh-ed25519 $($server.Fingerprint)."
    }

    It 'is of a port: another port of the same host is unknown' {
        Confirm-OneProblem (Read-Hall $keyEstate @{ Credential = $keyWho; KeyFile = $server.KeyFile; HostKeyPath = $known }) 'HostKeyUnknown' "port $byKey "
    }

    It 'is asked about where somebody watches: <Answer>' -ForEach @(@{ Answer = 'yes'; Choice = 0 }, @{ Answer = 'no'; Choice = 1 }) {
        . "$PSScriptRoot/AskedHost.ps1"
        $store = "$work/asked-$Answer.json"
        $asked = Invoke-Asked $Choice { param($root, $estate, $who, $store) Import-Module $root/PoeOps.psd1; Get-PseController -Estate $estate -Switch hall-1 -Credential $who -HostKeyPath $store } $root, $estate, $who, $store
        $asked.Question | Should -BeExactly "The host key of 127.0.0.1 port $byPassword is not known. Its fingerprint is ssh-ed25519 $($server.Fingerprint). Compare it with the one that the switch shows at its console. Accept it from now on?"
        Test-Path $store | Should -Be ($Answer -eq 'yes')
        $asked.Rows.Count | Should -Be $(if ($Answer -eq 'yes') { $direct.Count } else { 0 })
        @($asked.Errors | ForEach-Object { ($_.FullyQualifiedErrorId -split ',')[0] }) | Should -Be @(if ($Answer -eq 'no') { 'HostKeyUnknown' })
    }

    It 'that has changed is refused with both fingerprints, also with -TrustNewHost, until it is removed: <Type>' -ForEach @(@{ Type = 'ecdsa' }, @{ Type = 'rsa' }, @{ Type = 'ed25519' }) {
        $port = Get-FreePort
        $other = New-SshServer "$work/changed-$Type" $rehearsal @{ $port = "$console" }
        $there = New-SshEstate $rehearsal "$work/changed-$Type.estate.json" @{ 'hall-1' = $port }
        $store = "$work/changed-$Type.json"
        Rows (Read-Hall $there @{ Credential = $who; HostKeyPath = $store; TrustNewHost = $true; WarningAction = 'SilentlyContinue' }) | Should -Be $direct
        Stop-SshServer $other
        Remove-Item "$work/changed-$Type/host.*", "$work/changed-$Type/log"
        $new = New-SshServer "$work/changed-$Type" $rehearsal @{ $port = "$console" } $Type
        try {
            $told = Read-Hall $there @{ Credential = $who; HostKeyPath = $store; TrustNewHost = $true }
            Confirm-OneProblem $told 'HostKeyChanged'
            $name = @{ ecdsa = 'ecdsa-sha2-nistp256'; rsa = 'ssh-rsa'; ed25519 = 'ssh-ed25519' }[$Type]
            $told.Errors[0].Exception.Message | Should -BeExactly ("hall-1: The host key of 127.0.0.1 port $port has changed: ssh-ed25519 $($other.Fingerprint) was accepted, and the server shows $name $($new.Fingerprint). " +
                "Somebody may be between you and the switch. Only where you know why the key is new, compare its fingerprint at the switch's console and remove the old one with Remove-PseHostKey.")
            @(Get-Content $new.Log | Where-Object { $_ -match '^(Accepted|Failed) (password|publickey|keyboard-interactive)' }) | Should -BeNullOrEmpty

            Get-PseHostKey -HostKeyPath $store | Remove-PseHostKey -HostKeyPath $store -WhatIf
            @(Get-PseHostKey -HostKeyPath $store).Count | Should -Be 1
            Get-PseHostKey -HostKeyPath $store | Remove-PseHostKey -HostKeyPath $store
            Confirm-OneProblem (Read-Hall $there @{ Credential = $who; HostKeyPath = $store }) 'HostKeyUnknown'
            Rows (Read-Hall $there @{ Credential = $who; HostKeyPath = $store; TrustNewHost = $true; WarningAction = 'SilentlyContinue' }) | Should -Be $direct
            Rows (Read-Hall $there @{ Credential = $who; HostKeyPath = $store }) | Should -Be $direct
        }
        finally {
            Stop-SshServer $new
        }
    }

    It 'that is not kept cannot be removed or got' {
        $told = Told { Remove-PseHostKey 192.0.2.9 -HostKeyPath $known }
        Confirm-OneProblem $told 'HostKeyNotFound' "keeps no host key of 192\.0\.2\.9 port 22\."
        Confirm-OneProblem (Told { Get-PseHostKey 192.0.2.9 -HostKeyPath $known }) 'HostKeyNotFound' "keeps no host key of '192\.0\.2\.9'\."
    }

    It 'is relied on only where its file is sound' {
        Set-Content "$work/broken.json" '{ "hostKeys": [ { "address": "127.0.0.1", "port": 22, "algorithm": "ssh-ed25519", "fingerprint": "SHA256:short", "acceptedUtc": "2026-12-01T22:55:00Z", "acceptedBy": "x" } ] }'
        $from = @(Get-Content $server.Log).Count
        Confirm-OneProblem (Read-Hall $estate @{ Credential = $who; HostKeyPath = "$work/broken.json"; TrustNewHost = $true }) 'JsonBadValue' "line 1, hostKeys\[0\]\.fingerprint: 'SHA256:short' is no SHA-256 fingerprint"
        LogIns $from | Should -BeNullOrEmpty
    }
}

Describe 'Logging in by SSH' -Skip:([bool] $obstacle) {
    BeforeAll {
        Get-PseController -Estate $estate -Switch hall-1 -Credential $who -HostKeyPath $known -TrustNewHost -WarningAction SilentlyContinue | Out-Null
        Get-PseController -Estate $keyEstate -Switch hall-1 -Credential $keyWho -KeyFile $server.KeyFile -HostKeyPath $known -TrustNewHost -WarningAction SilentlyContinue | Out-Null
    }

    It 'works with a key and its passphrase, which no device gets' {
        $from = @(Get-Content $server.Log).Count
        Rows (Read-Hall $keyEstate @{ Credential = $keyWho; KeyFile = $server.KeyFile; HostKeyPath = $known }) | Should -Be $direct
        LogIns $from | Should -HaveCount 1
        LogIns $from | Should -Match '^Accepted publickey for '
        Confirm-OneProblem (Read-Hall $estate @{ Credential = $keyWho; KeyFile = $server.KeyFile; HostKeyPath = $known }) 'SecretMissing' "asks 'Secret word\?', and no Password was given"
    }

    It 'says what is wrong: <Name>' -ForEach @(
        @{ Name = 'a wrong password'; Id = 'LogInRefused'; Says = "^hall-1: The SSH server at 127\.0\.0\.1 port \d+ refused the log-in of 'deckhand': .+\. Check user and password, or the key; a locked account may need some minutes\.$" }
        @{ Name = 'a wrong passphrase'; Id = 'KeyFileUnusable'; Says = "^hall-1: The key file '.+key' cannot be used: .+\. Give an OpenSSH private key with -KeyFile, and its passphrase as the password of the credential\.$" }
        @{ Name = 'a file that is no key'; Id = 'KeyFileUnusable'; Says = "^hall-1: The key file '.+log' cannot be used: .+\. Give an OpenSSH" }
        @{ Name = 'no key file'; Id = 'FileNotFound'; Says = "^hall-1: The key file '.+nothing' does not exist\. Give the path of a private key with -KeyFile\.$" }
        @{ Name = 'no credential'; Id = 'SecretMissing'; Says = '^hall-1: SSH to 127\.0\.0\.1 port \d+ needs a user, and no credential was given\. Give -Credential, or ' }
        @{ Name = 'nobody listens'; Id = 'ConnectFailed'; Says = '^hall-1: The SSH server at 127\.0\.0\.1 port \d+ shows no host key: .+\. Check address, port' }
        @{ Name = 'no SSH there'; Id = 'ConnectFailed'; Says = '^hall-1: The SSH server at 127\.0\.0\.1 port \d+ shows no host key: .+\. Check address, port' }
    ) {
        $wrong = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString 'ullage-wrong' -AsPlainText -Force))
        $with = @{ Credential = $wrong; HostKeyPath = $known }
        $at = $keyEstate
        switch ($Name) {
            'a wrong passphrase' { $with.KeyFile = $server.KeyFile }
            'a file that is no key' { $with.KeyFile = $server.Log }
            'no key file' { $with.KeyFile = "$work/nothing" }
            'no credential' { $with.Remove('Credential') }
            'nobody listens' { $at = New-SshEstate $rehearsal "$work/nobody.estate.json" @{ 'hall-1' = Get-FreePort } }
            'no SSH there' { $at = New-SshEstate $rehearsal "$work/console.estate.json" @{ 'hall-1' = $console } }
        }

        $count = $global:Error.Count
        $told = Read-Hall $at $with
        Confirm-OneProblem $told $Id $Says
        "$($told.Errors[0] | Out-String)$($told.Errors[0] | Format-List * -Force | Out-String)" | Should -Not -Match 'ullage-wrong'
        $told.Seconds | Should -BeLessThan 40
        @($global:Error | Where-Object { "$($_.TargetObject)" -match 'Ssh' }) | Should -BeNullOrEmpty
        Sessions | Should -Be 0
    }

    It 'takes the credential that the estate names from a map: <Kind>' -ForEach @(@{ Kind = 'hashtable' }, @{ Kind = 'script block' }) {
        $map = if ($Kind -eq 'hashtable') { @{ 'ferry hall' = $keyWho } } else { { param($name) if ($name -eq 'ferry hall') { $keyWho } } }
        Rows (Read-Hall $keyEstate @{ CredentialMap = $map; KeyFile = $server.KeyFile; HostKeyPath = $known }) | Should -Be $direct
    }

    It 'tells a map that fails, and never what it gave: <Name>' -ForEach @(
        @{ Name = 'a text'; Map = @{ 'ferry hall' = 'ullage-wrong' }; Says = "^hall-1: The credential map has a System\.String for 'ferry hall', and a credential was expected\. Give " }
        @{ Name = 'two'; Map = { param($name) 1; 2 }; Says = "^hall-1: The credential map gave 2 things for 'ferry hall', and one credential was expected\. Give " }
        @{ Name = 'an error'; Map = { param($name) throw "no vault for $name" }; Says = "^hall-1: The credential map failed for 'ferry hall': no vault for ferry hall\. Give " }
        @{ Name = 'an error of PowerShell'; Map = { param($name) [pscredential] [uri] 'ullage-wrong' }; Says = "^hall-1: The credential map failed for 'ferry hall': \w+; what else it says is left out, for it may hold a secret\. Give " }
        @{ Name = 'no map'; Map = 'ullage-wrong'; Says = '^hall-1: The credential map is a System\.String, and a hashtable or a script block was expected\. Give ' }
        @{ Name = 'a name that it lacks'; Map = @{ other = 1 }; Says = '^hall-1: SSH to .+ needs a user, and no credential was given\.' }
    ) {
        $told = Read-Hall $keyEstate @{ CredentialMap = $Map; HostKeyPath = $known }
        Confirm-OneProblem $told 'SecretMissing' $Says
        "$($told.Errors[0])" | Should -Not -Match 'ullage-wrong'
    }

    It 'takes a session of the user''s own, and leaves it open' {
        Import-Module Posh-SSH
        $store = New-SSHMemoryKnownHost
        $md5 = ((ssh-keygen -lf "$($server.Folder)/host.ed25519.pub" -E md5) -split ' ')[1] -replace '^MD5:' -split ':' | ForEach-Object { '{0:x}' -f [Convert]::ToInt32($_, 16) }
        $store.SetKey('127.0.0.1', 'ssh-ed25519', ($md5 -join ':')) | Out-Null
        $session = New-SSHSession -ComputerName 127.0.0.1 -Port $byKey -Credential $keyWho -KeyFile $server.KeyFile -KnownHost $store -ErrorOnUntrusted
        try {
            Rows (Read-Hall $keyEstate @{ SshSession = $session }) | Should -Be $direct
            $session.Connected | Should -BeTrue
            Sessions | Should -Be 1
            Rows (Read-Hall $keyEstate @{ SshSession = $session }) | Should -Be $direct
            Confirm-OneProblem (Read-Hall $estate @{ SshSession = $session }) 'SshSessionUnusable' "^hall-1: None of the 1 SSH sessions that were given is one to 127\.0\.0\.1 port $byPassword\. Open a session"
            Rows (Read-Hall $estate @{ SshSession = $session; Credential = $who; HostKeyPath = $known }) | Should -Be $direct
            Confirm-OneProblem (Read-Hall $keyEstate @{ SshSession = 'quay' }) 'SshSessionUnusable' '^hall-1: A session that was given is none: it is a System\.String\.'
        }
        finally {
            Remove-SSHSession -SSHSession $session | Out-Null
        }

        Confirm-OneProblem (Read-Hall $keyEstate @{ SshSession = $session }) 'SshSessionUnusable' "^hall-1: The SSH session to 127\.0\.0\.1 port $byKey that was given is no longer connected\."
    }

    It 'saves captures over it, from an address as well' {
        $saved = @(Save-PseCapture -Address "127.0.0.1:$byKey" -Link Ssh -Dialect kelpline -Switch hall-1 -Send 'tell power' -Path "$work/saved" -Credential $keyWho -KeyFile $server.KeyFile -HostKeyPath $known)
        $saved.Count | Should -Be 1
        Get-Content -Raw $saved[0].Path | Should -Match 'tell power'
        Sessions | Should -Be 0
    }
}

Describe 'The SSH module' -Skip:([bool] $obstacle) {
    BeforeAll {
        . "$PSScriptRoot/Nights.ps1"

        # One reading in a process that finds modules in one folder alone.
        function Read-Elsewhere([string] $ModulePath, [string] $Before = '') {
            $file = "$work/elsewhere-$([guid]::NewGuid().ToString('N')).ps1"
            Set-Content $file @"
`$env:PSModulePath = '$ModulePath'
Import-Module '$root/PoeOps.psd1'
$Before
`$who = [pscredential]::new('x', (ConvertTo-SecureString 'y' -AsPlainText -Force))
Get-PseController -Estate '$estate' -Switch hall-1 -Credential `$who -HostKeyPath '$work/elsewhere.json' -ErrorAction SilentlyContinue -ErrorVariable told
"`$(`$told[0].FullyQualifiedErrorId) `$(`$told[0].CategoryInfo.Category)"
"`$(`$told[0].Exception.Message)"
"@
            $arguments = @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', $file)
            @(& $nightsPwsh @arguments)
        }

        $advice = 'Install it with ''Install-Module Posh-SSH -MaximumVersion 3.999 -Scope CurrentUser''; for a jump host without internet, save it elsewhere with ' +
        '''Save-Module Posh-SSH -MaximumVersion 3.999 -Path .'' and copy the folder Posh-SSH into a folder of $env:PSModulePath.'
    }

    It 'is asked for in a sentence where it is not there, or too old, or too new: <Version>' -ForEach @(@{ Version = '' }, @{ Version = '2.9.9' }, @{ Version = '4.0.0' }) {
        $folder = "$work/modules-$Version"
        New-Item -ItemType Directory "$folder/Posh-SSH/$Version" -Force | Out-Null
        if ($Version) { New-ModuleManifest "$folder/Posh-SSH/$Version/Posh-SSH.psd1" -ModuleVersion $Version }
        $lines = Read-Elsewhere $folder
        $lines[0] | Should -Be 'SshModuleMissing,PoeOps.Cmdlets.Commands.GetPseControllerCommand NotInstalled'
        $lines[1] | Should -BeExactly "hall-1: SSH to 127.0.0.1 port $byPassword needs the module Posh-SSH, version 3.0 or later and before 4.0, and it is not installed. $advice"
    }

    It 'is not loaded beside another version of it' {
        $folder = "$work/modules-loaded"
        New-Item -ItemType Directory "$folder/Posh-SSH" -Force | Out-Null
        New-ModuleManifest "$folder/Posh-SSH/Posh-SSH.psd1" -ModuleVersion 4.1.0
        (Read-Elsewhere (Get-SshModulePath $root) "Import-Module '$folder/Posh-SSH/Posh-SSH.psd1'")[1] |
            Should -BeExactly "hall-1: SSH to 127.0.0.1 port $byPassword needs the module Posh-SSH, version 3.0 or later and before 4.0, and version 4.1.0 is loaded. $advice"
    }

    It 'is not taken for another of its name' {
        $folder = "$work/modules-empty"
        New-Item -ItemType Directory "$folder/Posh-SSH" -Force | Out-Null
        New-ModuleManifest "$folder/Posh-SSH/Posh-SSH.psd1" -ModuleVersion 3.1.0
        (Read-Elsewhere $folder)[1] | Should -BeExactly "hall-1: SSH to 127.0.0.1 port $byPassword needs the module Posh-SSH, version 3.0 or later and before 4.0, and what is loaded under its name is another. $advice"
    }
}
