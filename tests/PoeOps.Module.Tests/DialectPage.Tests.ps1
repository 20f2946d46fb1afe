# The page that shows how a dialect reads captures: written whole, never over another file, and nothing under -WhatIf.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $captures = "$root/examples/captures/kelpline/*.txt"
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'Export-PseReport -Dialect' {
    It 'writes a page of every line, and gives its file' {
        $file = Export-PseReport "$work/reading.html" -Dialect kelpline -Capture $captures
        $file.FullName | Should -Be (Join-Path $work 'reading.html')
        $summary = Test-PseDialect kelpline $captures -Summary
        $page = [xml] ((Get-Content -Raw $file) -replace '<!DOCTYPE html>')
        $page.SelectNodes("//section[starts-with(@id, 'c')]//tbody/tr").Count | Should -Be $summary.Lines
        $page.html.body.header.p[-1].'#text' | Should -Be 'Every line is accounted for, and there is no problem.'
    }

    It 'takes files from the pipeline, and the same reading gives the same page' {
        Get-ChildItem $captures | Export-PseReport "$work/again.html" -Dialect kelpline | Out-Null
        (Get-FileHash "$work/again.html").Hash | Should -Be (Get-FileHash "$work/reading.html").Hash
    }

    It 'keeps a file that stands there, unless -Force, and writes none under -WhatIf' {
        Set-Content "$work/there.html" 'mine'
        Confirm-OneProblem (Told { Export-PseReport "$work/there.html" -Dialect kelpline -Capture $captures }) 'FileExists' 'there\.html'
        Get-Content "$work/there.html" | Should -Be 'mine'
        (Export-PseReport "$work/there.html" -Dialect kelpline -Capture $captures -Force).Length | Should -BeGreaterThan 1000
        Export-PseReport "$work/whatif.html" -Dialect kelpline -Capture $captures -WhatIf | Should -BeNullOrEmpty
        "$work/whatif.html" | Should -Not -Exist
    }

    It 'tells a dialect or captures that are not there, and writes nothing' {
        Confirm-OneProblem (Told { Export-PseReport "$work/none.html" -Dialect nowhere -Capture $captures }) 'DialectUnknown' 'nowhere'
        Confirm-OneProblem (Told { Export-PseReport "$work/none.html" -Dialect kelpline -Capture "$work/no-*.txt" }) 'FileNotFound' 'No file fits'
        "$work/none.html" | Should -Not -Exist
        Confirm-OneProblem (Told { Export-PseReport "$work/no-folder/none.html" -Dialect kelpline -Capture $captures }) 'FileNotWritable'
    }
}
