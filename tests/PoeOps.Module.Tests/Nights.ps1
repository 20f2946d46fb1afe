# What the files about broken nights share: a rehearsal in this process, a plan, and runs of it in processes of their own that can be stopped and killed.

$nightsPwsh = (Get-Process -Id $PID).Path
$nightsStart = [Environment]::GetCommandLineArgs() | Where-Object { $_ -like '*pwsh.dll' } | Select-Object -First 1

# A rehearsal, and a plan of the units of some switches that are behind.
function New-Night([string] $Work, [string[]] $Switch, [double] $Speed = 200, [string[]] $Mishap = @()) {
    $folder = Join-Path $Work ([guid]::NewGuid().ToString('N'))
    New-Item -ItemType Directory $folder | Out-Null
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed $Speed -Mishap $Mishap
    $outages = @(Get-PseController -Estate $rehearsal.EstatePath -Switch $Switch | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" |
            Where-Object Verdict -eq 'Behind' | Measure-PseOutage -WarningAction SilentlyContinue)
    $accepted = @($outages | Where-Object LifeSafetyLoads -gt 0 | ForEach-Object { "$($_.UnitId)" })
    $plan = $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$folder/night.plan.json" -AcceptLifeSafety $accepted -WarningAction SilentlyContinue
    [pscustomobject]@{ Rehearsal = $rehearsal; Folder = $folder; PlanPath = "$folder/night.plan.json"; Plan = $plan; Journal = "$folder/night.journal.jsonl"; Locks = "$folder/locks" }
}

# Begins to run a plan in a process of its own, which prints a line for each object: ROW, unit, outcome.
function Start-Run($Night, [string] $Arguments = "-Plan '$($Night.PlanPath)' -ImageFolder '$root/examples/images' -Journal '$($Night.Journal)'") {
    $rehearsal = $Night.Rehearsal
    $script = @"
`$ProgressPreference = 'SilentlyContinue'
Import-Module '$root/PoeOps.psd1'
`$who = [pscredential]::new('$($rehearsal.User)', (ConvertTo-SecureString '$($rehearsal.Password)' -AsPlainText -Force))
`$more = @{}
if ('$($rehearsal.ElevationPassword)') { `$more.ElevationCredential = [pscredential]::new('x', (ConvertTo-SecureString '$($rehearsal.ElevationPassword)' -AsPlainText -Force)) }
Invoke-PseRefresh $Arguments -LockFolder '$($Night.Locks)' -Credential `$who @more -Confirm:`$false | ForEach-Object { "ROW `$(`$_.UnitId) `$(`$_.Outcome)" }
'RUN OVER'
"@
    $file = Join-Path $Night.Folder "run-$([guid]::NewGuid().ToString('N')).ps1"
    Set-Content -LiteralPath $file $script
    # A shell in the background lets its children ignore the interrupt; a run that is to be stopped by it must hear it.
    $start = [Diagnostics.ProcessStartInfo]::new('env')
    @('--default-signal=INT', $nightsPwsh) + @(if ($nightsStart) { $nightsStart }) + @('-NoProfile', '-NonInteractive', '-File', $file) | ForEach-Object { $start.ArgumentList.Add($_) }
    $start.RedirectStandardOutput = $true
    $start.RedirectStandardError = $true
    $start.RedirectStandardInput = $true
    $start.Environment['NO_COLOR'] = '1'
    $process = [Diagnostics.Process]::Start($start)
    $process.StandardInput.Close()
    [pscustomobject]@{ Process = $process; Errors = $process.StandardError.ReadToEndAsync(); Lines = [Collections.Generic.List[string]]::new() }
}

# Waits for a line of a run's output and gives it.
function Read-Line($Run, [string] $Pattern) {
    while ($null -ne ($line = $Run.Process.StandardOutput.ReadLine())) {
        $Run.Lines.Add($line)
        if ($line -match $Pattern) { return $line }
    }

    throw "The run ended without a line that fits '$Pattern': $($Run.Lines -join ' | ') $($Run.Errors.Result)"
}

# Waits for a run to end, two minutes at the most, and gives all its lines, those of its errors last.
function Complete-Run($Run) {
    $rest = $Run.Process.StandardOutput.ReadToEndAsync()
    if (-not $Run.Process.WaitForExit(120000)) {
        $Run.Process.Kill()
        throw "The run did not end: $($Run.Lines -join ' | ')"
    }

    @($Run.Lines) + @($rest.Result -split "`r?`n") + @($Run.Errors.Result -split "`r?`n") | Where-Object { $_ }
}

# Waits until the journal holds an entry of a kind, two minutes at the most.
function Wait-Entry($Night, [string] $Kind) {
    $watch = [Diagnostics.Stopwatch]::StartNew()
    while ($watch.Elapsed.TotalSeconds -lt 120) {
        if (Test-Path $Night.Journal) {
            $entry = Get-PseJournal $Night.Journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object Kind -eq $Kind | Select-Object -First 1
            if ($entry) { return $entry }
        }

        Start-Sleep -Milliseconds 20
    }

    throw "No entry $Kind came."
}

# The journal of a run that was stopped while its first unit was at work: whole, the unit's end in it, and nothing begun after it.
function Confirm-Stopped($Night, [string] $Reason) {
    $entries = @(Get-PseJournal $Night.Journal -ErrorAction Stop)
    @($entries | Where-Object { "$($_.Kind)" -in 'Begin', 'End', 'StopAsked', 'RunEnded' } | ForEach-Object { "$($_.Kind)" }) | Should -Be 'Begin', 'End', 'StopAsked', 'RunEnded'
    ($entries | Where-Object Kind -eq 'StopAsked').Text | Should -Be "reason=$Reason"
    $entries[-1].Facts['because'] | Should -Be $Reason
    $entries[-1].Facts['notBegun'] | Should -Not -BeNullOrEmpty
}
