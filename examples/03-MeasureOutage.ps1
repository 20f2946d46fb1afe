# Who goes dark, for how long, and what is not delivered: the figures to take to the people who will be without phones, doors and help points.
#
# It shows the units that cost most, every life-safety load with the seconds at which it goes dark and serves again (counted from the beginning of its unit's
# refresh), and the sums by role. -Csv keeps a row for each load. Local codes and licensed practice decide what has to stand in for a life-safety load.
[CmdletBinding()]
param(
    # A file for the rows of all loads, for a spreadsheet.
    [string] $Csv,

    # Seconds of the rehearsal in one second of yours.
    [ValidateRange(1, 3600)]
    [double] $Speed = 60
)
$ErrorActionPreference = 'Stop'
# The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
$module = Join-Path $PSScriptRoot '../PoeOps.psd1'
if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }

$rehearsal = Start-PseRehearsal -Estate (Join-Path $PSScriptRoot 'harbour.estate.json') -Speed $Speed
try {
    $drift = @(Get-PseController -Estate $rehearsal.EstatePath |
        Test-PseDrift -Baseline (Join-Path $PSScriptRoot 'winter.baseline.json') |
        Where-Object { $_.Verdict -eq 'Behind' })

    "`n== The units, by what they cost"
    $drift | Measure-PseOutage -WarningAction SilentlyContinue |
        Sort-Object OutOfServiceLoadMinutes -Descending |
        Format-Table UnitId, Loads, LifeSafetyLoads, DarkLoadMinutes, OutOfServiceLoadMinutes, RestartDemandWatts, BudgetWatts, ShortfallWatts, LastLoadBackSeconds -AutoSize

    # The cmdlet warns about life-safety loads; this is the place to read it.
    $loads = @($drift | Measure-PseOutage -ByLoad)

    '== Life-safety loads, one by one'
    $loads | Where-Object { $_.LifeSafety } |
        Format-Table PortId, Load, Role, DarkFromSeconds, DarkUntilSeconds, ServesAtSeconds, DarkSecondsWorst -AutoSize

    '== By role'
    $loads | Group-Object Role | Sort-Object Count -Descending | ForEach-Object {
        [pscustomobject] @{
            Role = $_.Name
            Loads = $_.Count
            DarkMinutes = [math]::Round(($_.Group | Measure-Object DarkSecondsTypical -Sum).Sum / 60, 1)
            UnservedWattHours = ($_.Group | Measure-Object UnservedWattHours -Sum).Sum
        }
    } | Format-Table -AutoSize

    if ($Csv) {
        $loads | Select-Object Site, Switch, Unit, Port, Load, Role, LifeSafety, DarkFromSeconds, DarkUntilSeconds, ServesAtSeconds, UnservedWattHours |
            Export-Csv -Path $Csv -NoTypeInformation -Encoding UTF8
        "$($loads.Count) rows are in $Csv."
    }
}
finally {
    $rehearsal | Stop-PseRehearsal
}
