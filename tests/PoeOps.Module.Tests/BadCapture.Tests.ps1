# Captures that are cut, of another family, or no text: one error each, with its file and line, and the good ones beside them are read.
BeforeDiscovery {
    $bad = @(
        @{ What = 'cut in the middle of a line'; Id = 'RowIncomplete'; Says = ', line \d+: The text stops in this line, before the end of the block ''ports''\. The row is left out, for something may be missing at its end; read the device again\.$'; Name = 'cut.txt' }
        @{ What = 'cut in the middle of a number'; Id = 'RowIncomplete'; Says = ', line \d+: The text stops in this line, before the end of the block ''ports''\.'; Name = 'number.txt' }
        @{ What = 'cut between two lines'; Id = 'BlockNotEnded'; Says = ', line \d+: The block ''ports'' began here and its end was not seen\. The text was cut, or '; Name = 'lines.txt' }
        @{ What = 'of another family'; Id = 'CaptureOfAnotherFamily'; Says = ': The dialect ''kelpline'' reads nothing here: none of the \d+ lines that hold something fits any of its rules\. Check that this is a capture of that family'; Name = 'other.txt' }
        @{ What = 'that is binary'; Id = 'CaptureBinary'; Says = ', line \d+: The file holds bytes that no console prints as text\. Save the console''s text again; a UTF-16 file needs its byte-order mark\.$'; Name = 'binary.txt' }
        @{ What = 'in UTF-16 without its mark'; Id = 'CaptureBinary'; Says = ', line 1: The file holds bytes that no console prints as text\.'; Name = 'wide.txt' }
        @{ What = 'with a line in another encoding'; Id = 'CaptureUndecodable'; Says = ', line 5: The line holds bytes that are no utf-8\. Name the right encoding in the dialect, or save the capture again\.$'; Name = 'latin.txt' }
        @{ What = 'with nothing in it'; Id = 'FileEmpty'; Says = ': The capture is empty\. Save the device''s answer again\.$'; Name = 'empty.txt' }
        @{ What = 'with empty lines alone'; Id = 'CaptureOfAnotherFamily'; Says = ': The dialect ''kelpline'' reads nothing here: there are only empty lines\.'; Name = 'blank.txt' }
        @{ What = 'of 200 MB'; Id = 'FileTooLarge'; Says = ': The capture has 209715200 bytes, and at most 67108864 are read\.'; Name = 'large.txt' }
        @{ What = 'that is not there'; Id = 'FileNotFound'; Says = ': The file ''.*none\.txt'' does not exist\. Check the path and where it starts from\.$'; Name = 'none.txt' }
        @{ What = 'that is a folder'; Id = 'FileUnreadable'; Says = ': ''.*folder'' is a folder, and a capture was expected\. Give the files in it'; Name = 'folder' }
    )
    $cases = foreach ($cmdlet in 'Get-PseController', 'Get-PsePort', 'Test-PseDialect') {
        foreach ($one in $bad) { @{ Cmdlet = $cmdlet } + $one }
    }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $captures = "$root/examples/captures"
    $work = New-WorkFolder
    $good = "$work/quay-1.txt"
    $text = [IO.File]::ReadAllText("$captures/kelpline/quay-1.txt")
    [IO.File]::WriteAllText($good, $text)
    $row = $text.IndexOf("`n1:9 ") + 1
    [IO.File]::WriteAllText("$work/cut.txt", $text.Substring(0, $row + 30))
    [IO.File]::WriteAllText("$work/number.txt", $text.Substring(0, $text.IndexOf("`n", $row)).TrimEnd('-', ' '))
    [IO.File]::WriteAllText("$work/lines.txt", $text.Substring(0, $row))
    [IO.File]::WriteAllText("$work/other.txt", [IO.File]::ReadAllText("$captures/oakum/pilot-1.txt"))
    [IO.File]::WriteAllBytes("$work/binary.txt", [byte[]] (0..255))
    [IO.File]::WriteAllBytes("$work/wide.txt", [Text.UnicodeEncoding]::new($false, $false).GetBytes($text))
    [IO.File]::WriteAllText("$work/latin.txt", $text.Replace("------  --------`n", "------  --------é`n"), [Text.Encoding]::Latin1)
    [IO.File]::WriteAllText("$work/empty.txt", '')
    [IO.File]::WriteAllText("$work/blank.txt", "`n`r`n`n")
    New-LargeFile "$work/large.txt"
    New-Item -ItemType Directory "$work/folder" | Out-Null

    # How many rows the good one gives alone.
    $rows = @{}
    foreach ($command in 'Get-PseController', 'Get-PsePort', 'Test-PseDialect') {
        $rows[$command] = @(& $command -Capture $good -Dialect kelpline -ErrorAction Stop).Count
    }
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'A capture' {
    It '<What> is told by <Cmdlet> as <Id>, and the good one beside it is read' -ForEach $cases {
        $result = Told { & $Cmdlet -Capture "$work/$Name", $good -Dialect kelpline }
        Confirm-OneProblem $result $Id "^$([regex]::Escape("$work/$Name"))$Says"
        @($result.Rows | Where-Object { $_.Switch -eq 'quay-1' -or $_.File -eq $good }).Count | Should -Be $rows[$Cmdlet]
        $result.Seconds | Should -BeLessThan 60
    }

    It 'cut in the middle of a line gives the rows before it, and none of its units counts as read without a problem' {
        $units = (Told { Get-PseController -Capture "$work/cut.txt" -Dialect kelpline }).Rows
        $units.Unit | Should -Be '1', '2', '3'
        $units.ReadingProblems | Should -Be 1, 1, 1
        $units[0].Ports.Name | Should -Be '1', '2', '3', '4', '5', '6', '7', '8'
    }

    It 'cut anywhere gives one error at the most: <_>' -ForEach 'kelpline/quay-1', 'oakum/quay-3' {
        $dialect, $name = $_.Split('/')
        $all = [IO.File]::ReadAllText("$captures/$dialect/$name.txt")
        for ($length = 7; $length -lt $all.Length; $length += [int] ($all.Length / 15)) {
            [IO.File]::WriteAllText("$work/part.txt", $all.Substring(0, $length))
            $result = Told { Get-PseController -Capture "$work/part.txt" -Dialect $dialect }
            $result.Errors.Count | Should -BeLessOrEqual 1 -Because "of $length characters: $($result.Errors -join ' | ')"
            if ($result.Errors) { Confirm-OneProblem $result '\w+' '^.*part\.txt(, line \d+)?: ' }
        }
    }

    It 'of another family is told once where it is given for the same switch as a good one' {
        $result = Told { Get-PseController -Capture "$work/other.txt", $good -Dialect kelpline -Switch quay-1 }
        Confirm-OneProblem $result 'CaptureOfAnotherFamily' "^$([regex]::Escape("$work/other.txt")): "
        $result.Rows.UnitId | ForEach-Object { "$_" } | Should -Be 'quay-1/1', 'quay-1/2', 'quay-1/3'
    }

    It 'that is binary is told once though the estate has settings for its switch' {
        $result = Told { Get-PseController -Capture "$work/binary.txt" -Dialect kelpline -Estate "$root/examples/harbour.estate.json" -Switch quay-1 }
        Confirm-OneProblem $result 'CaptureBinary'
        $result.Rows | Should -BeNullOrEmpty
    }

    It 'that is looked for with a pattern is told where none fits: <Why>' -ForEach @(
        @{ Why = 'no such file'; Pattern = '*.capture' }
        @{ Why = 'no such folder'; Pattern = 'none/*.txt' }
    ) {
        $result = Told { Get-PseController -Capture "$work/$Pattern", $good -Dialect kelpline }
        Confirm-OneProblem $result 'FileNotFound' '^No file fits ''.*''\. Check the folder and the pattern\.$'
        $result.Rows.Count | Should -Be $rows['Get-PseController']
    }

    It '<_> gives false to Test-PseDialect -Quiet, and no error' -ForEach 'cut.txt', 'other.txt', 'binary.txt', 'empty.txt', 'none.txt' {
        $name = $_
        $result = Told { Test-PseDialect -Dialect kelpline -Capture "$work/$name" -Quiet }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | Should -Be $false
    }

    It 'is read only: nothing in its folder has changed' {
        Remove-Item -ErrorAction SilentlyContinue "$work/part.txt"
        [IO.File]::ReadAllText($good) | Should -Be $text
        @(Get-ChildItem $work).Name | Sort-Object | Should -Be 'binary.txt', 'blank.txt', 'cut.txt', 'empty.txt', 'folder', 'large.txt', 'latin.txt', 'lines.txt', 'number.txt', 'other.txt', 'quay-1.txt', 'wide.txt'
    }
}
