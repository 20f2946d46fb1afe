# Images on a server by sftp and scp: OpenSSH's server with files. With POEOPS_POSHSSH the SSH module of that folder is used, else the stand-in.
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
    $port = Get-FreePort
    $person = [pscustomobject]@{ User = 'storekeeper'; Password = 'Brass & "tallow" 7' }
    $server = New-SshServer "$work/server" $person @{ $port = 'files' }
    $who = [pscredential]::new($person.User, (ConvertTo-SecureString $person.Password -AsPlainText -Force))
    $keyWho = [pscredential]::new($person.User, (ConvertTo-SecureString $server.Passphrase -AsPlainText -Force))
    Copy-Item -Recurse "$root/examples/images" "$work/the images"
    $baseline = "$root/examples/winter.baseline.json"
    $place = "127.0.0.1:$port$work/the%20images/"
    $known = "$work/known.json"

    function Test-There([string] $Scheme, [hashtable] $With) {
        Told { Test-PseImage -Uri "${Scheme}://$place" -Baseline $baseline @With }
    }

    # What the server's log says of log-ins since a line of it.
    function LogIns([int] $Since) {
        @(Get-Content $server.Log | Select-Object -Skip $Since | Where-Object { $_ -match '^(Accepted|Failed) (password|publickey|keyboard-interactive)' })
    }
}

AfterAll {
    if ($server) {
        Stop-SshServer $server
        Remove-Item -Recurse -Force $work
    }
}

Describe 'Images by <Scheme>' -Skip:([bool] $obstacle) -ForEach @(@{ Scheme = 'sftp' }, @{ Scheme = 'scp' }) {
    It 'are not asked for before the host key has passed' {
        $from = @(Get-Content $server.Log).Count
        $told = Test-There $Scheme @{ Credential = $who; HostKeyPath = "$work/none.json" }
        $told.Errors | Should -BeNullOrEmpty
        "$($told.Rows.Problem.Id)" | Should -Be 'HostKeyUnknown HostKeyUnknown HostKeyUnknown HostKeyUnknown HostKeyUnknown'
        $told.Rows[0].Reason | Should -Match "The host key of 127\.0\.0\.1 port $port is not known and was not accepted: ssh-ed25519 $([regex]::Escape($server.Fingerprint))\."
        LogIns $from | Should -BeNullOrEmpty
        Test-Path "$work/none.json" | Should -BeFalse
    }

    It 'are fetched whole by password and by key, and the host key is kept' {
        $told = Test-There $Scheme @{ Credential = $who; HostKeyPath = $known; TrustNewHost = $true; WarningAction = 'SilentlyContinue' }
        "$($told.Errors) $($told.Rows.Problem)".Trim() | Should -BeNullOrEmpty
        $told.Rows.Good | Should -Be (@($true) * 5)
        "$(Get-PseHostKey -HostKeyPath $known | ForEach-Object { "$($_.Address) $($_.Port) $($_.Fingerprint)" })" | Should -Be "127.0.0.1 $port $($server.Fingerprint)"
        Test-PseImage -Uri "${Scheme}://$place" -Baseline $baseline -Credential $keyWho -KeyFile $server.KeyFile -HostKeyPath $known -Quiet | Should -BeTrue
    }

    It 'that are not there, or cannot be asked for, are told: <Name>' -ForEach @(
        @{ Name = 'no such file'; Id = 'ImageFetchFailed'; Says = 'Fetching .+kelp-2\.0\.4\.img failed: ' }
        @{ Name = 'a wrong password'; Id = 'LogInRefused'; Says = "The SSH server at 127\.0\.0\.1 port \d+ refused the log-in of 'storekeeper': " }
        @{ Name = 'a wrong passphrase'; Id = 'KeyFileUnusable|ImageFetchFailed'; Says = '.' }
        @{ Name = 'no key file'; Id = 'FileNotFound'; Says = "The key file '.+nothing' does not exist\." }
    ) {
        Copy-Item $known "$work/copy.json"
        $wrong = [pscredential]::new($person.User, (ConvertTo-SecureString 'ullage-wrong' -AsPlainText -Force))
        $with = @{ Credential = $wrong; HostKeyPath = "$work/copy.json" }
        $asked = $place
        switch ($Name) {
            'no such file' { $with.Credential = $who; $asked = "127.0.0.1:$port$work/elsewhere/" }
            'a wrong passphrase' { $with.KeyFile = $server.KeyFile }
            'no key file' { $with.KeyFile = "$work/nothing" }
        }

        $told = Told { Test-PseImage -Uri "${Scheme}://$asked" -Baseline $baseline @with }
        $told.Errors | Should -BeNullOrEmpty
        $told.Rows.Count | Should -Be 5
        "$($told.Rows[0].Problem.Id)" | Should -Match "^($Id)$"
        $told.Rows[0].Reason | Should -Match $Says
        ($told.Rows | Format-List * -Force | Out-String) | Should -Not -Match 'ullage-wrong'
        $told.Seconds | Should -BeLessThan 60
    }

    It 'are refused where the host key has changed' {
        $text = Get-Content -Raw $known
        Set-Content "$work/changed.json" ($text -replace '("SHA256:)....', '$1AAAA')
        $from = @(Get-Content $server.Log).Count
        $told = Test-There $Scheme @{ Credential = $who; HostKeyPath = "$work/changed.json"; TrustNewHost = $true }
        "$($told.Rows.Problem.Id)" | Should -Be 'HostKeyChanged HostKeyChanged HostKeyChanged HostKeyChanged HostKeyChanged'
        LogIns $from | Should -BeNullOrEmpty
    }
}
