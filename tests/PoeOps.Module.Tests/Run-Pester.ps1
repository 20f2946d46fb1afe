# Runs one Pester file against the built module and writes what came of it as JSON.
param(
    [Parameter(Mandatory)] [string] $Pester,
    [Parameter(Mandatory)] [string] $Manifest,
    [Parameter(Mandatory)] [string] $Path,
    [Parameter(Mandatory)] [string] $Result
)

$ErrorActionPreference = 'Stop'
$ProgressPreference = 'SilentlyContinue'
$PSStyle.OutputRendering = 'PlainText'

Import-Module $Pester
Import-Module $Manifest

$configuration = New-PesterConfiguration
$configuration.Run.Path = $Path
$configuration.Run.PassThru = $true
$configuration.Output.Verbosity = 'Detailed'
$configuration.Output.RenderMode = 'Plaintext'
$run = Invoke-Pester -Configuration $configuration

# A file that does not parse, or a BeforeAll that throws, fails without a failed test: it is counted as one.
$failures = @(@($run.Failed) + @($run.FailedBlocks) + @($run.FailedContainers) | Where-Object { $_ } | ForEach-Object {
        [ordered]@{
            Name    = "$(if ($_.ExpandedPath) { $_.ExpandedPath } else { $_ })"
            Message = "$(@($_.ErrorRecord | ForEach-Object { $_.DisplayErrorMessage ?? "$_" }) -join "`n")"
        }
    })

[ordered]@{
    File     = Split-Path -Leaf $Path
    Passed   = $run.PassedCount
    Failed   = $failures.Count
    Skipped  = $run.SkippedCount + $run.NotRunCount + $run.InconclusiveCount
    Failures = $failures
} | ConvertTo-Json -Depth 4 | Set-Content -LiteralPath $Result -Encoding utf8
