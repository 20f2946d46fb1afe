<#
.SYNOPSIS
From a list of switches, as a spreadsheet or an inventory exports it, to an estate file to begin with.

.DESCRIPTION
The first row of the list names the columns: Site, Zone, Switch, Address, Link and Dialect, and where wanted Port, Credential and ClearText; switches.csv beside this script is one. Between them stand commas, semicolons or tabs, whichever the first row has. The file is in UTF-8, or in UTF-16 with a byte-order mark. Every mistake is told with its line, time zones and dialects that are not there among them, and then nothing is written. Rows without content are passed over; columns that a list does not have are not read, and named in a warning.

The estate has every switch at its site, one role for all loads, and the window that you give; roles, freezes and coverage groups are yours to add: Get-Help about_PoeOps_Estate.

A list of switches does not say what hangs on them. Before you plan anything, give the loads that keep people safe a role with "lifeSafety": true.

The exit code is 0 when the estate is written, 1 otherwise.

.PARAMETER Csv
The list.

.PARAMETER Path
The estate file that is made; one that stands there is kept, unless -Force is given.

.PARAMETER RestartSeconds
Seconds from power until a load serves again, for all loads: take the slowest that you have.

.PARAMETER Dialects
Files and folders with dialects of your own, beside those that come with the module.

.PARAMETER Days
The days on which a window opens at every site, each week. Without days there is none, and nothing can be planned.

.PARAMETER Opens
When it opens, by the clocks of the site.

.PARAMETER Length
How long it is open, in the form of ISO 8601: PT5H is five hours.

.PARAMETER Attended
Somebody is there while the window is open.

.PARAMETER Force
Replaces an estate file that stands there.

.EXAMPLE
.\00-FromCsv.ps1 -Csv .\switches.csv -Path .\my.estate.json -Days Tuesday, Thursday -Opens 22:00 -Length PT5H

An estate whose sites have a window on two nights a week.

.EXAMPLE
Import-Csv .\inventory.csv -Delimiter ';' | Select-Object @{n='Site';e={$_.Location}}, @{n='Zone';e={'Europe/Lisbon'}}, @{n='Switch';e={$_.Hostname}}, @{n='Address';e={$_.IP}}, @{n='Link';e={'ssh'}}, @{n='Dialect';e={'kelpline'}} | Export-Csv .\list.csv -NoTypeInformation -Encoding UTF8

Gives the columns of a list their names, and those that it lacks a value.
#>
[CmdletBinding()]
param(
    [string] $Csv = (Join-Path $PSScriptRoot 'switches.csv'),

    [string] $Path = 'my.estate.json',

    [ValidateRange(1, 86400)]
    [int] $RestartSeconds = 180,

    [string[]] $Dialects = @(),

    [ArgumentCompleter({ [Enum]::GetNames([DayOfWeek]) -like "$($args[2])*" })]
    [string[]] $Days = @(),

    [string] $Opens = '22:00',

    [string] $Length = 'PT5H',

    [switch] $Attended,

    [switch] $Force
)
$ErrorActionPreference = 'Stop'
# The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
$module = Join-Path $PSScriptRoot '../PoeOps.psd1'
if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }
$base = (Get-Module PoeOps).ModuleBase

function Stop-With($Problems) {
    # Told as a cmdlet tells it, without the line of this script.
    $ErrorActionPreference = 'Continue'
    foreach ($problem in $Problems) {
        $script:PSCmdlet.WriteError([Management.Automation.ErrorRecord]::new([PoeOps.PoeOpsException]::new($problem), $problem.Id, 'InvalidData', $problem.File))
    }

    exit 1
}

function Get-FullPath([string] $Path) { $ExecutionContext.SessionState.Path.GetUnresolvedProviderPathFromPSPath($Path) }

$csvPath = Get-FullPath $Csv
$target = Get-FullPath $Path
$own = @($Dialects | ForEach-Object { Get-FullPath $_ })
if ((Test-Path -LiteralPath $target) -and -not $Force) {
    Stop-With ([PoeOps.Problem]::new('FileExists', "'$target' exists already, and may hold work of yours.", 'Give another -Path, or -Force to replace it.'))
}

$missing = @($own | Where-Object { -not (Test-Path -LiteralPath $_) })
if ($missing) {
    Stop-With ($missing | ForEach-Object { [PoeOps.Problem]::new('FileNotFound', "-Dialects: '$_' does not exist.", 'Name files and folders with dialects.') })
}

$read = [PoeOps.Calendar.CheckedEstate]::ReadCsv($csvPath, $RestartSeconds, [string[]] @($own + (Join-Path $base 'module/dialects')))
if (-not $read.Estate) { Stop-With $read.Problems }
$read.Remarks | ForEach-Object { Write-Warning $_ }

# One text with commas comes from pwsh -File.
$given = @($Days | ForEach-Object { $_ -split ',' } | ForEach-Object {
        $day = $_.Trim()
        $known = [Enum]::GetNames([DayOfWeek]) | Where-Object { $_ -eq $day }
        if ($known) { $known } else { $day }
    })
$estate = [ordered] @{
    '$schema' = [uri]::new((Join-Path $base 'module/schemas/poeops.estate.schema.json'), [UriKind]::Absolute).AbsoluteUri
    name = $read.Estate.Name
    roles = @([ordered] @{ name = 'load'; restartSeconds = $RestartSeconds; default = $true })
}
if ($own) { $estate.dialects = $own }
$estate.sites = @(foreach ($site in $read.Estate.Sites) {
        $written = [ordered] @{ name = $site.Name; zone = $site.Zone }
        if ($given) {
            $written.windows = @([ordered] @{ days = $given; opens = $Opens; length = $Length; attended = [bool] $Attended })
        }

        $written.switches = @(foreach ($switch in $site.Switches) {
                $one = [ordered] @{ name = $switch.Name; address = $switch.Address; link = "$($switch.Link)".ToLowerInvariant() }
                if ($switch.Port) { $one.port = $switch.Port }
                if ($switch.Dialect) { $one.dialect = $switch.Dialect }
                if ($switch.Credential) { $one.credential = $switch.Credential }
                if ($switch.ClearText) { $one.clearText = $true }
                $one
            })
        $written
    })

# Read again before it is kept: what the list gave and what the parameters said is an estate, or it is told what is wrong.
$text = ConvertTo-Json -InputObject $estate -Depth 8
$fresh = [IO.Path]::GetTempFileName()
try {
    [IO.File]::WriteAllText($fresh, $text)
    $again = [PoeOps.Calendar.CheckedEstate]::Read($fresh)
}
finally {
    Remove-Item -LiteralPath $fresh
}

if (-not $again.Estate) {
    # A window is at every site, and is told once, by the parameter that gave it.
    $told = @($again.Problems | ForEach-Object {
            if ($_.Path -match '\.windows\[0\]\.(days|opens|length)') {
                [PoeOps.Problem]::new($_.Id, "-$($Matches[1].Substring(0, 1).ToUpperInvariant())$($Matches[1].Substring(1)): $($_.Sentence)", $_.Advice)
            }
            else {
                [PoeOps.Problem]::new($_.Id, "$($_.Path): $($_.Sentence)", $_.Advice)
            }
        } | Group-Object Sentence | ForEach-Object { $_.Group[0] })
    Stop-With $told
}

try {
    [PoeOps.Files.WholeFile]::Write($target, "$text`n", [bool] $Force)
}
catch [PoeOps.PoeOpsException] {
    Stop-With $_.Exception.Problem
}

$again.Estate.Sites | ForEach-Object {
    [pscustomobject] @{ Site = $_.Name; Zone = $_.Zone; Windows = $_.Windows.Count; Switches = $_.Switches.Count }
} | Format-Table -AutoSize -Wrap
# A mistyped site is one of its own, most often with one switch; sites that a number tells apart are meant.
foreach ($lone in $again.Estate.Sites | Where-Object { $_.Switches.Count -eq 1 }) {
    $others = @($again.Estate.Sites.Name | Where-Object { $_ -ne $lone.Name -and ($_ -replace '\d') -ne ($lone.Name -replace '\d') })
    $near = [PoeOps.Files.Nearest]::HintIfNear($lone.Name, [string[]] $others)
    if ($near) { Write-Warning "The site '$($lone.Name)' has one switch$near. If that is meant, correct the list and make the estate again." }
}

if (-not $given) { Write-Warning 'No site has a window yet, so nothing can be planned: give -Days, or add windows to the estate.' }
Write-Warning 'No load of this estate counts as life-safety yet. Give help points, alarms, door release and their like a role with "lifeSafety": true before you plan.'
"The estate is $target."
exit 0
