# The whole job on the demo harbour: read, find drift, measure the outage, plan, refresh, prove, report.
#
# It shows how the cmdlets hand their objects on, that units with life-safety loads are left out until somebody accepts each by name, that -WhatIf
# goes through every gate and changes nothing, and that what counts at the end is read again from the units. Every switch is a simulated one that listens
# on 127.0.0.1 of this machine; what it fetches, checks and says is real. Nothing else is touched.
#
# Exit code: 0 when every unit that was behind runs the approved firmware and its loads are back, 1 otherwise.
[CmdletBinding()]
param(
    # Seconds of the rehearsal in one second of yours. A slow or busy machine wants a lower speed.
    [ValidateRange(1, 3600)]
    [double] $Speed = 120
)
$ErrorActionPreference = 'Stop'
# The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
$module = Join-Path $PSScriptRoot '../PoeOps.psd1'
if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }

$baseline = Join-Path $PSScriptRoot 'winter.baseline.json'
$images = Join-Path $PSScriptRoot 'images'
$out = Join-Path ([IO.Path]::GetTempPath()) ('poeops-' + [guid]::NewGuid().ToString('N'))
$plan = Join-Path $out 'winter.plan.json'
$journal = Join-Path $out 'winter.journal.jsonl'
New-Item -ItemType Directory -Path $out | Out-Null
$code = 1
$rehearsal = $null
try {
    "`n== The harbour, simulated: its switches, on loopback"
    $rehearsal = Start-PseRehearsal -Estate (Join-Path $PSScriptRoot 'harbour.estate.json') -Speed $Speed
    $estate = $rehearsal.EstatePath
    $rehearsal.Switches | Format-Table -AutoSize

    '== Which controllers are there, and which differ from the baseline?'
    $drift = @(Get-PseController -Estate $estate | Test-PseDrift -Baseline $baseline)
    $drift | Format-Table UnitId, Model, Release, Firmware, ApprovedFirmware, Verdict, Hops -AutoSize

    '== Are the approved images here, and whole?'
    Test-PseImage -Path $images -Baseline $baseline | Format-Table File, Bytes, Good -AutoSize

    '== What does a refresh of those that are behind cost?'
    $outages = @($drift | Where-Object { $_.Verdict -eq 'Behind' } | Measure-PseOutage)
    $outages | Format-Table

    '== Without a word from anybody, units with life-safety loads go into attended windows alone'
    $cautious = $outages | New-PsePlan -Estate $estate -Path $plan -WhatIf -WarningAction SilentlyContinue
    $cautious.Units | Where-Object { $_.LifeSafetyLoads -gt 0 } | Format-Table Order, UnitId, StartUtc, LifeSafetyLoads, WindowAttended -AutoSize

    '== Accepted by name: those affected are told, and somebody stands at each help point'
    $accepted = 'hall-1/2', 'quay-1/2', 'cold-1/1', 'pilot-1/A'
    $night = $outages | New-PsePlan -Estate $estate -Path $plan -AcceptLifeSafety $accepted -AcceptedBy 'duty officer'
    $night.Units | Format-Table Order, UnitId, ToFirmware, StartUtc, Loads, LifeSafetyAcceptedBy -AutoSize

    '== Every gate, and no change: -WhatIf'
    Invoke-PseRefresh -Plan $plan -ImageFolder $images -Journal $journal -WhatIf | Format-Table Order, UnitId, Outcome, Reason -AutoSize -Wrap

    '== The refresh, one unit after the other'
    $results = @(Invoke-PseRefresh -Plan $plan -ImageFolder $images -Journal $journal -Confirm:$false)
    $results | Format-Table Order, UnitId, Outcome, FromFirmware, FirmwareNow, DarkSeconds, LoadsBack, Loads -AutoSize

    '== Read again from the units: what is left?'
    $after = @(Get-PseController -Estate $estate | Test-PseDrift -Baseline $baseline)
    $after | Group-Object Verdict -NoElement | Sort-Object Name | Format-Table Name, Count -AutoSize
    $after | Where-Object { $_.Verdict -ne 'Current' } | Format-Table UnitId, Verdict, Reason -AutoSize -Wrap

    '== What the journal holds'
    Get-PseJournal -Path $journal | Group-Object Kind -NoElement | Format-Table Name, Count -AutoSize
    Get-PseJournal -Path $journal | Where-Object { $_.Kind -eq 'End' } | Format-Table Line, Unit, Text -AutoSize -Wrap

    '== The report: planned against real. Keep yours beside the journal; this one goes with the folder'
    $report = Export-PseReport -Path (Join-Path $out 'winter.html') -Plan $plan -Journal $journal
    $report | Format-Table Name, Length -AutoSize
    $said = Get-Content -Raw (Export-PseReport -Path (Join-Path $out 'winter.json') -Plan $plan -Journal $journal) | ConvertFrom-Json
    $said.stillDark, $said.lifeSafety, $said.byHand | Format-Table question, verdict, sentence -AutoSize -Wrap

    $planned = @($night.Units).Count
    $done = @($results | Where-Object { $_.Outcome -eq 'Done' }).Count
    $behind = @($after | Where-Object { $_.Verdict -eq 'Behind' }).Count
    "$done of $planned refreshes are done; $behind units are behind."
    if ($planned -gt 0 -and $done -eq $planned -and $behind -eq 0) {
        $code = 0
    }
}
finally {
    if ($rehearsal) {
        $rehearsal | Stop-PseRehearsal
    }

    Remove-Item -Recurse -Force -Path $out
}

exit $code
