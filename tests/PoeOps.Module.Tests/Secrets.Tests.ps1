# A whole night in a process of its own, with a home and a temporary folder of its own, at consoles that tell every secret they hear: what it leaves, on
# disk, in every stream, in objects and errors, in its own transcript and in the tables of processes, holds none of them in any form.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Nights.ps1"
    . "$PSScriptRoot/SshServer.ps1"
    . "$PSScriptRoot/SecretSearch.ps1"
    . "$PSScriptRoot/TellTale.ps1"
    $all = New-WorkFolder

    # What makes trouble in expressions, formats, quotes and file formats, and blanks at both ends.
    $secrets = @(' lo{0}w\t1de"''$&<9> ', 'De%ep*[w4]+(^', 'ullage-wrong.\d{2}')
    $password, $elevation, $wrong = $secrets

    # The harbour with these secrets.
    $harbour = "$all/harbour"
    Copy-Item -Recurse "$root/examples" $harbour
    $world = [IO.File]::ReadAllText("$harbour/harbour.world.json").Replace('"low-tide-9"', ($password | ConvertTo-Json)).Replace('"deep-water-4"', ($elevation | ConvertTo-Json))
    [IO.File]::WriteAllText("$harbour/harbour.world.json", $world)

    # Reads the tables of processes while a process and those that it starts live: command lines and environments.
    function Watch-Process([Diagnostics.Process] $Process, [string] $Into) {
        $seen = [Collections.Generic.HashSet[string]]::new()
        while (-not $Process.WaitForExit(100)) {
            foreach ($id in @($Process.Id) + @(Get-Descendant $Process.Id)) {
                foreach ($table in 'cmdline', 'environ') {
                    try { $null = $seen.Add([IO.File]::ReadAllText("/proc/$id/$table")) }
                    catch { $null = $seen.Add("gone: $id") }
                }
            }
        }

        [IO.File]::WriteAllLines($Into, $seen)
        $seen.Count
    }
}

AfterAll {
    Remove-Item -Recurse -Force $all
}

Describe 'The search itself' {
    It 'finds a secret that is planted: <Form>' -ForEach @(
        @{ Form = 'as it is'; Bytes = { [Text.Encoding]::UTF8.GetBytes("x${password}y") } }
        @{ Form = 'in capitals'; Bytes = { [Text.Encoding]::UTF8.GetBytes($password.ToUpperInvariant()) } }
        @{ Form = 'in UTF-16'; Bytes = { [Text.Encoding]::Unicode.GetBytes("x${password}y") } }
        @{ Form = 'in UTF-16 from an odd byte on'; Bytes = { @([byte] 1) + [Text.Encoding]::BigEndianUnicode.GetBytes($password) } }
        @{ Form = 'in Base64'; Bytes = { [Text.Encoding]::UTF8.GetBytes([Convert]::ToBase64String([Text.Encoding]::UTF8.GetBytes($password))) } }
        @{ Form = 'in hexadecimal'; Bytes = { [Text.Encoding]::UTF8.GetBytes([Convert]::ToHexString([Text.Encoding]::UTF8.GetBytes($password)).ToLowerInvariant()) } }
        @{ Form = 'in JSON'; Bytes = { [Text.Encoding]::UTF8.GetBytes((@{ a = $password } | ConvertTo-Json)) } }
        @{ Form = 'in XML'; Bytes = { [Text.Encoding]::UTF8.GetBytes([Management.Automation.PSSerializer]::Serialize($password)) } }
        @{ Form = 'in a URL'; Bytes = { [Text.Encoding]::UTF8.GetBytes([uri]::EscapeDataString($password)) } }
        @{ Form = 'wrapped'; Bytes = { [Text.Encoding]::UTF8.GetBytes($password.Insert(6, "`r`n")) } }
    ) {
        $folder = (New-Item -ItemType Directory "$all/$([guid]::NewGuid().ToString('N'))").FullName
        [IO.File]::WriteAllBytes("$folder/left", (& $Bytes))
        Find-Secret $folder $secrets | Should -Not -BeNullOrEmpty
        [IO.File]::WriteAllText("$folder/left", 'nothing of it')
        Find-Secret $folder $secrets | Should -BeNullOrEmpty
    }

    It 'finds one that a transcript has in pieces' {
        $folder = (New-Item -ItemType Directory "$all/pieces").FullName
        [IO.File]::WriteAllLines("$folder/a.transcript.txt", [string[]] ('ullage', '-wrong', '.\\d{2}\r\n' | ForEach-Object { "2026-12-01T00:00:00.000Z < $_" }))
        Find-Secret $folder $wrong.Trim() | Should -Not -BeNullOrEmpty
    }
}

Describe 'A night at consoles that tell secrets' {
    BeforeEach {
        $night = New-Object psobject -Property @{ Folder = "$all/$([guid]::NewGuid().ToString('N'))"; Rehearsal = $null; Tale = $null }
        New-Item -ItemType Directory "$($night.Folder)/left/home", "$($night.Folder)/left/temp", "$($night.Folder)/left/run" | Out-Null
    }

    AfterEach {
        if ($night.Tale) { $night.Tale.Dispose() }
        if ($night.Rehearsal) { $night.Rehearsal | Stop-PseRehearsal }
    }

    It 'leaves no secret anywhere, by <Link>' -ForEach @(@{ Link = 'telnet' }, @{ Link = 'tcp' }) {
        $night.Rehearsal = Start-PseRehearsal -Estate "$harbour/harbour.estate.json" -Speed 200 -Mishap 'hall-1:LogIn:SecondSecret:1-'
        $console = Get-ConsolePort $night.Rehearsal 'hall-1'
        $night.Tale = [TellTale]::new($console, $secrets)
        $run = "$($night.Folder)/left/run"
        $estate = Get-Content -Raw $night.Rehearsal.EstatePath | ConvertFrom-Json
        $place = $estate.sites.switches | Where-Object name -eq 'hall-1'
        $place.link = $Link
        $place.port = $night.Tale.Port
        $estate | ConvertTo-Json -Depth 30 | Set-Content "$run/estate.json"
        Get-PseController -Estate $night.Rehearsal.EstatePath -Switch hall-1 | Where-Object Unit -in '1', '2' | Test-PseDrift -Baseline "$harbour/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate "$run/estate.json" -Path "$run/night.plan.json" -AcceptLifeSafety 'hall-1/1', 'hall-1/2' -WarningAction SilentlyContinue | Out-Null

        $secrets | ConvertTo-Json | Set-Content "$($night.Folder)/secrets.json"
        Set-Content "$($night.Folder)/night.ps1" @"
`$ProgressPreference = 'Continue'
`$VerbosePreference = `$DebugPreference = `$InformationPreference = `$WarningPreference = 'Continue'
Start-Transcript '$run/shell.transcript.txt' | Out-Null
Import-Module '$root/PoeOps.psd1' -Verbose:`$false
. '$PSScriptRoot/ObjectTexts.ps1'
function Secret(`$at) { [pscredential]::new('$($night.Rehearsal.User)', (ConvertTo-SecureString (Get-Content -Raw '$($night.Folder)/secrets.json' | ConvertFrom-Json)[`$at] -AsPlainText -Force)) }
`$known = @{ Credential = (Secret 0); ElevationCredential = (Secret 1) }
`$unknown = @{ Credential = (Secret 2); ElevationCredential = (Secret 2) }
`$all = [Collections.Generic.List[object]]::new()
function Keep(`$name, `$work) { & `$work 2>"$run/`$name.errors.txt" 3>"$run/`$name.warnings.txt" 4>"$run/`$name.verbose.txt" 5>"$run/`$name.debug.txt" 6>"$run/`$name.information.txt" | ForEach-Object { `$all.Add(`$_); `$_ } | Tee-Object "$run/`$name.output.txt" }
Keep wrong { Get-PseController -Estate '$run/estate.json' -Switch hall-1 @unknown }
Keep half { Get-PseController -Estate '$run/estate.json' -Switch hall-1 -Credential `$known.Credential -ElevationCredential `$unknown.Credential }
Keep read { Get-PseController -Estate '$run/estate.json' -Switch hall-1 @known }
Keep capture { Save-PseCapture -Estate '$run/estate.json' -Switch hall-1 -Send 'tell power' -Path '$run/captures' @known }
Keep plain { Save-PseCapture -Address '127.0.0.1:$($night.Tale.Port)' -Link $Link -Prompt ' :: (ready|helm) :: `$' -UserPrompt '^Who calls\? `$' -PasswordPrompt '^Secret word\? `$' -Send 'tell power' -Path '$run/plain' -Credential `$known.Credential }
Keep whatif { Invoke-PseRefresh -Plan '$run/night.plan.json' -ImageFolder '$harbour/images' -Journal '$run/night.journal.jsonl' -LockFolder '$run/locks' @known -WhatIf }
Keep refused { Invoke-PseRefresh -Plan '$run/night.plan.json' -ImageFolder '$harbour/images' -Journal '$run/refused.journal.jsonl' -LockFolder '$run/locks' @unknown -Confirm:`$false }
Keep refresh { Invoke-PseRefresh -Plan '$run/night.plan.json' -ImageFolder '$harbour/images' -Journal '$run/night.journal.jsonl' -LockFolder '$run/locks' @known -Confirm:`$false }
Keep journal { Get-PseJournal '$run/night.journal.jsonl' }
Keep replay { Test-PseDialect kelpline -Transcript '$run/*.transcript.txt' }
`$Error.ToArray() | ForEach-Object { `$all.Add(`$_) }
[IO.File]::WriteAllLines('$run/objects.txt', [ObjectTexts]::Of(`$all))
`$all | Format-List * -Force | Out-String -Width 500
`$all | Export-Clixml -Depth 5 '$run/objects.xml'
`$all | Where-Object { `$_ -is [PoeOps.Refresh.UnitResult] } | ForEach-Object { "ROW `$(`$_.UnitId) `$(`$_.Outcome)" }
"OBJECTS `$(`$all.Count) ERRORS `$(`$Error.Count)"
Stop-Transcript | Out-Null
"@
        $start = [Diagnostics.ProcessStartInfo]::new($nightsPwsh)
        @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', "$($night.Folder)/night.ps1") | ForEach-Object { $start.ArgumentList.Add($_) }
        $start.RedirectStandardOutput = $start.RedirectStandardError = $start.RedirectStandardInput = $true
        $start.Environment['HOME'] = "$($night.Folder)/left/home"
        $start.Environment['TMPDIR'] = "$($night.Folder)/left/temp"
        @('XDG_DATA_HOME', 'XDG_CONFIG_HOME', 'XDG_CACHE_HOME') | ForEach-Object { $null = $start.Environment.Remove($_) }
        $process = [Diagnostics.Process]::Start($start)
        $process.StandardInput.Close()
        $printed, $failed = $process.StandardOutput.ReadToEndAsync(), $process.StandardError.ReadToEndAsync()
        Watch-Process $process "$run/processes.txt" | Should -BeGreaterThan 1
        [IO.File]::WriteAllText("$run/printed.txt", $printed.Result + $failed.Result)

        $lines = @($printed.Result -split "`r?`n")
        $lines | Where-Object { $_ -clike 'ROW*' } | Sort-Object | Should -Be @(
            'ROW hall-1/1 Done', 'ROW hall-1/1 Refused', 'ROW hall-1/1 Skipped', 'ROW hall-1/2 Done', 'ROW hall-1/2 Refused', 'ROW hall-1/2 Skipped') -Because "$($failed.Result) $((Get-ChildItem $run -Filter '*.errors.txt' | Get-Content) -join "`n")"
        $night.Tale.Told | Should -BeGreaterThan 50
        @(Get-ChildItem $run -Filter 'hall-1.*.transcript.txt').Count | Should -BeGreaterOrEqual 2
        (Get-Content -Raw "$run/wrong.errors.txt") | Should -Match 'refused the log-in'
        Find-Secret "$($night.Folder)/left" $secrets | Should -BeNullOrEmpty

        # And what is left is not merely empty: the echoes stand in it, struck out.
        @(Get-ChildItem $run -Filter 'hall-1.*.transcript.txt' | Get-Content | Where-Object { $_ -match '< .*\[secret\]' }).Count | Should -BeGreaterThan 5
    }
}
