# Whole refreshes over SSH, what they leave behind, and what becomes of them when the session fails: each in a process of its own, which has to end.
BeforeDiscovery {
    . "$PSScriptRoot/SshServer.ps1"
    $obstacle = Find-SshObstacle
    if ($obstacle) { Write-Warning $obstacle }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    . "$PSScriptRoot/SshServer.ps1"
    . "$PSScriptRoot/SecretSearch.ps1"
    if (Find-SshObstacle) { return }

    $env:PSModulePath = "$(Get-SshModulePath $root)$([IO.Path]::PathSeparator)$env:PSModulePath"
    $all = New-WorkFolder

    # A rehearsal behind a server, and a plan of the units of hall-1 that are behind, which reaches the switch by SSH. What is left lies in Folder, apart from the server's own.
    function New-SshNight([string[]] $Unit = @('1', '2'), [double] $Speed = 60) {
        $folder = Join-Path $all ([guid]::NewGuid().ToString('N'))
        New-Item -ItemType Directory "$folder/run" -Force | Out-Null
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed $Speed
        $port, $keyPort = (Get-FreePort), (Get-FreePort)
        $console = Get-ConsolePort $rehearsal 'hall-1'
        $server = New-SshServer "$folder/server" $rehearsal @{ $port = "$console"; $keyPort = "{$console}" }
        $night = [pscustomobject]@{
            Rehearsal = $rehearsal; Server = $server; Port = $port; KeyPort = $keyPort; Folder = "$folder/run"; Journal = "$folder/run/night.journal.jsonl"
            Locks = "$folder/run/locks"; Keys = "$folder/run/hostkeys.json"; Plan = $null; PlanPath = "$folder/run/password.plan.json"; KeyPlanPath = "$folder/run/key.plan.json"
        }
        $behind = @(Get-PseController -Estate $rehearsal.EstatePath -Switch hall-1 | Where-Object Unit -in $Unit | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)
        foreach ($kind in @{ Path = $night.PlanPath; Port = $port }, @{ Path = $night.KeyPlanPath; Port = $keyPort }) {
            $estate = New-SshEstate $rehearsal "$($kind.Path).estate.json" @{ 'hall-1' = $kind.Port }
            $night.Plan = $behind | New-PsePlan -Estate $estate -Path $kind.Path -AcceptLifeSafety 'hall-1/1', 'hall-1/2' -WarningAction SilentlyContinue
        }

        $night
    }

    function Remove-SshNight($Night) {
        if ($Night) {
            Stop-SshServer $Night.Server
            $Night.Rehearsal | Stop-PseRehearsal
        }
    }

    function Start-SshRun($Night, [string] $More = '', [string] $Plan = $Night.PlanPath) {
        Start-Run $Night "-Plan '$Plan' -ImageFolder '$root/examples/images' -Journal '$($Night.Journal)' -HostKeyPath '$($Night.Keys)' -TrustNewHost $More"
    }

    # Waits until the first unit is being programmed: from there on it goes on by itself, whatever becomes of the session.
    function Wait-Program($Night, $Run) {
        while (-not (Get-PseJournal $Night.Journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { "$($_.Kind)" -eq 'StageBegan' -and $_.Facts['stage'] -eq 'Program' })) {
            $Run.Process.HasExited | Should -BeFalse -Because 'the run goes on'
            Start-Sleep -Milliseconds 20
        }
    }

    # How each unit ended, by the journal.
    function Ends($Night) {
        @(Get-PseJournal $Night.Journal -ErrorAction Stop | Where-Object { "$($_.Kind)" -eq 'End' } | ForEach-Object { "$($_.Unit) $($_.Facts['outcome'])" })
    }

    function Loads($Night) {
        @($Night.Rehearsal.Log | Where-Object { "$($_.Kind)" -eq 'InstallBegan' }).Count
    }
}

AfterAll {
    if ($all) { Remove-Item -Recurse -Force $all }
}

Describe 'A refresh of two units over SSH' -Skip:([bool] $obstacle) {
    AfterEach {
        Remove-SshNight $night
    }

    It 'is whole by password, and leaves no secret anywhere' {
        $night = New-SshNight -Speed 100
        $script = "$($night.Folder)/../loud.ps1"
        Set-Content $script @"
`$ProgressPreference = 'SilentlyContinue'
`$VerbosePreference = 'Continue'
`$DebugPreference = 'Continue'
`$InformationPreference = 'Continue'
Start-Transcript '$($night.Folder)/shell.transcript.txt' | Out-Null
Import-Module '$root/PoeOps.psd1' -Verbose:`$false
`$who = [pscredential]::new('$($night.Rehearsal.User)', (Get-Content '$($night.Folder)/../password' | ConvertTo-SecureString -AsPlainText -Force))
`$wrong = [pscredential]::new('$($night.Rehearsal.User)', (ConvertTo-SecureString 'ullage-wrong' -AsPlainText -Force))
`$log = Trace-Command -Name ParameterBinding, TypeConversion -Option All -FilePath '$($night.Folder)/trace.txt' -Expression {
    Get-PseController -Estate '$($night.PlanPath).estate.json' -Switch hall-1 -Credential `$wrong -HostKeyPath '$($night.Keys)' -TrustNewHost -ErrorAction SilentlyContinue
    Get-PseController -Estate '$($night.KeyPlanPath).estate.json' -Switch hall-1 -Credential `$wrong -KeyFile '$($night.Server.KeyFile)' -HostKeyPath '$($night.Keys)' -TrustNewHost -ErrorAction SilentlyContinue
}
`$rows = @(Invoke-PseRefresh -Plan '$($night.PlanPath)' -ImageFolder '$root/examples/images' -Journal '$($night.Journal)' -LockFolder '$($night.Locks)' -HostKeyPath '$($night.Keys)' -Credential `$who -Confirm:`$false *>&1)
`$rows | Export-Clixml -Depth 4 '$($night.Folder)/rows.xml'
`$rows | Out-String -Width 500
`$Error | ForEach-Object { `$_ | Format-List * -Force | Out-String -Width 500 }
`$Error | Export-Clixml -Depth 4 '$($night.Folder)/errors.xml'
Get-Variable | Where-Object Name -notin 'who', 'wrong' | Out-String -Width 500
`$rows | Where-Object { `$_ -is [PoeOps.Refresh.UnitResult] } | ForEach-Object { "ROW `$(`$_.UnitId) `$(`$_.Outcome)" }
"SESSIONS `$(@(Get-SSHSession).Count)"
Stop-Transcript | Out-Null
"@
        Set-Content "$($night.Folder)/../password" $night.Rehearsal.Password
        $arguments = @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', $script)
        $lines = @(& $nightsPwsh @arguments 2>&1 | ForEach-Object { "$_" })
        Set-Content "$($night.Folder)/printed.txt" $lines

        $lines | Where-Object { $_ -clike 'ROW*' } | Sort-Object | Should -Be 'ROW hall-1/1 Done', 'ROW hall-1/2 Done' -Because "$($lines -join "`n")"
        $lines | Should -Contain 'SESSIONS 0'
        Loads $night | Should -Be 2
        @(Get-Content $night.Server.Log | Where-Object { $_ -match '^Accepted password for ' }).Count | Should -BeGreaterOrEqual 2

        $left = @(Get-ChildItem -Recurse -File -Force $night.Folder)
        @($left.Name | Where-Object { $_ -match '\.transcript\.txt$' }).Count | Should -BeGreaterOrEqual 3
        Find-Secret $night.Folder $night.Rehearsal.Password, $night.Server.Passphrase, 'ullage-wrong' | Should -BeNullOrEmpty
    }

    It 'is whole by a key, whose passphrase is in nothing that it leaves' {
        $night = New-SshNight -Speed 100
        $phrase = $night.Server.Passphrase
        $script = "$($night.Folder)/../key.ps1"
        Set-Content $script @"
`$ProgressPreference = 'SilentlyContinue'
`$VerbosePreference = 'Continue'
`$DebugPreference = 'Continue'
Import-Module '$root/PoeOps.psd1' -Verbose:`$false
`$map = { param(`$name) throw 'nobody asks' }
`$who = [pscredential]::new('$($night.Rehearsal.User)', (ConvertTo-SecureString '$phrase' -AsPlainText -Force))
Invoke-PseRefresh -Plan '$($night.KeyPlanPath)' -ImageFolder '$root/examples/images' -Journal '$($night.Journal)' -LockFolder '$($night.Locks)' -HostKeyPath '$($night.Keys)' -TrustNewHost -Credential `$who -KeyFile '$($night.Server.KeyFile)' -CredentialMap `$map -Confirm:`$false *>&1 | ForEach-Object { if (`$_ -is [PoeOps.Refresh.UnitResult]) { "ROW `$(`$_.UnitId) `$(`$_.Outcome)" } else { "`$_" } }
"@
        $arguments = @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', $script)
        $lines = @(& $nightsPwsh @arguments 2>&1 | ForEach-Object { "$_" })
        Set-Content "$($night.Folder)/printed.txt" $lines
        $lines | Where-Object { $_ -clike 'ROW*' } | Sort-Object | Should -Be 'ROW hall-1/1 Done', 'ROW hall-1/2 Done' -Because "$($lines -join "`n")"
        Find-Secret $night.Folder $phrase | Should -BeNullOrEmpty
    }

    It 'connects to read under -WhatIf, and writes no host key' {
        $night = New-SshNight '1' 100
        $run = Start-SshRun $night '-WhatIf'
        Complete-Run $run | Where-Object { $_ -clike 'ROW*' } | Should -Be 'ROW hall-1/1 Skipped'
        @(Get-Content $night.Server.Log | Where-Object { $_ -match '^Accepted password for ' }).Count | Should -BeGreaterOrEqual 1
        Test-Path $night.Keys | Should -BeFalse
        Loads $night | Should -Be 0
    }
}

Describe 'A session that fails while a unit is at work' -Skip:([bool] $obstacle) {
    AfterEach {
        Remove-SshNight $night
    }

    It 'is opened again, and the unit is found as it is: <Name>' -ForEach @(
        @{ Name = 'the processes of the session are killed'; How = 'Kill' }
        @{ Name = 'the remote program exits'; How = 'Exit' }
        @{ Name = 'the peer falls silent'; How = 'Silent' }
    ) {
        $night = New-SshNight '1'
        $run = Start-SshRun $night
        Wait-Program $night $run
        $stopped = @()
        switch ($How) {
            'Kill' { Stop-SshSession $night.Server | Should -BeGreaterThan 0 }
            'Exit' { Stop-SshSession $night.Server 'socat' | Should -BeGreaterThan 0 }
            'Silent' {
                $stopped = @(Get-Descendant $night.Server.Process.Id)
                & kill -STOP @stopped
            }
        }

        $lines = Complete-Run $run
        $lines | Where-Object { $_ -clike 'ROW*' } | Should -Be 'ROW hall-1/1 Done' -Because "$($lines -join "`n")"
        $lines | Should -Contain 'RUN OVER'
        Ends $night | Should -Be 'hall-1/1 Done'
        Loads $night | Should -Be 1
        if ($stopped) { & kill -KILL @stopped 2>$null }
    }

    It 'that cannot be opened again leaves the unit uncertain, and the process ends: <Name>' -ForEach @(
        @{ Name = 'the server is killed'; How = 'Kill' }
        @{ Name = 'the server and its sessions fall silent'; How = 'Silent' }
    ) {
        $night = New-SshNight '1' 120
        $run = Start-SshRun $night
        Wait-Program $night $run
        $ids = @($night.Server.Process.Id) + @(Get-Descendant $night.Server.Process.Id)
        & kill $(if ($How -eq 'Kill') { '-KILL' } else { '-STOP' }) @ids
        try {
            $watch = [Diagnostics.Stopwatch]::StartNew()
            $lines = Complete-Run $run
            $watch.Elapsed.TotalSeconds | Should -BeLessThan 120
            $lines | Where-Object { $_ -clike 'ROW*' } | Should -Be 'ROW hall-1/1 Uncertain' -Because "$($lines -join "`n")"
            Ends $night | Should -Be 'hall-1/1 Uncertain'
            Loads $night | Should -Be 1
        }
        finally {
            & kill -KILL @ids 2>$null
        }
    }

    It 'was the user''s own and is removed: <Name>' -ForEach @(
        @{ Name = 'one is opened in its place where there is a credential'; Credential = $true; Outcome = 'Done' }
        @{ Name = 'the unit is uncertain where there is none'; Credential = $false; Outcome = 'Uncertain' }
    ) {
        $night = New-SshNight '1' 120
        $script = "$($night.Folder)/../own.ps1"
        Set-Content $script @"
`$ProgressPreference = 'SilentlyContinue'
Import-Module '$root/PoeOps.psd1'
Import-Module Posh-SSH
`$who = [pscredential]::new('$($night.Rehearsal.User)', (ConvertTo-SecureString '$($night.Server.Passphrase)' -AsPlainText -Force))
`$store = New-SSHMemoryKnownHost
`$md5 = ((ssh-keygen -lf '$($night.Server.Folder)/host.ed25519.pub' -E md5) -split ' ')[1] -replace '^MD5:' -split ':' | ForEach-Object { '{0:x}' -f [Convert]::ToInt32(`$_, 16) }
`$store.SetKey('127.0.0.1', 'ssh-ed25519', (`$md5 -join ':')) | Out-Null
`$session = New-SSHSession -ComputerName 127.0.0.1 -Port $($night.KeyPort) -Credential `$who -KeyFile '$($night.Server.KeyFile)' -KnownHost `$store -ErrorOnUntrusted
# Another thread of the process takes the session away when it is told to.
`$remover = [powershell]::Create().AddScript({ param(`$session, `$sign) while (-not (Test-Path `$sign)) { Start-Sleep -Milliseconds 20 }; `$session.Session.Disconnect(); `$session.Session.Dispose() }).AddArgument(`$session).AddArgument('$($night.Folder)/remove')
`$removing = `$remover.BeginInvoke()
`$more = @{}
if (`$$($Credential)) { `$more = @{ Credential = `$who; KeyFile = '$($night.Server.KeyFile)' } }
Invoke-PseRefresh -Plan '$($night.KeyPlanPath)' -ImageFolder '$root/examples/images' -Journal '$($night.Journal)' -LockFolder '$($night.Locks)' -HostKeyPath '$($night.Keys)' -TrustNewHost -SshSession `$session @more -Confirm:`$false | ForEach-Object { "ROW `$(`$_.UnitId) `$(`$_.Outcome)" }
'RUN OVER'
"@
        $start = [Diagnostics.ProcessStartInfo]::new($nightsPwsh)
        @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', $script) | ForEach-Object { $start.ArgumentList.Add($_) }
        $start.RedirectStandardOutput = $true
        $start.RedirectStandardError = $true
        $start.RedirectStandardInput = $true
        $process = [Diagnostics.Process]::Start($start)
        $process.StandardInput.Close()
        $run = [pscustomobject]@{ Process = $process; Errors = $process.StandardError.ReadToEndAsync(); Lines = [Collections.Generic.List[string]]::new() }
        Wait-Program $night $run
        Set-Content "$($night.Folder)/remove" 'now'
        $lines = Complete-Run $run
        $lines | Where-Object { $_ -clike 'ROW*' } | Should -Be "ROW hall-1/1 $Outcome" -Because "$($lines -join "`n")"
        $lines | Should -Contain 'RUN OVER'
        Loads $night | Should -Be 1
    }

    It 'is opened again also after Ctrl+C, so that the unit is watched to its end' {
        $night = New-SshNight '1'
        $run = Start-SshRun $night
        Wait-Program $night $run
        & kill -INT $run.Process.Id
        Start-Sleep -Milliseconds 300
        Stop-SshSession $night.Server | Should -BeGreaterThan 0
        Complete-Run $run | Out-Null
        Ends $night | Should -Be 'hall-1/1 Done'
        Loads $night | Should -Be 1
    }

    It 'is not waited for without end while the console takes no more text, and is opened again when it does' {
        . "$PSScriptRoot/AskedHost.ps1"
        $night = New-SshNight '1'
        $console = [AskedHost]::new(0)
        $console.HangsAt = 'Program'
        $space = [runspacefactory]::CreateRunspace($console)
        $space.Open()
        $shell = [powershell]::Create()
        $shell.Runspace = $space
        try {
            $who = [pscredential]::new($night.Rehearsal.User, (ConvertTo-SecureString $night.Rehearsal.Password -AsPlainText -Force))
            [void] $shell.AddCommand('Import-Module').AddArgument("$root/PoeOps.psd1").AddStatement().AddCommand('Invoke-PseRefresh').AddParameters(@{
                    Plan = $night.PlanPath; ImageFolder = "$root/examples/images"; Journal = $night.Journal; LockFolder = $night.Locks; HostKeyPath = $night.Keys
                    TrustNewHost = $true; Credential = $who; Confirm = $false })
            $running = $shell.BeginInvoke()
            $console.Hangs.WaitOne(120000) | Should -BeTrue
            Stop-SshSession $night.Server | Should -BeGreaterThan 0
            $watch = [Diagnostics.Stopwatch]::StartNew()
            while (-not (Get-PseJournal $night.Journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { "$($_.Kind)" -eq 'StageBegan' -and $_.Facts['stage'] -eq 'Verify' })) {
                $watch.Elapsed.TotalSeconds | Should -BeLessThan 60
                Start-Sleep -Milliseconds 100
            }

            # Longer than a turn of the pipeline's is waited for.
            Start-Sleep -Seconds 25
            [void] $console.LetGo.Set()
            $running.AsyncWaitHandle.WaitOne(120000) | Should -BeTrue
            $shell.EndInvoke($running).Outcome | Should -Be 'Done'
            Loads $night | Should -Be 1
        }
        finally {
            [void] $console.LetGo.Set()
            $shell.Dispose()
            $space.Dispose()
        }
    }
}
