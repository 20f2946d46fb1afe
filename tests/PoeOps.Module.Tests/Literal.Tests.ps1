# Names with square brackets, which PowerShell takes for wildcards: a file of the very name comes first, and a file from the pipeline is that file.
BeforeDiscovery {
    $readers = @(
        @{ Cmdlet = 'Get-PseController'; Named = { Get-PseController -Capture $path -Dialect kelpline }; Literal = { Get-PseController -LiteralPath $path -Dialect kelpline }; Piped = { $item | Get-PseController -Dialect kelpline } }
        @{ Cmdlet = 'Get-PsePort'; Named = { Get-PsePort -Capture $path -Dialect kelpline }; Literal = { Get-PsePort -LiteralPath $path -Dialect kelpline }; Piped = { $item | Get-PsePort -Dialect kelpline } }
        @{ Cmdlet = 'Test-PseDialect'; Named = { Test-PseDialect -Capture $path -Dialect kelpline }; Literal = { Test-PseDialect -LiteralPath $path -Dialect kelpline }; Piped = { $item | Test-PseDialect -Dialect kelpline } }
        @{ Cmdlet = 'Get-PseJournal'; Named = { Get-PseJournal -Path $path }; Literal = { Get-PseJournal -LiteralPath $path }; Piped = { $item | Get-PseJournal } }
    )
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $captures = "$root/examples/captures/kelpline"
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
    Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue |
        New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -WarningAction SilentlyContinue | Out-Null
    $journal = "$work/one night.jsonl"
    $results = @(Invoke-PseRefresh -Plan "$work/plan.json" -ImageFolder "$root/examples/images" -Journal "$work/night [1].jsonl" -Confirm:$false -WarningAction SilentlyContinue)
    [IO.File]::Copy("$work/night [1].jsonl", $journal)

    # What tells one file's rows from another's.
    function MarkOf($Rows, [string] $Cmdlet) {
        switch ($Cmdlet) {
            'Get-PseController' { @($Rows.Serial) -join ' ' }
            'Get-PsePort' { @($Rows).Count }
            default { @($Rows.Text) -join "`n" }
        }
    }
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe '<Cmdlet> and a name with square brackets' -ForEach $readers {
    BeforeAll {
        $folder = (New-Item -ItemType Directory "$work/$Cmdlet [old]").FullName
        $path = "$folder/a[1].txt"
        $other = "$folder/a1.txt"
        [IO.File]::Copy($(if ($Cmdlet -eq 'Get-PseJournal') { $journal } else { "$captures/quay-1.txt" }), $path)
        [IO.File]::Copy("$captures/cold-1.txt", $other)
        $item = Get-Item -LiteralPath $path
        $right = $path
        $path = if ($Cmdlet -eq 'Get-PseJournal') { $journal } else { "$captures/quay-1.txt" }
        $wanted = MarkOf (Told $Named).Rows $Cmdlet
        $path = $right
    }

    It 'reads the file of that very name where there is one' {
        $result = Told $Named
        $result.Errors | Should -BeNullOrEmpty
        MarkOf $result.Rows $Cmdlet | Should -Be $wanted
    }

    It 'reads it by -LiteralPath' {
        $result = Told $Literal
        $result.Errors | Should -BeNullOrEmpty
        MarkOf $result.Rows $Cmdlet | Should -Be $wanted
    }

    It 'reads it from the pipeline' {
        $result = Told $Piped
        $result.Errors | Should -BeNullOrEmpty
        MarkOf $result.Rows $Cmdlet | Should -Be $wanted
    }

    It 'never takes another file for one from the pipeline' {
        Remove-Item -LiteralPath $path
        foreach ($way in $Literal, $Piped) {
            $result = Told $way
            $result.Rows | Should -BeNullOrEmpty
            Confirm-OneProblem $result 'FileNotFound' ([regex]::Escape("The file '$path' does not exist."))
        }
    }

    It 'takes brackets for a wildcard where no file has that very name' {
        $plain = (New-Item -ItemType Directory "$work/$Cmdlet").FullName
        [IO.File]::Copy($(if ($Cmdlet -eq 'Get-PseJournal') { $journal } else { "$captures/quay-1.txt" }), "$plain/a1.txt")
        $path = "$plain/a[1].txt"
        $result = Told $Named
        $result.Errors | Should -BeNullOrEmpty
        MarkOf $result.Rows $Cmdlet | Should -Be $wanted
    }
}

Describe 'The results of a refresh' {
    It 'lead to their journal, whatever it is called' {
        $results.Count | Should -BeGreaterThan 0
        $read = $results | Select-Object -First 1 | Get-PseJournal -ErrorAction Stop
        @($read).Count | Should -Be @(Get-PseJournal -LiteralPath $journal).Count
    }
}
