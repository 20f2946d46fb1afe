# A night's run for a scheduled task, with nobody watching. The plan was made and looked at by day; this script accepts nothing by itself.
#
#     powershell -NoProfile -NonInteractive -File Unattended.ps1 -Estate C:\net\harbour.estate.json -Baseline C:\net\winter.baseline.json
#         -Plan C:\net\winter.plan.json -ImageFolder C:\net\images -JournalFolder C:\net\journals -CredentialFile C:\net\console.credential.xml
#
# Make the credential file as the user of the task, on the machine of the task: Get-Credential | Export-Clixml C:\net\console.credential.xml
#
# A run that stopped or broke off is gone on with: the newest journal in the folder says whether there is one of this plan, and every unit whose end is
# not known is asked first what became of it. To stop a night, put a file named stop into the journal folder: the unit in progress is watched to its end,
# and no further one starts. Take the file away before the next night.
#
# Exit codes
#   0  nothing is left to do: every unit of the plan is done, now or before
#   2  the run went through the plan, and some units failed, were refused, or came back with something missing
#   3  refused before anything was touched: a file is missing or wrong, a switch cannot be read, a gate said no, the plan has no units
#   4  stopped on the way: run it again with the same plan to go on
# Anything else, 1 above all, comes from PowerShell itself. The journal is what counts, not the code.
#
# It asks nobody, and says so to every command ($ConfirmPreference), so a unit with life-safety loads is refused unless the plan lists it by name, and a switch
# by Telnet or raw TCP is not reached unless the estate file says "clearText": true for it. Nothing else is accepted, and no gate is left out. It does not
# use -Force: a lock of another machine stays, and the night ends with 3.
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
    [string] $ElevationCredentialFile,

    # A credential for each name that the estate gives its switches, in a file of the same kind:
    # @{ 'ferry hall' = Get-Credential; 'quay' = Get-Credential } | Export-Clixml C:\net\consoles.credentials.xml
    [string] $CredentialMapFile,

    # A private key for links by SSH; the passwords of the credentials are then passphrases. Host keys were accepted by day: an unknown one is refused here.
    [string] $KeyFile,

    # The file of those host keys, where they are not in the task's user's own.
    [string] $HostKeyPath,

    # Go on at other switches after a unit that failed or whose state nobody knows; without it the first one ends the night.
    [switch] $ContinueOnFailure
)
$ErrorActionPreference = 'Stop'
$ProgressPreference = 'SilentlyContinue'
$ConfirmPreference = 'None'

# How often the journal says that a unit was begun.
function Measure-Begun([string] $Path) {
    if (-not (Test-Path -LiteralPath $Path)) { return 0 }
    @(Get-PseJournal -LiteralPath $Path -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { $_.Kind -eq 'Begin' }).Count
}

# The newest journal of the plan, where its last run is not through.
function Find-Open([string] $Folder, [string] $PlanPath) {
    $journals = @(Get-ChildItem -LiteralPath $Folder -Filter 'night-*.journal.jsonl' -ErrorAction SilentlyContinue | Sort-Object Name -Descending)
    if ($journals.Count -eq 0) { return }
    $fingerprint = (Get-Content -LiteralPath $PlanPath -Raw -Encoding UTF8 | ConvertFrom-Json).fingerprint
    foreach ($file in $journals) {
        $runs = @(Get-PseJournal -LiteralPath $file.FullName -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { $_.Kind -in 'RunBegan', 'RunEnded' })
        $began = @($runs | Where-Object { $_.Kind -eq 'RunBegan' })
        if ($began.Count -eq 0 -or $began[-1].Facts['fingerprint'] -ne $fingerprint) { continue }
        if ($runs[-1].Kind -eq 'RunBegan' -or $runs[-1].Facts['because'] -ne 'the plan is through') { return $file.FullName }
        return
    }
}

$journal = ''
$before = 0
try {
    # The module that this folder came with; a copy of the folder takes the one that is loaded or installed.
    $module = Join-Path $PSScriptRoot '../PoeOps.psd1'
    if (Test-Path -LiteralPath $module) { Import-Module $module } elseif (-not (Get-Module PoeOps)) { Import-Module PoeOps }
    $secrets = @{}
    if ($CredentialFile) { $secrets.Credential = Import-Clixml -Path $CredentialFile }
    if ($ElevationCredentialFile) { $secrets.ElevationCredential = Import-Clixml -Path $ElevationCredentialFile }
    if ($CredentialMapFile) { $secrets.CredentialMap = Import-Clixml -Path $CredentialMapFile }
    if ($KeyFile) { $secrets.KeyFile = $KeyFile }
    if ($HostKeyPath) { $secrets.HostKeyPath = $HostKeyPath }
    $open = Find-Open $JournalFolder $Plan
    if ($open) {
        $journal = $open
        $job = @{ Resume = $journal; Plan = $Plan; ImageFolder = $ImageFolder }
    }
    else {
        $journal = Join-Path $JournalFolder ('night-' + [DateTime]::UtcNow.ToString('yyyyMMdd-HHmmss') + '.journal.jsonl')
        $job = @{ Plan = $Plan; ImageFolder = $ImageFolder; Journal = $journal }
    }

    # Somebody wants no night at all. A run that broke off is still to be gone on with.
    if (Test-Path -LiteralPath (Join-Path $JournalFolder 'stop')) {
        'The stop file is there.'
        if ($open) { exit 4 }
        exit 3
    }

    # What cannot be read tonight is not refreshed tonight: any error here ends the script.
    $behind = @(Get-PseController -Estate $Estate @secrets | Test-PseDrift -Baseline $Baseline | Where-Object { $_.Verdict -eq 'Behind' })
    if ($behind.Count -eq 0 -and -not $open) {
        'Every controller that the baseline lists is current or ahead.'
        exit 0
    }

    if (-not (Test-PseImage -Path $ImageFolder -Baseline $Baseline -Quiet)) {
        Test-PseImage -Path $ImageFolder -Baseline $Baseline | Where-Object { -not $_.Good } | ForEach-Object { "$($_.File): $($_.Reason)" }
        exit 3
    }

    # Every gate of every unit first: one that says no stops the night before it begins. A run that broke off has begun, and its open unit comes first.
    if (-not $open) {
        $gates = @(Invoke-PseRefresh @job @secrets -WhatIf)
        $refused = @($gates | Where-Object { $_.Outcome -eq 'Refused' })
        if ($refused.Count -gt 0) {
            $refused | ForEach-Object { "$($_.UnitId): $($_.Reason)" }
            exit 3
        }

        if ($gates.Count -eq 0) {
            'The plan has no units.'
            exit 3
        }
    }

    # From here on, a unit's trouble is an outcome and not an error that ends the script.
    $before = Measure-Begun $journal
    $results = @(Invoke-PseRefresh @job @secrets -ContinueOnFailure:$ContinueOnFailure -Confirm:$false -ErrorAction Continue)
    $results | ForEach-Object { "$($_.UnitId): $($_.Outcome). $($_.Reason)" }
    "The journal is $journal."
}
catch {
    "$($_.FullyQualifiedErrorId): $($_.Exception.Message)"

    # A journal with no new entry of a unit's beginning says that nothing was touched.
    if ($journal -and (Measure-Begun $journal) -gt $before) { exit 4 }
    exit 3
}

# The last word about each planned unit counts: one that was found to have failed may have been taken up again. What it ended with counts, whatever the
# outcome is called: a unit that was left alone is done only where it had nothing to do.
$last = @($results | Group-Object Order | ForEach-Object { $_.Group[-1] })
$notDone = @($last | Where-Object { $_.ProblemId -and $_.ProblemId -ne 'NothingToDo' })
$begun = @($results | Where-Object { $_.Outcome -notin 'Refused', 'Skipped' })
$ended = @(Get-PseJournal -LiteralPath $journal -ErrorAction SilentlyContinue -WarningAction SilentlyContinue | Where-Object { $_.Kind -in 'RunBegan', 'RunEnded' })[-1]
if ($ended.Kind -ne 'RunEnded' -or $ended.Facts['notBegun'] -or @($notDone | Where-Object { $_.Outcome -eq 'Uncertain' -or $_.ProblemId -eq 'JournalNotWritable' })) { exit 4 }
if ($notDone.Count -gt 0 -and $begun.Count -eq 0) { exit 3 }
if ($notDone.Count -gt 0) { exit 2 }
exit 0
