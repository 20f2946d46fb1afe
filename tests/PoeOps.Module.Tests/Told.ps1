# What the files about bad input share: run a command and keep what it gave and told; list a folder with digests.

# Rows, error records and time of a command. An error that ends it is kept as well as one that does not. Whoever runs the tests may have asked for
# a stop at the first error, which would hide the second.
function Told([scriptblock] $ToldCommand) {
    $ErrorActionPreference = 'Continue'
    $watch = [Diagnostics.Stopwatch]::StartNew()
    $all = [Collections.Generic.List[object]]::new()
    try {
        & $ToldCommand 2>&1 3>$null | ForEach-Object { $all.Add($_) }
    }
    catch {
        $all.Add($_)
    }

    [pscustomobject]@{
        Rows    = @($all | Where-Object { $_ -isnot [Management.Automation.ErrorRecord] })
        Errors  = @($all | Where-Object { $_ -is [Management.Automation.ErrorRecord] })
        # For what must not hang; how fast something is, no test asks.
        Seconds = $watch.Elapsed.TotalSeconds
    }
}

# One error, by its id, that is one line: a sentence with its full stop and advice with its own; and what it says.
function Confirm-OneProblem($Result, [string] $Id, [string] $Says = '') {
    $Result.Errors.Count | Should -Be 1 -Because "one mistake is told once, and was: $($Result.Errors -join ' | ')"
    $record = $Result.Errors[0]
    $record.FullyQualifiedErrorId | Should -Match "^$Id,PoeOps\.Cmdlets\.Commands\.\w+Command$"
    $problem = $record.Exception.Problem
    "$problem" | Should -Be $record.Exception.Message
    "$problem" | Should -Be "$record $($problem.Advice)"
    "$problem" | Should -Not -Match '\p{Cc}'
    $problem.Sentence | Should -Match '\.$'
    $problem.Advice | Should -Match '^\p{Lu}.*\.$'

    # PowerShell 7 prints the recommended action behind the message: so the advice stands there once.
    $record.ErrorDetails.RecommendedAction | Should -Be $problem.Advice
    $record.TargetObject | Should -Not -BeNullOrEmpty
    $record.Exception.Message | Should -Match $Says
}

# Every file and folder beneath a folder, with its digest; a very large file with its size and the time of its last change.
function Listing([string] $Folder) {
    @(Get-ChildItem -Recurse -Force -LiteralPath $Folder | Sort-Object FullName | ForEach-Object {
            $content = if ($_.PSIsContainer) { 'folder' } elseif ($_.Length -gt 32MB) { "$($_.Length) $($_.LastWriteTimeUtc.Ticks)" } else { (Get-FileHash -LiteralPath $_.FullName).Hash }
            "$($_.FullName) $content"
        })
}

function New-WorkFolder {
    $folder = Join-Path ([IO.Path]::GetTempPath()) "poeops-$([guid]::NewGuid().ToString('N'))"
    (New-Item -ItemType Directory $folder).FullName
}

# A file of two hundred million bytes that takes up no room where the system knows how.
function New-LargeFile([string] $Path) {
    $stream = [IO.File]::Create($Path)
    $stream.SetLength(200MB)
    $stream.Dispose()
}
