# The job as README.md shows it: its lines are run as they stand, only faster, and the table that it prints is the one that comes out.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $readme = Get-Content -Raw "$root/README.md"
    $job = [regex]::Match($readme, '(?s)## The job in twenty lines\s+```powershell\r?\n(.*?)```').Groups[1].Value
    $printed = [regex]::Match($readme, '(?s)```\r?\n(Order UnitId.*?)```').Groups[1].Value
    $work = Join-Path ([IO.Path]::GetTempPath()) "poeops-$([guid]::NewGuid().ToString('N'))"
    New-Item -ItemType Directory $work | Out-Null
    Copy-Item -Recurse "$root/examples" $work

    # Dark seconds differ from run to run.
    function RowsOf([string] $Text) {
        $Text -split '\r?\n' | Where-Object { $_ -match '^\s*\d+\s+\S+/\S' } | ForEach-Object { $cells = -split $_; ($cells[0..4] + $cells[6..7]) -join ' ' }
    }
}

AfterAll {
    Get-Variable r -ValueOnly -ErrorAction SilentlyContinue | Stop-PseRehearsal
    Set-Location $root
    Remove-Item -Recurse -Force $work
}

Describe 'The job in README.md' {
    It 'prints the table that stands there' {
        Set-Location $work
        $job | Should -Match '-Speed 120'
        $output = . ([scriptblock]::Create(($job -replace '-Speed 120', '-Speed 500'))) | Out-String -Width 200
        RowsOf $output | Should -Be (RowsOf $printed)
        (RowsOf $printed).Count | Should -Be 11
    }
}
