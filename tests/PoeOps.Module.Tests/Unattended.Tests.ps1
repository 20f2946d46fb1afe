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
param([string] $Root, [string] $Folder, [string] $Mishap, [int] $Nights, [string] $JournalFolder, [string] $PlanName = 'plan.json', [string] $StopNights = '', [string] $Units = '2')
Import-Module "$Root/PoeOps.psd1"
$more = @{}
if ($Mishap) { $more.Mishap = $Mishap }
$rehearsal = Start-PseRehearsal -Estate "$Root/examples/harbour.estate.json" -Speed 600 @more
Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 | Where-Object { $Units -split ' ' -contains $_.Unit } | Test-PseDrift -Baseline "$Root/examples/winter.baseline.json" |
    Measure-PseOutage -WarningAction SilentlyContinue | New-PsePlan -Estate $rehearsal.EstatePath -Path "$Folder/plan.json" -AcceptLifeSafety quay-1/2 -WarningAction SilentlyContinue | Out-Null
foreach ($night in 1..$Nights) {
    if (Test-Path "$JournalFolder/stop") { Remove-Item "$JournalFolder/stop" }
    if ($StopNights -split ' ' -contains "$night") { Set-Content "$JournalFolder/stop" '' }
    if ($StopNights -split ' ' -contains "$night-at-work") {
        # Whoever stops a night does so from elsewhere, while a unit is at work.
        $stopper = [powershell]::Create().AddScript({
                param($Folder)
                while (-not @(Get-ChildItem $Folder -Filter night-*.jsonl | Where-Object { (Get-Content -Raw $_.FullName) -match '"kind":"Begin"' })) { Start-Sleep -Milliseconds 20 }
                Set-Content "$Folder/stop" ''
            }).AddArgument($JournalFolder)
        $null = $stopper.BeginInvoke()
    }

    & "$Root/examples/Unattended.ps1" -Estate $rehearsal.EstatePath -Baseline "$Root/examples/winter.baseline.json" -Plan "$Folder/$PlanName" -ImageFolder "$Root/examples/images" -JournalFolder $JournalFolder
    "EXIT $LASTEXITCODE"
}
'@ | Set-Content $driver

    function Nights([string] $Mishap = '', [int] $Nights = 1, [string] $JournalFolder, [string] $PlanName = 'plan.json', [string] $StopNights = '', [string] $Units = '2') {
        $folder = Join-Path $work ([guid]::NewGuid().ToString('N'))
        New-Item -ItemType Directory $folder | Out-Null
        $line = @(if ($start) { $start }) + @('-NoProfile', '-NonInteractive', '-File', $driver, $root, $folder, $Mishap, $Nights, $(if ($JournalFolder) { $JournalFolder } else { $folder }), $PlanName, $StopNights, $Units)
        $script:said = @(& $pwsh @line 2>&1 | ForEach-Object { "$_" })
        $script:folder = $folder
        @($said | Where-Object { "$_" -like 'EXIT *' } | ForEach-Object { "$_".Substring(5) }) -join ' '
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

    It 'ends with 2 where the unit failed, and the next night takes it up again in the same journal' {
        Nights -Mishap 'quay-1/2:Verify:OldVersion' -Nights 2 | Should -Be '2 0'
        @(Get-ChildItem $folder -Filter 'night-*.journal.jsonl').Count | Should -Be 1
        $said | Should -Contain 'quay-1/2: Done. It runs 3.10.2, and everything is back.'
    }

    It 'ends with 4 where nobody can tell what a unit is doing' {
        Nights -Mishap 'quay-1/2:Program:StuckAt40' | Should -Be '4'
    }

    It 'ends with 4 where the unit runs what nobody approved, and again while it does: it is asked, and nothing is sent to it' {
        Nights -Mishap 'quay-1/2:Verify:OtherVersion' -Nights 2 | Should -Be '4 4'
        $journal = @(Get-ChildItem $folder -Filter 'night-*.journal.jsonl')
        @(Get-PseJournal -LiteralPath $journal.FullName | Where-Object { $_.Kind -in 'Begin', 'End' } | ForEach-Object { "$($_.Kind) $($_.Facts['outcome']) $($_.Facts['late'])".TrimEnd() }) | Should -Be 'Begin', 'End Uncertain', 'End Uncertain true'
    }

    It 'ends with 4 where it is stopped while a unit is at work, and the next night goes on in the same journal' {
        Nights -StopNights '1-at-work' -Nights 2 -Units '1 2' | Should -Be '4 0'
        $journal = @(Get-ChildItem $folder -Filter 'night-*.journal.jsonl')
        $journal.Count | Should -Be 1
        @(Get-PseJournal -LiteralPath $journal.FullName | Where-Object { $_.Kind -in 'Begin', 'End', 'RunEnded' } | ForEach-Object { "$($_.Kind) $($_.Facts['outcome'])".TrimEnd() }) | Should -Be 'Begin', 'End Done', 'RunEnded', 'Begin', 'End Done', 'Begin', 'End Done', 'RunEnded'
    }

    It 'ends with 3 where the stop file is there from the beginning, and touches nothing' {
        Nights -StopNights '1' | Should -Be '3'
        Get-ChildItem $folder -Filter '*.jsonl' | Should -BeNullOrEmpty
    }

    It 'ends with 4 where the stop file is still there and a run could be gone on with' {
        Nights -StopNights '1-at-work 2' -Nights 2 -Units '1 2' | Should -Be '4 4'
    }

    It 'ends with 3 where there is no plan' {
        Nights -PlanName 'no-such.plan.json' | Should -Be '3'
    }

    It 'ends with 3 where no journal can be written' {
        Nights -JournalFolder (Join-Path $work 'no-such-folder') | Should -Be '3'
    }
}
