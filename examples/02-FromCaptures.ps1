# Drift from files alone: what the switches printed was saved some day, and nothing is reached now.
#
# It shows that each file is a switch of its own, named like the file, that a dialect reads it whole (no line unread), and that the estate, where it is
# given as well, adds sites and roles.
[CmdletBinding()]
param(
    # Holds one folder for each dialect, with captures of switches that speak it.
    [string] $Folder = (Join-Path $PSScriptRoot 'captures')
)
$ErrorActionPreference = 'Stop'
# The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
$module = Join-Path $PSScriptRoot '../PoeOps.psd1'
if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }

$baseline = Join-Path $PSScriptRoot 'winter.baseline.json'
$estate = Join-Path $PSScriptRoot 'harbour.estate.json'

foreach ($dialect in 'kelpline', 'oakum') {
    $captures = Join-Path $Folder "$dialect/*.txt"

    "`n== Does the dialect '$dialect' read every line?"
    Test-PseDialect -Dialect $dialect -Capture $captures -Summary | Format-List

    '== Which controllers differ from the baseline?'
    Get-PseController -Capture $captures -Dialect $dialect |
        Test-PseDrift -Baseline $baseline |
        Format-Table UnitId, Model, Release, Firmware, ApprovedFirmware, Verdict -AutoSize

    '== What do they feed, by role?'
    Get-PseController -Capture $captures -Dialect $dialect -Estate $estate |
        Get-PsePort |
        Where-Object { $_.Status -eq 'DeliveringPower' } |
        Group-Object Role |
        Sort-Object Count -Descending |
        ForEach-Object {
            [pscustomobject] @{
                Role = $_.Name
                Ports = $_.Count
                DrawWatts = ($_.Group | Measure-Object DrawWatts -Sum).Sum
            }
        } |
        Format-Table -AutoSize
}
