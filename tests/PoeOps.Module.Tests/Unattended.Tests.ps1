# The script for scheduled tasks, run as such a task would run it: another process, nobody to answer, and its exit code is what counts.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $work = Join-Path ([IO.Path]::GetTempPath()) "poeops-$([guid]::NewGuid().ToString('N'))"
    New-Item -ItemType Directory $work | Out-Null
    $pwsh = (Get-Process -Id $PID).Path
    $start = [Environment]::GetCommandLineArgs() | Where-Object { $_ -like '*pwsh.dll' } | Select-Object -First 1

    # One rehearsal and one plan of one unit; the script is run so many times in that process, each with an exit code.
    $driver = Join-Path $work 'night.ps1'
    @'
param([string] $Root, [string] $Folder, [string] $Mishap, [int] $Nights, [string] $JournalFolder, [string] $PlanName = 'plan.json')
Import-Module "$Root/PoeOps.psd1"
$more = @{}
if ($Mishap) { $more.Mishap = $Mishap }
$rehearsal = Start-PseRehearsal -Estate "$Root/examples/harbour.estate.json" -Speed 600 @more
Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 | Where-Object Unit -eq 2 | Test-PseDrift -Baseline "$Root/examples/winter.baseline.json" |
    Measure-PseOutage -WarningAction SilentlyContinue | New-PsePlan -Estate $rehearsal.EstatePath -Path "$Folder/plan.json" -AcceptLifeSafety quay-1/2 | Out-Null
foreach ($night in 1..$Nights) {
    & "$Root/examples/Unattended.ps1" -Estate $rehearsal.EstatePath -Baseline "$Root/examples/winter.baseline.json" -Plan "$Folder/$PlanName" -ImageFolder "$Root/examples/images" -JournalFolder $JournalFolder
    "EXIT $LASTEXITCODE"
}
'@ | Set-Content $driver

    function Nights([string] $Mishap = '', [int] $Nights = 1, [string] $JournalFolder, [string] $PlanName = 'plan.json') {
        $folder = Join-Path $work ([guid]::NewGuid().ToString('N'))
        New-Item -ItemType Directory $folder | Out-Null
        $line = @(if ($start) { $start }) + @('-NoProfile', '-NonInteractive', '-File', $driver, $root, $folder, $Mishap, $Nights, $(if ($JournalFolder) { $JournalFolder } else { $folder }), $PlanName)
        @(& $pwsh @line 2>&1 | Where-Object { "$_" -like 'EXIT *' } | ForEach-Object { "$_".Substring(5) }) -join ' '
    }
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'A night of Unattended.ps1' {
    It 'ends with 0 when the unit is done, and when it was done before' {
        Nights -Nights 2 | Should -Be '0 0'
    }

    It 'ends with 2 where loads stay in the dark, and with 3 while they do' {
        Nights -Mishap 'quay-1/2:Recover:PortsStayOff' -Nights 2 | Should -Be '2 3'
    }

    It 'ends with 4 where nobody can tell what a unit is doing' {
        Nights -Mishap 'quay-1/2:Program:StuckAt40' | Should -Be '4'
    }

    It 'ends with 4 where the unit runs what nobody approved, and with 3 while it does' {
        Nights -Mishap 'quay-1/2:Verify:OtherVersion' -Nights 2 | Should -Be '4 3'
    }

    It 'ends with 3 where there is no plan' {
        Nights -PlanName 'no-such.plan.json' | Should -Be '3'
    }

    It 'ends with 3 where no journal can be written' {
        Nights -JournalFolder (Join-Path $work 'no-such-folder') | Should -Be '3'
    }
}
