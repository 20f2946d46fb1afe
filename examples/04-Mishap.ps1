# A night on which something goes wrong, and the night after.
#
# It shows what the run does about a mishap, what the journal says of it, and that the same command goes on where the run stopped: units that are done are
# not touched again. The mishap is played once: a byte of the image is damaged on its way, the unit sees it and keeps what it runs, so no load goes dark.
# Try others, such as 'quay-3/A:Program:LinkLost', 'quay-3/A:Verify:OldVersion' or 'quay-3/A:Recover:PortsStayOff'.
#
# Exit code: 0 when the second run ends with every planned unit as it should be, 1 otherwise.
[CmdletBinding()]
param(
    # Who, when and what, with colons between.
    [string[]] $Mishap = 'quay-3/A:Transfer:Damaged',

    # Seconds of the rehearsal in one second of yours.
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
$plan = Join-Path $out 'gates.plan.json'
New-Item -ItemType Directory -Path $out | Out-Null
$code = 1
$rehearsal = $null
try {
    $rehearsal = Start-PseRehearsal -Estate (Join-Path $PSScriptRoot 'harbour.estate.json') -Speed $Speed -Mishap $Mishap
    $estate = $rehearsal.EstatePath
    Get-PseController -Estate $estate -Switch quay-2, quay-3 |
        Test-PseDrift -Baseline $baseline |
        Where-Object { $_.Verdict -eq 'Behind' } |
        Measure-PseOutage |
        New-PsePlan -Estate $estate -Path $plan |
        ForEach-Object { $_.Units } |
        Format-Table Order, UnitId, FromFirmware, ToFirmware -AutoSize

    foreach ($run in 'first', 'second') {
        $journal = Join-Path $out "$run.journal.jsonl"
        "== The $run run"
        $results = @(Invoke-PseRefresh -Plan $plan -ImageFolder $images -Journal $journal -Confirm:$false -ErrorAction SilentlyContinue -ErrorVariable wrong)
        $results | Format-Table Order, UnitId, Outcome, FirmwareNow, Loads, LoadsBack, Reason -AutoSize -Wrap
        $wrong | ForEach-Object { "$($_.FullyQualifiedErrorId): $($_.Exception.Message)" }

        'What its journal says of the gates'' switch:'
        Get-PseJournal -Path $journal | Where-Object { $_.Unit -like 'quay-3*' -and $_.Kind -ne 'Progress' } | Format-Table Line, Kind, Text -AutoSize -Wrap
    }

    '== Read again from the units'
    $after = @(Get-PseController -Estate $estate -Switch quay-2, quay-3 | Test-PseDrift -Baseline $baseline)
    $after | Format-Table UnitId, Firmware, ApprovedFirmware, Verdict -AutoSize
    $behind = @($after | Where-Object { $_.Verdict -eq 'Behind' }).Count
    if ($behind -eq 0 -and -not @($results | Where-Object { $_.Outcome -notin 'Done', 'Skipped' })) {
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
