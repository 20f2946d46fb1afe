# The report of a plan and of journals: in every format, from the pipeline, never over another file or over what it is made from, nothing under -WhatIf.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $plan = "$work/winter.plan.json"
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json"
    $outages = Get-PseController -Estate $rehearsal.EstatePath | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue
    $made = $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path $plan -WarningAction SilentlyContinue

    # A journal of a run of that plan, chained as journals are: each line ends with the SHA-256 of the text before it, and names that of the line before.
    function New-Journal([string] $Path, [object[]] $Entries) {
        $previous = '0' * 64
        $number = 0
        $lines = foreach ($entry in $Entries) {
            $number++
            $text = ([ordered] @{ line = $number; utc = $entry[0]; kind = $entry[1]; unit = $entry[2]; facts = $entry[3]; previous = $previous } | ConvertTo-Json -Compress -Depth 5)
            $open = $text.Substring(0, $text.Length - 1)
            $previous = [Convert]::ToHexString([Security.Cryptography.SHA256]::HashData([Text.Encoding]::UTF8.GetBytes($open))).ToLowerInvariant()
            "$open,`"sha256`":`"$previous`"}"
        }
        [IO.File]::WriteAllText($Path, ($lines -join "`n") + "`n")
    }

    $unit = $made.Units[0]
    $fingerprint = (Get-Content -Raw $plan | ConvertFrom-Json).fingerprint
    $journal = "$work/night.journal.jsonl"
    New-Journal $journal @(
        , @('2026-12-01T22:00:00Z', 'RunBegan', '', [ordered] @{ plan = 'harbour'; fingerprint = $fingerprint; speed = 1 })
        , @('2026-12-01T22:00:30Z', 'Begin', "$($unit.UnitId)", [ordered] @{ from = $unit.FromFirmware; to = $unit.ToFirmware; loads = 2; order = 1 })
        , @('2026-12-01T22:09:00Z', 'End', "$($unit.UnitId)", [ordered] @{ outcome = 'Failed'; problem = 'RefreshFailed'; reason = "The device said 'no'."; firmware = $unit.FromFirmware; loads = 2; loadsBack = 2 })
        , @('2026-12-01T22:09:01Z', 'RunEnded', '', [ordered] @{ because = 'it ended Failed' }))
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Export-PseReport -Plan and -Journal' {
    It 'writes a page of both, and gives its file' {
        $file = Export-PseReport "$work/night.html" -Plan $plan -Journal $journal
        $file.FullName | Should -Be (Join-Path $work 'night.html')
        $page = [xml] ((Get-Content -Raw $file) -replace '<!DOCTYPE html>')
        $verdicts = @($page.SelectNodes("//div[starts-with(@class, 'answer')]/p[@class='verdict']")).'#text'
        $verdicts[0] | Should -Be 'Nothing'
        $verdicts[2] | Should -BeLike '* unit*'
        $page.SelectNodes("//section[@id='by-hand']//tbody/tr")[0].th.'#text' | Should -Be "$($unit.UnitId)"
    }

    It 'is what is meant where no dialect is named: journals come from the pipeline without a plan, and nothing at all is told' {
        Get-ChildItem $journal | Export-PseReport "$work/alone.html" | Should -BeOfType IO.FileInfo
        Get-ChildItem $journal | Export-PseReport "$work/piped.html" -Plan $plan | Out-Null
        Get-Content -Raw "$work/piped.html" | Should -Be (Get-Content -Raw "$work/night.html")
        Confirm-OneProblem (Told { Export-PseReport "$work/none.html" }) 'ReportEmpty' '^There is nothing to report: no plan was given, and no journal'
        Confirm-OneProblem (Told { Export-PseReport "$work/none.html" -Dialect kelpline }) 'ReportEmpty' '^There is nothing to report: a dialect was given, and no capture'
        Test-Path "$work/none.html" | Should -BeFalse
    }

    It 'takes the format from -Format, or from the name of the file' {
        $json = Export-PseReport "$work/night.json" -Plan $plan -Journal $journal | Get-Content -Raw | ConvertFrom-Json
        $json.units[0].state | Should -Be 'Failed'
        $json.units.Count | Should -Be $made.Units.Count
        (Export-PseReport "$work/other.txt" -Plan $plan -Journal $journal -Format Json | Get-Content -Raw) | Should -Be (Get-Content -Raw "$work/night.json")
        $rows = Export-PseReport "$work/night.csv" -Plan $plan -Journal $journal | Import-Csv
        ($rows | Where-Object Record -EQ Unit)[0].State | Should -Be 'Failed'
        (Export-PseReport "$work/night.md" -Plan $plan -Journal $journal | Get-Content)[0] | Should -BeLike '# Run *: planned and done'
    }

    It 'takes journals from the pipeline, as files and as results name them, and gives the same bytes' {
        Get-ChildItem "$work/*.jsonl" | Export-PseReport "$work/files.html" -Plan $plan | Out-Null
        [pscustomobject] @{ JournalPath = $journal }, [pscustomobject] @{ JournalPath = $journal } | Export-PseReport "$work/results.html" -Plan $plan | Out-Null
        (Get-FileHash "$work/files.html").Hash | Should -Be (Get-FileHash "$work/night.html").Hash
        (Get-FileHash "$work/results.html").Hash | Should -Be (Get-FileHash "$work/night.html").Hash
    }

    It 'tells what a plan alone is to do, and what a journal alone says' {
        $before = Export-PseReport "$work/plan.json" -Plan $plan | Get-Content -Raw | ConvertFrom-Json
        $before.stillDark.verdict | Should -Match '^\d+ loads, \d+ windows?$'
        $before.rehearsal | Should -Match '^This is the plan of a rehearsal at speed \d+: its devices are simulated, and nothing real is touched\.$'
        $before.windows[0].zone | Should -Match '/'
        (Export-PseReport "$work/journal.json" -Journal $journal | Get-Content -Raw | ConvertFrom-Json).hasPlan | Should -BeFalse
    }

    It 'writes the report of a journal that was changed, says so in it, and tells the error' {
        $altered = "$work/altered.jsonl"
        Set-Content $altered ((Get-Content -Raw $journal) -replace 'Failed', 'Done') -NoNewline
        $told = Told { Export-PseReport "$work/altered.json" -Journal $altered }
        $told.Errors[0].FullyQualifiedErrorId | Should -BeLike 'JournalChainBroken*'
        (Get-Content -Raw "$work/altered.json" | ConvertFrom-Json).journals[0].chainHolds | Should -BeFalse
    }

    It 'keeps a file that stands there, unless -Force, and writes none under -WhatIf' {
        Set-Content "$work/there.html" 'mine'
        Confirm-OneProblem (Told { Export-PseReport "$work/there.html" -Plan $plan }) 'FileExists' 'there\.html'
        Get-Content "$work/there.html" | Should -Be 'mine'
        (Export-PseReport "$work/there.html" -Plan $plan -Force).Length | Should -BeGreaterThan 1000
        Export-PseReport "$work/whatif.html" -Plan $plan -WhatIf | Should -BeNullOrEmpty
        "$work/whatif.html" | Should -Not -Exist
    }

    It 'is never written over its journal or its plan, -Force or not' {
        $before = (Get-FileHash $journal).Hash
        Confirm-OneProblem (Told { Export-PseReport $journal -Plan $plan -Journal $journal -Force }) 'ReportOverSource' 'never replaced'
        Confirm-OneProblem (Told { Export-PseReport $plan -Plan $plan -Force }) 'ReportOverSource' 'never replaced'
        (Get-FileHash $journal).Hash | Should -Be $before
    }

    It 'tells a plan or a journal that is not there, and writes nothing' {
        Confirm-OneProblem (Told { Export-PseReport "$work/none.html" -Plan "$work/none.plan.json" }) 'FileNotFound' 'none\.plan\.json'
        (Told { Export-PseReport "$work/none.html" -Journal "$work/none.jsonl" }).Errors[-1].FullyQualifiedErrorId | Should -BeLike 'ReportEmpty*'
        "$work/none.html" | Should -Not -Exist
    }
}
