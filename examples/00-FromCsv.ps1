# From a list of switches, as a spreadsheet or an inventory exports it, to an estate file to begin with.
#
# The first row of the list names the columns: Site, Zone, Switch, Address, Link and Dialect, and where wanted Port, Credential and ClearText; switches.csv
# beside this script is one. Every mistake is told with its line, and then nothing is written. The estate has every switch at its site, one role for all
# loads, and the window that you give; roles, freezes and coverage groups are yours to add: Get-Help about_PoeOps_Estate.
#
# A list of switches does not say what hangs on them. Before you plan anything, give the loads that keep people safe a role with "lifeSafety": true.
#
# Exit code: 0 when the estate is written, 1 otherwise.
[CmdletBinding()]
param(
    # The list.
    [string] $Csv = (Join-Path $PSScriptRoot 'switches.csv'),

    # The estate file that is made; one that stands there is kept, unless -Force is given.
    [string] $Path = 'my.estate.json',

    # Seconds from power until a load serves again, for all loads: take the slowest that you have.
    [ValidateRange(1, 86400)]
    [int] $RestartSeconds = 180,

    # A window for every site, each week: its days, its local opening time and its length (PT5H is five hours). Without days there is none, and nothing can be planned.
    [DayOfWeek[]] $Days = @(),
    [string] $Opens = '22:00',
    [string] $Length = 'PT5H',

    # Somebody is there while the window is open.
    [switch] $Attended,

    [switch] $Force
)
$ErrorActionPreference = 'Stop'
# The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
$module = Join-Path $PSScriptRoot '../PoeOps.psd1'
if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }

function Stop-With($Problems) {
    $Problems | ForEach-Object { Write-Error -Message "$_" -ErrorId $_.Id -ErrorAction Continue }
    exit 1
}

$csvPath = $ExecutionContext.SessionState.Path.GetUnresolvedProviderPathFromPSPath($Csv)
$target = $ExecutionContext.SessionState.Path.GetUnresolvedProviderPathFromPSPath($Path)
if ((Test-Path -LiteralPath $target) -and -not $Force) {
    Write-Error -Message "'$target' exists already, and may hold work of yours. Give another -Path, or -Force to replace it." -ErrorId FileExists -ErrorAction Continue
    exit 1
}

$read = [PoeOps.Estate.EstateFile]::ReadCsv($csvPath, $RestartSeconds)
if (-not $read.Estate) { Stop-With $read.Problems }

$estate = [ordered] @{
    '$schema' = [uri]::new((Join-Path (Get-Module PoeOps).ModuleBase 'module/schemas/poeops.estate.schema.json'), [UriKind]::Absolute).AbsoluteUri
    name = $read.Estate.Name
    roles = @([ordered] @{ name = 'load'; restartSeconds = $RestartSeconds; default = $true })
    sites = @(foreach ($site in $read.Estate.Sites) {
            $written = [ordered] @{ name = $site.Name; zone = $site.Zone }
            if ($Days) {
                $written.windows = @([ordered] @{ days = @($Days | ForEach-Object { "$_" }); opens = $Opens; length = $Length; attended = [bool] $Attended })
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
}

# Read again before it is kept: what the list gave and what the parameters said is an estate, or it is told what is wrong.
$fresh = "$target.new"
[IO.File]::WriteAllText($fresh, (ConvertTo-Json -InputObject $estate -Depth 8))
$again = [PoeOps.Estate.EstateFile]::Read($fresh)
if (-not $again.Estate) {
    Remove-Item -LiteralPath $fresh
    Stop-With $again.Problems
}

Move-Item -LiteralPath $fresh -Destination $target -Force
$again.Estate.Sites | ForEach-Object {
    [pscustomobject] @{ Site = $_.Name; Zone = $_.Zone; Windows = $_.Windows.Count; Switches = $_.Switches.Count; Names = $_.Switches.Name -join ', ' }
} | Format-Table -AutoSize
Write-Warning 'No load of this estate counts as life-safety yet. Give help points, alarms, door release and their like a role with "lifeSafety": true before you plan.'
"The estate is $target."
exit 0
