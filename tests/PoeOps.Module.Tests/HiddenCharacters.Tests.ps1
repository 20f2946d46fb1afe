# Characters that a terminal, a page or a table would act on, in whatever devices and files say: none comes out of any cmdlet, in any stream, view or file.
BeforeDiscovery {
    $hostile = @(
        @{ Name = 'NUL'; Odd = "`0" }, @{ Name = 'BEL'; Odd = "`a" }, @{ Name = 'back-space'; Odd = "`b" }, @{ Name = 'a screen wiped'; Odd = "`e[2J" }
        @{ Name = 'a title set'; Odd = "`e]0;mine`a" }, @{ Name = 'DEL'; Odd = "`u{7f}" }, @{ Name = 'NEL'; Odd = "`u{85}" }, @{ Name = 'CSI'; Odd = "`u{9b}2J" }
        @{ Name = 'text turned round'; Odd = "`u{202e}" }, @{ Name = 'text set apart'; Odd = "`u{2066}" }, @{ Name = 'a mark of direction'; Odd = "`u{200f}" }
        @{ Name = 'a line separator'; Odd = "`u{2028}" }, @{ Name = 'a paragraph separator'; Odd = "`u{2029}" }, @{ Name = 'a byte-order mark'; Odd = "`u{feff}" }
        @{ Name = 'a noncharacter'; Odd = "`u{ffff}" }, @{ Name = 'a tag'; Odd = "`u{e0041}" }
    )
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $all = New-WorkFolder
    $hidden = [regex] '[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufdd0-\ufdef\ufffe\uffff]|\udb40[\udc00-\udc7f]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]'

    function Confirm-Plain([string] $Text, [string] $What) {
        $found = $hidden.Match($Text)
        $near = if ($found.Success) { $Text.Substring([Math]::Max(0, $found.Index - 60), [Math]::Min(120, $Text.Length - [Math]::Max(0, $found.Index - 60))) | ConvertTo-Json -EscapeHandling EscapeNonAscii }
        $found.Success | Should -BeFalse -Because "$What must not hold U+$('{0:x4}' -f [int] [char] $found.Value[0]) near $near"
    }

    # Runs a command and looks at all that came of it: every stream as the console shows it, each object whole, as JSON and as CSV. Gives the objects.
    function Look([string] $What, [scriptblock] $Command) {
        $VerbosePreference = $DebugPreference = $InformationPreference = 'Continue'
        $ErrorActionPreference = 'Continue'
        $came = [Collections.Generic.List[object]]::new()
        try { & $Command *>&1 | ForEach-Object { $came.Add($_) } }
        catch { $came.Add($_) }

        $shown = $came | Out-String -Width 400
        Confirm-Plain $shown $What
        Confirm-Plain ($came | Format-List * -Force | Out-String -Width 400) "$What, whole"
        $rows = @($came | Where-Object { $_ -isnot [Management.Automation.ErrorRecord] -and $_ -isnot [Management.Automation.InformationalRecord] })
        Confirm-Plain ($rows | ConvertTo-Json -Depth 3 -WarningAction SilentlyContinue | ForEach-Object { [regex]::Unescape(($_ -replace '\\\\', '/')) }) "$What, as JSON"
        Confirm-Plain (@($rows | ConvertTo-Csv) -join "`n") "$What, as CSV"
        foreach ($record in $came | Where-Object { $_ -is [Management.Automation.ErrorRecord] }) {
            Confirm-Plain "$($record.TargetObject) $($record.Exception) $($record.Exception.Problem | Format-List * | Out-String -Width 400)" "$What, its error"
        }

        $rows
    }

    # As JSON has it, whatever it is.
    function Escaped([string] $Odd) { -join @($Odd.ToCharArray() | ForEach-Object { '\u{0:x4}' -f [int] $_ }) }

    $cleat = "$root/tests/captures/cleat/cleat.dialect.json"
    $plain = [IO.File]::ReadAllText("$root/tests/captures/cleat/plain.txt")
}

AfterAll {
    Remove-Item -Recurse -Force $all
}

Describe '<Name>' -ForEach $hostile {
    BeforeAll {
        $work = (New-Item -ItemType Directory "$all/$([guid]::NewGuid().ToString('N'))").FullName
        $escaped = Escaped $Odd
    }

    It 'in the texts of answers in JSON comes out of nothing' {
        [IO.File]::WriteAllText("$work/free.txt", ($plain -replace '("(?:make|code|name|says)": \[?")([^"]+)"', "`$1`$2$($escaped)z`""))
        [IO.File]::WriteAllText("$work/each.txt", ($plain -replace '(?<=[:\[,] ?)"([^"\\]{2,})"', "`"`$1$($escaped)z`""))
        $units = @(Look 'Get-PseController' { Get-PseController -Capture "$work/free.txt" -Dialect $cleat })
        $units.Count | Should -BeGreaterThan 0
        $units[0].Model | Should -BeLike '*z'
        @(Look 'Get-PsePort' { Get-PsePort -Capture "$work/free.txt" -Dialect $cleat }).Count | Should -BeGreaterThan 0
        Look 'Get-PseController of broken answers' { Get-PseController -Capture "$work/each.txt" -Dialect $cleat } | Out-Null
        Look 'Test-PseDialect' { Test-PseDialect $cleat "$work/free.txt", "$work/each.txt" } | Should -Not -BeNullOrEmpty
        Look 'Test-PseDialect -Summary' { Test-PseDialect $cleat "$work/free.txt" -Summary } | Should -Not -BeNullOrEmpty
        Look 'Test-PseDrift' { $units | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" } | Should -Not -BeNullOrEmpty
        Look 'Measure-PseOutage' { $units | Measure-PseOutage -Detailed } | Out-Null
        Look 'Measure-PseOutage of rows' { Get-PsePort -Capture "$work/free.txt" -Dialect $cleat | Select-Object * | Measure-PseOutage } | Out-Null
        Look 'Export-PseReport' { Export-PseReport "$work/page.html" -Dialect $cleat -Capture "$work/free.txt", "$work/each.txt" -Force | Select-Object Name } | Out-Null
        Confirm-Plain ([IO.File]::ReadAllText("$work/page.html")) 'the page'
    }

    # NUL makes a capture binary, which is refused by an id of its own.
    It 'in the tables of a console comes out of nothing' -Skip:($Odd.Contains("`0")) {
        $capture = [IO.File]::ReadAllText("$root/examples/captures/kelpline/pilot-2.txt") -replace '(Tide gauge|Slipway lamp|tel-pilot-2|cam-pilot)', "`$1$Odd" -replace 'KL24-', "KL24$Odd-" -replace '1\.4\.0', "1.4$Odd.0" -replace 'told: 19', "told$Odd`: 19"
        [IO.File]::WriteAllText("$work/pilot-2.txt", $capture)
        $units = @(Look 'Get-PseController' { Get-PseController -Capture "$work/pilot-2.txt" -Dialect kelpline })
        $units.Count | Should -BeGreaterThan 0
        Look 'Get-PsePort' { Get-PsePort -Capture "$work/pilot-2.txt" -Dialect kelpline } | Should -Not -BeNullOrEmpty
        Look 'Test-PseDialect' { Test-PseDialect kelpline "$work/pilot-2.txt" } | Should -Not -BeNullOrEmpty
        Look 'New-PseDialect' { New-PseDialect "$work/draft.dialect.json" -Capture "$work/pilot-2.txt" -Force } | Should -Not -BeNullOrEmpty
        Confirm-Plain ([IO.File]::ReadAllText("$work/draft.dialect.json")) 'the draft'
        Look 'Test-PseDialect -Transcript' { Test-PseDialect kelpline -Transcript "$work/pilot-2.txt" } | Out-Null
    }

    It 'in files of the user is refused, told once, and comes out of nothing' {
        foreach ($file in 'harbour.estate.json', 'winter.baseline.json') {
            $text = [IO.File]::ReadAllText("$root/examples/$file")
            $at = [regex]::Match($text, '(?m)^.*"(zone|name|file|firmware)": *"[^"]+"')
            [IO.File]::WriteAllText("$work/$file", $text.Remove($at.Index + $at.Length - 1, 1).Insert($at.Index + $at.Length - 1, "$($escaped)`""))
        }

        $estate = Told { Get-PseController -Estate "$work/harbour.estate.json" }
        Confirm-OneProblem $estate 'HiddenCharacter' 'which nobody sees and which may change how what stands around it is shown\. Write the text without it\.$'
        $baseline = Told { Get-PseController -Capture "$root/examples/captures/kelpline/pilot-2.txt" -Dialect kelpline | Test-PseDrift -Baseline "$work/winter.baseline.json" }
        Confirm-OneProblem $baseline 'HiddenCharacter' 'which nobody sees'
        Look 'a refused estate' { Get-PseController -Estate "$work/harbour.estate.json"; Get-PseWindow "$work/harbour.estate.json" } | Out-Null
        Look 'a refused baseline' { Test-PseImage -Path "$root/examples/images" -Baseline "$work/winter.baseline.json" } | Out-Null
        [IO.File]::WriteAllText("$work/odd.dialect.json", ([IO.File]::ReadAllText($cleat) -replace '"name": "([^"]+)"', "`"name`": `"`$1$escaped`""))
        Look 'an odd dialect' { Get-PseController -Capture "$root/tests/captures/cleat/plain.txt" -Dialect "$work/odd.dialect.json"; Test-PseDialect "$work/odd.dialect.json" "$root/tests/captures/cleat/plain.txt" -Summary } | Out-Null
        [IO.File]::WriteAllText("$work/keys.json", '{ "hostKeys": [ { "address": "192.0.2.1", "port": 22, "algorithm": "ssh-ed25519' + $escaped + '", "sha256": "x", "acceptedUtc": "x", "acceptedBy": "x' + $escaped + '" } ] }')
        Look 'odd host keys' { Get-PseHostKey -HostKeyPath "$work/keys.json" } | Out-Null
        [IO.File]::WriteAllText("$work/odd.journal.jsonl", '{"line":1,"utc":"2026-12-01T21:00:00Z","kind":"Note","unit":"quay-1/1' + $escaped + '","facts":{"text":"a' + $escaped + 'b","odd' + $escaped + '":"x"},"previous":"' + ('0' * 64) + '","sha256":"x' + $escaped + "`"}`n")
        Look 'an odd journal' { Get-PseJournal "$work/odd.journal.jsonl" } | Should -Not -BeNullOrEmpty
        foreach ($ending in 'html', 'md', 'csv', 'json') {
            Look "the report of an odd journal as $ending" { Export-PseReport "$work/odd.$ending" -Journal "$work/odd.journal.jsonl" -Force | Select-Object Name } | Out-Null
            Confirm-Plain ([IO.File]::ReadAllText("$work/odd.$ending")) "the report as $ending"
        }
        [IO.File]::WriteAllText("$work/odd.plan.json", '{ "fingerprint": "' + $escaped + '", "units": [ { "switch": "quay' + $escaped + '" } ] }')
        Look 'an odd plan' { Invoke-PseRefresh -Plan "$work/odd.plan.json" -ImageFolder $work -Journal "$work/n.jsonl" -WhatIf } | Out-Null
    }

    It 'in the name of a file, or on the line, comes out of nothing' -Skip:($IsWindows -or $Odd.Contains("`0")) {
        $path = "$work/pilot${Odd}x~tell.txt"
        [IO.File]::Copy("$root/examples/captures/kelpline/pilot-2.txt", $path)
        $units = @(Look 'Get-PseController' { Get-PseController -LiteralPath $path -Dialect kelpline })
        $units.Count | Should -BeGreaterThan 0
        Look 'Test-PseDialect' { Test-PseDialect kelpline -LiteralPath $path } | Should -Not -BeNullOrEmpty
        Look 'a capture that is not there' { Get-PseController -LiteralPath "$work/none$Odd.txt" -Dialect kelpline } | Out-Null
        Look 'a dialect that is not there' { Get-PseController -LiteralPath $path -Dialect "none$Odd" } | Out-Null
        Look 'a name for a switch' { Get-PseController -LiteralPath $path -Dialect kelpline -Switch "quay$Odd" } | Out-Null
        Look 'a journal that is not there' { Get-PseJournal "$work/none$Odd.jsonl" } | Out-Null
        Look 'a name for a site' { Get-PseWindow "$root/examples/harbour.estate.json" -Site "quay$Odd", 'ferry hall' -IncludeFrozen } | Should -Not -BeNullOrEmpty
        Look 'an estate that is not there' { Get-PseController -Estate "$work/none$Odd.json" } | Out-Null
        Look 'what a plan would be written to' { $units | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage | New-PsePlan -Estate "$root/examples/harbour.estate.json" -Path "$work/plan$Odd.json" -WhatIf } | Out-Null
        $hostile = [PoeOps.Planning.Plan]::new()
        Look 'a calendar' { $hostile | Export-PseCalendar "$work/a$Odd.ics" -WhatIf } | Out-Null
        Look 'a plan of a calendar that is not there' { Export-PseCalendar "$work/a.ics" -Plan "$work/none$Odd.json" } | Out-Null
        Look 'notices of a plan that is not there' { Export-PseNotice "$work/none$Odd" -Plan "$work/none$Odd.json" -Contact "desk$Odd" } | Out-Null
        Look 'an address' { Save-PseCapture -Address "192.0.2.7$Odd`:23" -Prompt '^x$' -Send 'tell power' -Path $work -WhatIf } | Out-Null
        Look 'a command' { Save-PseCapture -Address '127.0.0.1:1' -Prompt '^x$' -Send "tell$Odd" -Path $work -WhatIf } | Out-Null
    }
}
