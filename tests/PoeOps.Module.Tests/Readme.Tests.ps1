# The job as README.md shows it: its lines are run as they stand, only faster, and what it prints is what comes out.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $readme = Get-Content -Raw "$root/README.md"
    $job = [regex]::Match($readme, '(?s)## The job in twenty lines\s.*?```powershell\r?\n(.*?)```').Groups[1].Value
    $printed = [regex]::Match($readme, '(?s)```\r?\n(WARNING: .*?)```').Groups[1].Value
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

Describe 'The worked example in README.md' {
    It 'prints what stands there' {
        Set-Location $root
        $section = [regex]::Match($readme, '(?s)## Does everything come back\?(.*?)\n## ').Groups[1].Value
        $typed, $shown = 'powershell', '' | ForEach-Object { , @([regex]::Matches($section, "(?s)``````$_\r?\n(.*?)``````") | ForEach-Object { $_.Groups[1].Value.Trim() }) }
        $typed.Count | Should -Be 2
        $shown = @([regex]::Matches($section, '(?s)```\r?\n((?:WARNING|\d).*?)```') | ForEach-Object { $_.Groups[1].Value.Trim() })
        $all = @(. ([scriptblock]::Create($typed[0])) 3>&1)
        $warned = @($all | Where-Object { $_ -is [Management.Automation.WarningRecord] } | ForEach-Object { "WARNING: $_" })
        $listed = @(($all | Where-Object { $_ -isnot [Management.Automation.WarningRecord] } | Out-String) -split '\r?\n' | Where-Object { $_ } | ForEach-Object TrimEnd)
        ($warned + $listed) -join "`n" | Should -Be (@($shown[0] -split '\r?\n' | Where-Object { $_ }) -join "`n")
        "$(. ([scriptblock]::Create($typed[1])))" | Should -Be $shown[1]
    }
}

Describe 'The job in README.md' {
    BeforeAll {
        Set-Location $work
        $job | Should -Match '-Speed 120'
        $job | Should -Match '^Import-Module \./PoeOps\.psd1'
        $here = $job.Replace('-Speed 120', '-Speed 500').Replace('Import-Module ./', "Import-Module $root/")
        $all = @(. ([scriptblock]::Create($here)) 3>&1)
        $warnings = @($all | Where-Object { $_ -is [Management.Automation.WarningRecord] } | ForEach-Object { "WARNING: $_" })
        $output = $all | Where-Object { $_ -isnot [Management.Automation.WarningRecord] } | Out-String -Width 200
    }

    It 'prints the table that stands there' {
        RowsOf $output | Should -Be (RowsOf $printed)
        (RowsOf $printed).Count | Should -Be 11
    }

    It 'warns of what stands there' {
        $shown = @($printed -split '\r?\n' -match '^WARNING: ')
        $shown.Count | Should -Be 7
        $warnings.Count | Should -Be 7
        foreach ($i in 0..6) {
            $warnings[$i] | Should -BeLike "$($shown[$i] -replace ' \.\.\.$')*"
        }
    }

    It 'shows the plan and the journal that stand there' {
        foreach ($line in 'Name          : Demo harbour', 'Units         : 11', 'Obstacles     : 5', 'NothingToDo   : 7', 'LifeSafety    : 10', '    1 RunBegan', '   11 Begin', '   11 End', '    1 RunEnded') {
            $printed -split '\r?\n' | Should -Contain $line
            ($output -split '\r?\n').TrimEnd() | Should -Contain $line
        }
    }
}
