# Estate, baseline, dialect and plan files with a mistake: one error that says what and where, and nothing is written.
BeforeDiscovery {
    $mistakes = @(
        @{ Mistake = 'that stops before its end'; Id = 'JsonSyntax'; Says = ', line \d+: The text is no JSON at line \d+, column \d+: the text ends in the middle of ''\w+'': what is behind it, a closing bracket at the least, is missing\. Correct the text there'; Make = { param($text) $text.Substring(0, $text.LastIndexOf('}')) } }
        @{ Mistake = 'with a comma too few'; Id = 'JsonSyntax'; Says = ', line \d+: The text is no JSON at line \d+, column \d+: a comma, or a closing bracket, is missing before ''"''\.'; Make = { param($text) $text.Remove($text.IndexOf(','), 1) } }
        @{ Mistake = 'with an unknown key'; Id = 'JsonUnknownKey'; Says = 'nmae: The key ''nmae'' is not known here; the nearest is ''name''\. The keys known here are '; Make = { param($text) ([regex] '"name"\s*:').Replace($text, '"nmae": 1, "name":', 1) } }
        @{ Mistake = 'with a value of another type'; Id = 'JsonWrongType'; Says = ', line \d+, name: Found the number 5 where a text was expected\. Write a text there\.$'; Make = { param($text) ([regex] '(?m)^  "name"\s*:\s*"[^"]*"').Replace($text, '  "name": 5', 1) } }
        @{ Mistake = 'with a key twice'; Id = 'JsonKeyTwice'; Says = ', line \d+, name: The key ''name'' stands twice in the same object\. Keep one of them\.$'; Make = { param($text) ([regex] '(?m)^  "name"\s*:').Replace($text, '  "name": "first", "name":', 1) } }
        @{ Mistake = 'with nothing in it'; Id = 'FileEmpty'; Says = ' has no content\. Give a file that has been written to its end\.$'; Make = { '' } }
        @{ Mistake = 'with nothing in it but blanks'; Id = 'FileEmpty'; Says = ' has no content\.'; Make = { " `r`n`t`n" } }
        @{ Mistake = 'that is a list'; Id = 'JsonWrongType'; Says = ', line 1: Found a list where an object was expected\.'; Make = { '[ 1 ]' } }
        @{ Mistake = 'that is no UTF-8'; Id = 'FileNotUtf8'; Says = ', line \d+: The byte E9 \(hexadecimal\) at offset \d+ does not belong to any UTF-8 text\. Save the file as UTF-8\.$'; Encoding = 'iso-8859-1'; Make = { param($text) ([regex] '"name"\s*:\s*"').Replace($text, '"name": "é', 1) } }
        @{ Mistake = 'that is UTF-16'; Id = 'FileNotUtf8'; Says = ', line 1: The file starts with the byte-order mark of UTF-16, and UTF-8 was expected\. Save it as UTF-8\.$'; Encoding = 'utf-16'; Make = { param($text) $text } }
        @{ Mistake = 'of 200 MB'; Id = 'FileTooLarge'; Says = ': The file has 209715200 bytes, and at most 16777216 are read\.'; Make = $null }
        @{ Mistake = 'that is not there'; Id = 'FileNotFound'; Says = ' does not exist\. Check the path'; Make = 'none' }
        @{ Mistake = 'that is a folder'; Id = 'FileUnreadable'; Says = ' is a folder, and a file was expected\.'; Make = 'folder' }
    )
    $uses = @(
        @{ Kind = 'estate'; Cmdlet = 'Get-PseController' }
        @{ Kind = 'estate'; Cmdlet = 'New-PsePlan' }
        @{ Kind = 'baseline'; Cmdlet = 'Test-PseImage' }
        @{ Kind = 'baseline'; Cmdlet = 'Test-PseDrift' }
        @{ Kind = 'dialect'; Cmdlet = 'Get-PsePort' }
        @{ Kind = 'dialect'; Cmdlet = 'Test-PseDialect' }
        @{ Kind = 'plan'; Cmdlet = 'Invoke-PseRefresh' }
        @{ Kind = 'plan'; Cmdlet = 'Invoke-PseRefresh under -WhatIf' }
    )

    # A dialect that is neither a file nor a name is an unknown one; a folder is none of both.
    $cases = foreach ($use in $uses) {
        foreach ($mistake in $mistakes | Where-Object { $use.Kind -ne 'dialect' -or $_.Make -isnot [string] }) { $use + $mistake }
    }

    $duplicates = @(
        @{ What = 'an estate with a switch twice'; Kind = 'estate'; Id = 'SwitchTwice'; Says = ', line \d+, sites\[0\]\.switches\[1\]\.name: The switch ''hall-1'' stands twice; the first is in line \d+\.'; From = '"name": "hall-2"'; To = '"name": "hall-1"' }
        @{ What = 'an estate with a switch twice in another case'; Kind = 'estate'; Id = 'SwitchTwice'; Says = 'The switch ''HALL-1'' stands twice; the first is in line \d+\. Give every switch a name of its own; case makes no difference\.$'; From = '"name": "hall-2"'; To = '"name": "HALL-1"' }
        @{ What = 'an estate with a console twice'; Kind = 'estate'; Id = 'SwitchTwice'; Says = 'The switches ''hall-2'' \(line \d+\) and ''hall-3'' have the same address 192\.0\.2\.12, port 23\.'; From = '192.0.2.13'; To = '192.0.2.12' }
        @{ What = 'an estate with a site twice'; Kind = 'estate'; Id = 'NameTwice'; Says = 'The site ''ferry hall'' stands twice; the first is in line \d+\.'; From = '"name": "pilot station"'; To = '"name": "ferry hall"' }
        @{ What = 'an estate with settings of a unit twice'; Kind = 'estate'; Id = 'NameTwice'; Says = 'The unit ''1'' has settings twice\.'; From = '{ "unit": "3", "coverageGroup": "hall radios" }'; To = '{ "unit": "1", "coverageGroup": "hall radios" }' }
        @{ What = 'an estate with a load twice on a port'; Kind = 'estate'; Id = 'NameTwice'; Says = 'Port ''43'' of unit ''1'' has a load twice\. Let each port stand in one load setting\.$'; From = '{ "unit": "4", "ports": "27-28"'; To = '{ "unit": "1", "ports": "43"' }
        @{ What = 'a baseline with a model and release twice'; Kind = 'baseline'; Id = 'BaselineEntriesOverlap'; Says = 'The entry for model ''KL-48'', releases from 7\.2 before 7\.6, overlaps the one in line \d+, '; From = '"model": "KL-24"'; To = '"model": "KL-48"' }
        @{ What = 'a dialect with a block twice'; Kind = 'dialect'; Id = 'NameTwice'; Says = 'Two blocks are called ''release''\. Give each block a name of its own'; From = '"name": "units"'; To = '"name": "release"' }
        @{ What = 'a plan whose text was changed'; Kind = 'plan'; Id = 'PlanAltered'; Says = 'its fingerprint does not fit it\. Make the plan again with New-PsePlan, and have it approved again\.$'; From = '"order": 1'; To = '"order": 2' }
    )

    $places = @(
        @{ Kind = 'estate'; Where = 'sites[0]'; Key = 'zoen'; Nearest = 'zone'; From = '"zone": "Europe/Lisbon",'; To = '"zone": "Europe/Lisbon", "zoen": "",' }
        @{ Kind = 'baseline'; Where = 'entries[0].image'; Key = 'byte'; Nearest = 'bytes'; From = '"bytes": 40161,'; To = '"bytes": 40161, "byte": 1,' }
        @{ Kind = 'dialect'; Where = 'console'; Key = 'pager'; Nearest = 'pagers'; From = '"quiet":'; To = '"pager": [], "quiet":' }
        @{ Kind = 'plan'; Where = 'units[0]'; Key = 'load'; Nearest = 'loads'; From = '"loads":'; To = '"load": 1, "loads":' }
    )
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $examples = "$root/examples"
    $work = New-WorkFolder
    $source = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$examples/harbour.estate.json" -Speed 600
    $controllers = @(Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1')
    $outages = @($controllers | Test-PseDrift -Baseline "$examples/winter.baseline.json" | Where-Object Verdict -eq Behind | Measure-PseOutage -WarningAction SilentlyContinue)
    $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$source/good.plan.json" -WarningAction SilentlyContinue | Out-Null
    $texts = @{
        estate   = [IO.File]::ReadAllText("$examples/harbour.estate.json")
        baseline = [IO.File]::ReadAllText("$examples/winter.baseline.json")
        dialect  = [IO.File]::ReadAllText("$root/module/dialects/kelpline.dialect.json")
        plan     = [IO.File]::ReadAllText("$source/good.plan.json")
    }
    $capture = "$examples/captures/kelpline/quay-1.txt"
    $uses = @{
        'Get-PseController'               = { Get-PseController -Estate $file }
        'New-PsePlan'                     = { $outages | New-PsePlan -Estate $file -Path "$work/new.plan.json" }
        'Test-PseImage'                   = { Test-PseImage -Path "$examples/images" -Baseline $file }
        'Test-PseDrift'                   = { $controllers | Test-PseDrift -Baseline $file }
        'Get-PsePort'                     = { Get-PsePort -Capture $capture -Dialect $file }
        'Test-PseDialect'                 = { Test-PseDialect -Capture $capture -Dialect $file }
        'Invoke-PseRefresh'               = { Invoke-PseRefresh -Plan $file -ImageFolder "$examples/images" -Journal "$work/night.journal.jsonl" -Confirm:$false }
        'Invoke-PseRefresh under -WhatIf' = { Invoke-PseRefresh -Plan $file -ImageFolder "$examples/images" -Journal "$work/night.journal.jsonl" -WhatIf }
    }
    $first = @{ estate = 'Get-PseController'; baseline = 'Test-PseImage'; dialect = 'Test-PseDialect'; plan = 'Invoke-PseRefresh' }

    function Replaced([string] $Kind, [string] $From, [string] $To) {
        $texts[$Kind].Contains($From) | Should -BeTrue -Because "the test changes '$From'"
        $place = $texts[$Kind].IndexOf($From)
        $texts[$Kind].Remove($place, $From.Length).Insert($place, $To)
    }
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work, $source
}

Describe 'A file with a mistake' {
    BeforeEach {
        $file = "$work/bad.$Kind.json"
    }

    AfterEach {
        Remove-Item -Recurse -Force "$work/*"
    }

    It 'is refused by <Cmdlet> with <Id>: <Kind> <Mistake>' -ForEach $cases {
        if ($Make -is [scriptblock]) {
            [IO.File]::WriteAllText($file, (& $Make $texts[$Kind]), [Text.Encoding]::GetEncoding($(if ($Encoding) { $Encoding } else { 'utf-8' })))
        }
        elseif ($Make -eq 'folder') {
            New-Item -ItemType Directory $file | Out-Null
        }
        elseif ($Make -ne 'none') {
            New-LargeFile $file
        }

        $before = if ($null -ne $Make) { Listing $work }
        $result = Told $uses[$Cmdlet]
        Confirm-OneProblem $result $Id $Says
        $result.Errors[0].Exception.Message | Should -Match "^$([regex]::Escape($file))"
        $result.Rows | Should -BeNullOrEmpty
        $result.Seconds | Should -BeLessThan 60
        @(Get-ChildItem -Force $work | Where-Object Name -ne "bad.$Kind.json") | Should -BeNullOrEmpty
        if ($before) { Listing $work | Should -Be $before }
    }

    It 'is refused with <Id>: <What>' -ForEach $duplicates {
        [IO.File]::WriteAllText($file, (Replaced $Kind $From $To))
        $before = Listing $work
        $result = Told $uses[$first[$Kind]]
        Confirm-OneProblem $result $Id $Says
        $result.Rows | Should -BeNullOrEmpty
        Listing $work | Should -Be $before
    }

    It 'names the unknown key and the nearest known one: <Key> in <Where> of the <Kind>' -ForEach $places {
        [IO.File]::WriteAllText($file, (Replaced $Kind $From $To))
        $result = Told $uses[$first[$Kind]]
        Confirm-OneProblem $result 'JsonUnknownKey' ", line \d+, $([regex]::Escape("$Where.$Key")): The key '$Key' is not known here; the nearest is '$Nearest'\."
        $result.Errors[0].Exception.Problem.Line | Should -Be (1 + ([IO.File]::ReadAllText($file).Split("""$Key""")[0].Split("`n").Count - 1))
    }

    It 'has every mistake told, each once: <_>' -ForEach 'estate', 'baseline', 'dialect', 'plan' {
        $Kind = $_
        $file = "$work/bad.$Kind.json"
        $text = ([regex] '(?m)^  "name"\s*:\s*"[^"]*"').Replace($texts[$Kind], '  "name": 5, "nmae": 1, "nmae": 2', 1)
        [IO.File]::WriteAllText($file, $text)
        $result = Told $uses[$first[$Kind]]
        @($result.Errors | ForEach-Object { $_.FullyQualifiedErrorId.Split(',')[0] }) | Should -Be 'JsonKeyTwice', 'JsonWrongType', 'JsonUnknownKey'
        $result.Rows | Should -BeNullOrEmpty
    }

    It 'keeps a rehearsal from starting and leaves no folder of it' {
        $file = "$work/bad.estate.json"
        [IO.File]::WriteAllText($file, (Replaced 'estate' '"name": "hall-2"' '"name": "hall-1"'))
        $folders = @(Get-ChildItem -Directory ([IO.Path]::GetTempPath()) -Filter 'poeops-rehearsal-*').Name
        Confirm-OneProblem (Told { Start-PseRehearsal -Estate $file }) 'RehearsalCannotStart' 'cannot start\. The switch ''hall-1'' stands twice'
        @(Get-ChildItem -Directory ([IO.Path]::GetTempPath()) -Filter 'poeops-rehearsal-*').Name | Where-Object { $_ -notin $folders } | Should -BeNullOrEmpty
    }
}

Describe 'A dialect that an estate names' {
    BeforeAll {
        $whole = [IO.File]::ReadAllText($rehearsal.EstatePath)
    }

    AfterEach {
        [IO.File]::WriteAllText($rehearsal.EstatePath, $whole)
        Remove-Item -Force "$work/*"
    }

    It 'and that does not exist is told for its switch, and the others are read' {
        [IO.File]::WriteAllText($rehearsal.EstatePath, ([regex] '("name": "hall-2"(?s).*?"dialect": )"oakum"').Replace($whole, '$1"oakun"', 1))
        $result = Told { Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2' }
        Confirm-OneProblem $result 'DialectUnknown' '^hall-2: No dialect is called ''oakun''; the nearest is ''oakum''; it was looked for in .*\. Correct the name, or '
        $result.Errors[0].TargetObject | Should -Be 'hall-2'
        $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-1'
    }

    It 'and that has a mistake is told with its place, and the others are read' {
        [IO.File]::WriteAllText("$work/brine.dialect.json", '{ "name": "brine", }')
        $text = ([regex] '("name": "hall-2"(?s).*?"dialect": )"oakum"').Replace($whole, '$1"brine"', 1)
        [IO.File]::WriteAllText($rehearsal.EstatePath, ([regex] '(?m)^  "name":').Replace($text, "  ""dialects"": [ ""$($work.Replace('\', '/'))"" ], ""name"":", 1))
        $result = Told { Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2' }
        Confirm-OneProblem $result 'JsonSyntax' 'brine\.dialect\.json, line 1: The text is no JSON at line 1, column 20: a comma stands before the end, with nothing behind it\.'
        $result.Errors[0].TargetObject | Should -Be 'hall-2'
        $result.Rows.Switch | Sort-Object -Unique | Should -Be 'hall-1'
    }

    It 'is unknown on the command line too, and no capture is read' -ForEach 'Get-PseController', 'Get-PsePort', 'Test-PseDialect' {
        $cmdlet = $_
        $result = Told { & $cmdlet -Capture $capture -Dialect 'kelpliner' }
        Confirm-OneProblem $result 'DialectUnknown' '^No dialect is called ''kelpliner''; the nearest is ''kelpline''; it was looked for in '
        $result.Rows | Should -BeNullOrEmpty
    }
}

Describe 'A plan that cannot be written' {
    BeforeAll {
        [IO.File]::WriteAllText("$work/taken.plan.json", 'something of somebody')
        $before = Listing $work
    }

    It 'is told by <Id>, and nothing is left: <Why>' -ForEach @(
        @{ Why = 'its folder is not there'; Name = 'none/new.plan.json'; Id = 'FileNotWritable'; Says = ' cannot be written: its folder does not exist\. Check the folder, your rights in it' }
        @{ Why = 'its folder is a file'; Name = 'taken.plan.json/new.plan.json'; Id = 'FileNotWritable'; Says = ' cannot be written: its folder does not exist\.' }
        @{ Why = 'it is a folder'; Name = ''; Id = 'FileNotWritable'; Says = ' cannot be written: a folder stands there\.' }
        @{ Why = 'a file has its name'; Name = 'taken.plan.json'; Id = 'FileExists'; Says = ' exists already\. Choose another name, or say that it may be replaced \(-Force\)\.$' }
    ) {
        $path = if ($Name) { "$work/$Name" } else { $work }
        Confirm-OneProblem (Told { $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path $path }) $Id $Says
        Listing $work | Should -Be $before
    }

    It 'because a unit came twice is told by its id, and no file is written' {
        Confirm-OneProblem (Told { $outages + $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/new.plan.json" }) 'NameTwice' 'The unit hall-1/\d came 2 times\. Give each unit once\.$'
        Listing $work | Should -Be $before
    }

    It 'because its estate has gone is told, and one that is there is held against the estate' {
        $other = Join-Path $work 'other.estate.json'
        Copy-Item $rehearsal.EstatePath $other
        $outages | New-PsePlan -Estate $other -Path "$work/other.plan.json" -WarningAction SilentlyContinue | Out-Null
        Add-Content $other ' '
        Confirm-OneProblem (Told { Invoke-PseRefresh -Plan "$work/other.plan.json" -ImageFolder "$examples/images" -Journal "$work/other.journal.jsonl" -Confirm:$false }) 'PlanStale' 'has changed since the plan was made\. Make the plan again'
        Remove-Item $other
        Confirm-OneProblem (Told { Invoke-PseRefresh -Plan "$work/other.plan.json" -ImageFolder "$examples/images" -Journal "$work/other.journal.jsonl" -Confirm:$false }) 'PlanStale' 'cannot be read\. Make the plan again'
        "$work/other.journal.jsonl" | Should -Not -Exist
        Remove-Item "$work/other.plan.json"
    }
}
