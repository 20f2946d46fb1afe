# A night's run for a scheduled task, with nobody watching. The plan was made and looked at by day; this script accepts nothing by itself.
#
#     powershell -NoProfile -NonInteractive -File Unattended.ps1 -Estate C:\net\harbour.estate.json -Baseline C:\net\winter.baseline.json
#         -Plan C:\net\winter.plan.json -ImageFolder C:\net\images -JournalFolder C:\net\journals -CredentialFile C:\net\console.credential.xml
#
# Make the credential file as the user of the task, on the machine of the task: Get-Credential | Export-Clixml C:\net\console.credential.xml
#
# Exit codes
#   0  nothing is left to do: every unit of the plan is done, now or before
#   2  the run went through the plan, and some units failed, were refused, or came back with something missing
#   3  refused before anything was touched: a file is missing or wrong, a switch cannot be read, a gate said no, the plan has no units
#   4  stopped on the way: run it again with the same plan to go on
# Anything else, 1 above all, comes from PowerShell itself. The journal is what counts, not the code.
[CmdletBinding()]
param(
    [Parameter(Mandatory = $true)] [string] $Estate,
    [Parameter(Mandatory = $true)] [string] $Baseline,
    [Parameter(Mandatory = $true)] [string] $Plan,
    [Parameter(Mandatory = $true)] [string] $ImageFolder,
    [Parameter(Mandatory = $true)] [string] $JournalFolder,

    # User and password of the consoles, written by Export-Clixml. A rehearsal in this process brings its own.
    [string] $CredentialFile,

    # The secret for elevation, in a file of the same kind, where the consoles want another than the password.
    [string] $ElevationCredentialFile
)
$ErrorActionPreference = 'Stop'
$ProgressPreference = 'SilentlyContinue'

$touched = $false
try {
    Import-Module (Join-Path $PSScriptRoot '../PoeOps.psd1')
    $secrets = @{}
    if ($CredentialFile) { $secrets.Credential = Import-Clixml -Path $CredentialFile }
    if ($ElevationCredentialFile) { $secrets.ElevationCredential = Import-Clixml -Path $ElevationCredentialFile }
    $job = @{ Plan = $Plan; ImageFolder = $ImageFolder }
    $journal = Join-Path $JournalFolder ('night-' + [DateTime]::UtcNow.ToString('yyyyMMdd-HHmmss') + '.journal.jsonl')

    # What cannot be read tonight is not refreshed tonight: any error here ends the script.
    $behind = @(Get-PseController -Estate $Estate @secrets | Test-PseDrift -Baseline $Baseline | Where-Object { $_.Verdict -eq 'Behind' })
    if ($behind.Count -eq 0) {
        'Every controller that the baseline lists is current or ahead.'
        exit 0
    }

    if (-not (Test-PseImage -Path $ImageFolder -Baseline $Baseline -Quiet)) {
        Test-PseImage -Path $ImageFolder -Baseline $Baseline | Where-Object { -not $_.Good } | ForEach-Object { "$($_.File): $($_.Reason)" }
        exit 3
    }

    # Every gate of every unit first. One that says no stops the night before it begins.
    $gates = @(Invoke-PseRefresh @job @secrets -Journal $journal -WhatIf)
    $refused = @($gates | Where-Object { $_.Outcome -eq 'Refused' })
    if ($refused.Count -gt 0) {
        $refused | ForEach-Object { "$($_.UnitId): $($_.Reason)" }
        exit 3
    }

    if ($gates.Count -eq 0) {
        'The plan has no units.'
        exit 3
    }

    # From here on, a unit's trouble is an outcome and not an error that ends the script.
    $touched = $true
    $results = @(Invoke-PseRefresh @job @secrets -Journal $journal -Confirm:$false -ErrorAction Continue)
    $results | ForEach-Object { "$($_.UnitId): $($_.Outcome). $($_.Reason)" }
    "The journal is $journal."
}
catch {
    "$($_.FullyQualifiedErrorId): $_"

    # A journal with no entry of a unit's beginning says that nothing was touched.
    if ($touched -and (Test-Path -LiteralPath $journal) -and @(Get-PseJournal -LiteralPath $journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object Kind -eq 'Begin').Count -gt 0) { exit 4 }
    exit 3
}

# What a unit ended with counts, whatever the outcome is called: a unit that was left alone is done only where it had nothing to do.
$notDone = @($results | Where-Object { $_.ProblemId -and $_.ProblemId -ne 'NothingToDo' })
$begun = @($results | Where-Object { $_.Outcome -notin 'Refused', 'Skipped' })
if ($results.Count -lt $gates.Count -or @($notDone | Where-Object { $_.Outcome -eq 'Uncertain' -or $_.ProblemId -eq 'JournalNotWritable' })) { exit 4 }
if ($results.Count -eq 0 -or ($notDone.Count -gt 0 -and $begun.Count -eq 0)) { exit 3 }
if ($notDone.Count -gt 0) { exit 2 }
exit 0
