# What is offered while somebody writes a line: names from the files of the same line, written as they must stand there, and nothing where there is nothing.
BeforeDiscovery {
    # A parameter with one of these names, or of the type UnitId, has values that somebody can know. So has one whose values are an enumeration or a set, which
    # PowerShell offers by itself.
    $known = 'Site', 'Switch', 'Dialect', 'SkipGate', 'Mishap', 'Encoding', 'Zone', 'TimeZone'
    $parameters = @(foreach ($command in Get-Command -Module PoeOps -CommandType Cmdlet) {
            foreach ($parameter in $command.Parameters.Values) {
                $type = $parameter.ParameterType
                $element = if ($type.IsArray) { $type.GetElementType() } else { $type }
                $isText = $element -eq [string]
                if ($element.FullName -eq 'PoeOps.Estate.UnitId' -or ($isText -and $parameter.Name -in $known) -or ($isText -and $parameter.Name -eq 'Address' -and $command.Noun -eq 'PseHostKey')) {
                    @{ Command = $command.Name; Parameter = $parameter.Name }
                }
            }
        })
}

BeforeAll {
    $root = (Resolve-Path "$PSScriptRoot/../..").Path
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    Copy-Item "$root/examples/harbour.estate.json" "$work/harbour.estate.json"
    Push-Location $work

    # What is offered at the end of a line, as it is put there; errors that it leaves count as offered, so that they are seen.
    function Offered([string] $Line) {
        $before = $global:Error.Count
        $found = @((TabExpansion2 $Line $Line.Length).CompletionMatches)
        if ($global:Error.Count -ne $before) { throw "an error was left: $($global:Error[0])" }
        $found.CompletionText
    }

    function Write-Estate([string] $Path, $Sites) {
        @{ name = 'test'; sites = @($Sites) } | ConvertTo-Json -Depth 6 -Compress | Set-Content -LiteralPath $Path
    }

    function Site-Of([string] $Name, [string[]] $Switches) {
        @{ name = $Name; zone = 'Etc/UTC'; switches = @($Switches | ForEach-Object { @{ name = $_; address = '192.0.2.1'; link = 'telnet'; dialect = 'kelpline' } }) }
    }
}

AfterAll {
    Pop-Location
    Remove-Item -Recurse -Force $work
}

Describe 'Every parameter whose values can be known' {
    It 'is completed: <Command> -<Parameter>' -ForEach $parameters {
        $attributes = (Get-Command $Command).Parameters[$Parameter].Attributes
        @($attributes | Where-Object { $_ -is [ArgumentCompleter] -or $_ -is [ValidateSet] }).Count | Should -BeGreaterThan 0
    }

    It 'is one of many' {
        # By the list above: a table that finds nothing would pass.
        $parameters = @(Get-Command -Module PoeOps -CommandType Cmdlet | ForEach-Object { $_.Parameters.Values } | Where-Object { $_.Attributes.Where({ $_ -is [ArgumentCompleter] }).Count -gt 0 })
        $parameters.Count | Should -BeGreaterThan 18
    }
}

Describe 'What an estate offers' {
    It 'is its switches, in its order, from a file beside the current location' {
        Offered 'Get-PseController -Estate harbour.estate.json -Switch ' | Should -Be 'hall-1', 'hall-2', 'hall-3', 'quay-1', 'quay-2', 'quay-3', 'cold-1', 'pilot-1', 'pilot-2'
    }

    It 'is the same by a whole path, by position, by an alias, by a variable and behind other commands' {
        foreach ($line in "Get-PseController -Estate '$work/harbour.estate.json' -Switch hall", 'Get-PseController ./harbour.estate.json -Switch hall', 'Get-PseController -EstatePath harbour.estate.json -Switch hall', '$null | Get-PsePort -Estate $file -Switch hall') {
            $global:file = 'harbour.estate.json'
            Offered $line | Should -Be 'hall-1', 'hall-2', 'hall-3' -Because $line
        }
    }

    It 'is the same by a text with variables in it: <Text>' -ForEach @(
        @{ Text = '"$pwd/harbour.estate.json"' }
        @{ Text = '"$PWD/$file"' }
        @{ Text = '"${here}/harbour.estate.json"' }
        @{ Text = '"$global:here/harbour.estate.json"' }
        @{ Text = '"$env:POEOPS_HERE/harbour.estate.json"' }
        @{ Text = '"$folder/harbour.estate.json"' }
        @{ Text = '"$here$slash$file"' }
    ) {
        $global:file = 'harbour.estate.json'
        $global:here = $work
        $global:slash = '/'
        $global:folder = Get-Item $work
        $env:POEOPS_HERE = $work
        Offered "Get-PseController -Estate $Text -Site f" | Should -Be "'ferry hall'"
        Offered "Get-PseController $Text -Switch hall-" | Should -Be 'hall-1', 'hall-2', 'hall-3'
        Offered "Get-PseController -EstatePath:$Text -Switch hall-" | Should -Be 'hall-1', 'hall-2', 'hall-3'
    }

    It 'is the same in a script that is being written, by its own folder' {
        $line = 'Get-PseController -Estate "$PSScriptRoot/harbour.estate.json" -Site f'
        Set-Content "$work/night.ps1" $line
        $tokens = $problems = $null
        $ast = [Management.Automation.Language.Parser]::ParseFile("$work/night.ps1", [ref] $tokens, [ref] $problems)
        $cursor = $ast.Extent.StartScriptPosition.GetType().GetMethod('CloneWithNewOffset', [Reflection.BindingFlags] 'Instance, NonPublic').Invoke($ast.Extent.StartScriptPosition, @($line.Length))
        (TabExpansion2 -ast $ast -tokens $tokens -positionOfCursor $cursor).CompletionMatches.CompletionText | Should -Be "'ferry hall'"
    }

    It 'is nothing where the text would have to be run: <Text>' -ForEach @(
        @{ Text = '"$(Set-Content ran x; $pwd)/harbour.estate.json"' }
        @{ Text = '"$pwd/$($file)"' }
        @{ Text = '"$($pwd)/harbour.estate.json"' }
        @{ Text = '"$acting/harbour.estate.json"' }
        @{ Text = '"$pwd/`$(Set-Content ran x)harbour.estate.json"' }
        @{ Text = '"$none/harbour.estate.json"' }
        @{ Text = '"$function:prompt/harbour.estate.json"' }
        @{ Text = '(Join-Path $pwd harbour.estate.json)' }
    ) {
        $global:file = 'harbour.estate.json'
        $global:acting = [pscustomobject] @{} | Add-Member -Force -PassThru ScriptMethod ToString { Set-Content "$work/ran" x; "$work" }
        Offered "Get-PseController -Estate $Text -Site f" | Should -BeNullOrEmpty
        Test-Path "$work/ran" | Should -BeFalse
    }

    It 'fits without regard to case, and by a pattern' {
        Offered 'Get-PseController -Estate harbour.estate.json -Switch HALL-' | Should -Be 'hall-1', 'hall-2', 'hall-3'
        Offered 'Get-PseController -Estate harbour.estate.json -Switch *-1' | Should -Be 'hall-1', 'quay-1', 'cold-1', 'pilot-1'
        Offered 'Get-PseController -Estate harbour.estate.json -Switch ?uay' | Should -Be 'quay-1', 'quay-2', 'quay-3'
        Offered 'Get-PseController -Estate harbour.estate.json -Switch al' | Should -BeNullOrEmpty
        Offered 'Get-PseController -Estate harbour.estate.json -Switch [ha' | Should -BeNullOrEmpty
    }

    It 'goes on in a list' {
        Offered 'Get-PseController -Estate harbour.estate.json -Switch hall-1, quay-' | Should -Be 'quay-1', 'quay-2', 'quay-3'
    }

    It 'is its sites, in quotes where a name has a space' {
        Offered 'Get-PseController -Estate harbour.estate.json -Site f' | Should -Be "'ferry hall'"
        Offered "Get-PseController -Estate harbour.estate.json -Site 'fer" | Should -Be "'ferry hall'"
        Offered 'Get-PseController -Estate harbour.estate.json -Site "fer' | Should -Be '"ferry hall"'
    }

    It 'is its units, by their ids' {
        $units = Offered 'New-PsePlan -Estate harbour.estate.json -AcceptLifeSafety hall-1/'
        $units | Should -Be 'hall-1/1', 'hall-1/3', 'hall-1/4'
        Offered 'New-PsePlan -Estate harbour.estate.json -AcceptRefusedLoad HALL-2' | Should -Be 'hall-2/A'
        Offered 'New-PsePlan -Estate harbour.estate.json -AcceptReadingProblem hall-1/3' | Should -Be 'hall-1/3'
    }

    It 'is written so that it means the name and no more' {
        $odd = "it's", '$(1)', 'a`b', 'say "x"', '1e3', 'a[1]', "d`u{2019}or", '-x', 'a;b', 'a,b'
        Write-Estate "$work/odd.json" (Site-Of 'here' $odd)
        foreach ($quote in '', "'", '"') {
            $offered = @(Offered "Save-PseCapture -Estate odd.json -Switch $quote")
            @($offered | ForEach-Object { & ([scriptblock]::Create("param([string] `$None) Write-Output -InputObject $_")) } | ForEach-Object { "$_" }) | Should -Be $odd
        }
    }

    It 'means the name where patterns are taken, too' {
        Write-Estate "$work/odd.json" (Site-Of 'here' 'a[1]', 'a1', "b'[x]")
        foreach ($quote in '', "'", '"') {
            $patterns = @(Offered "Get-PseController -Estate odd.json -Switch $quote" | ForEach-Object { & ([scriptblock]::Create("Write-Output -InputObject $_")) })
            @('a[1]', 'a1', "b'[x]" | ForEach-Object { $name = $_; @($patterns | Where-Object { $name -like $_ }).Count }) | Should -Be 1, 1, 1
        }
    }

    It 'is nothing where there is no such file, or one that is broken, and no error' {
        foreach ($text in '', '{', '[]', '{"sites": 7}', '{"sites": [{"name": "x", "switches": [{"name": "s"}]}', '{"sites":[null, 5, {"name": 5, "switches": {}}]}', "`0`0`0") {
            [IO.File]::WriteAllText("$work/broken.json", $text)
            Offered 'Get-PseController -Estate broken.json -Switch ' | Should -BeNullOrEmpty -Because $text
        }

        [IO.File]::WriteAllBytes("$work/broken.json", [byte[]] (0xff, 0xfe, 0x00, 0xd8))
        foreach ($line in 'broken.json', 'none.json', 'none/none.json', 'nodrive:\x.json', 'env:PATH', "'*?<>|'", '$null', '@()', "'`0'", 'http://192.0.2.1/x.json', '.') {
            Offered "Get-PseController -Estate $line -Switch " | Should -BeNullOrEmpty -Because $line
            Offered "Start-PseRehearsal -Estate $line -Mishap " | Should -BeNullOrEmpty -Because $line
        }

        Offered 'Get-PseController -Switch ' | Should -BeNullOrEmpty
        Offered 'New-PsePlan -AcceptLifeSafety ' | Should -BeNullOrEmpty
    }

    It 'is all of a large one' {
        Write-Estate "$work/large.json" @(1..100 | ForEach-Object { $site = $_; Site-Of "site $site" @(1..100 | ForEach-Object { "s$site-$_" }) })
        @(Offered 'Get-PseController -Estate large.json -Switch ').Count | Should -Be 10000
        Offered 'Get-PseController -Estate large.json -Switch s77-100' | Should -Be 's77-100'
    }
}

Describe 'What plans and journals offer' {
    BeforeAll {
        $unit = { param($site, $switch, $name) @{ site = $site; switch = $switch; unit = $name } }
        @{ name = 'p'; estate = "$work/harbour.estate.json"; units = @((& $unit 'ferry hall' 'hall-1' '2'), (& $unit 'ferry hall' 'hall-1' '3')); obstacles = @(, (& $unit 'pilot hut' 'pilot-1' '1')) } |
            ConvertTo-Json -Depth 4 | Set-Content "$work/p.plan.json"

        # The completers themselves, for parameters that no cmdlet has beside such a file today.
        $assembly = [PoeOps.Cmdlets.PoeCommand].Assembly
        function Offered-By([string] $Kind, [hashtable] $Given, [string] $Word = '') {
            $completer = [Activator]::CreateInstance($assembly.GetType("PoeOps.Cmdlets.Completion.${Kind}Completer", $true))
            @($completer.CompleteArgument('x', 'y', $Word, $null, $Given)).CompletionText
        }
    }

    It 'is the units, switches and sites of a plan' {
        Offered-By Unit @{ Plan = 'p.plan.json' } | Should -Be 'hall-1/2', 'hall-1/3', 'pilot-1/1'
        Offered-By Switch @{ plan = 'p.plan.json' } | Should -Be 'hall-1', 'pilot-1'
        Offered-By Site @{ Plan = 'p.plan.json' } | Should -Be "'ferry hall'", "'pilot hut'"
    }

    It 'is what a journal names' {
        $lines = foreach ($id in '', 'hall-1/2', 'hall-1/2', 'mole-1/1') { @{ line = 1; utc = '2026-11-25T21:00:00Z'; kind = 'Begin'; unit = $id; facts = @{} } | ConvertTo-Json -Compress }
        Set-Content "$work/n.journal.jsonl" $lines, '{ "half'
        Offered-By Unit @{ Journal = @('n.journal.jsonl') } | Should -Be 'hall-1/2', 'mole-1/1'
        Offered-By Unit @{ AfterJournal = [IO.FileInfo] "$work/n.journal.jsonl"; Estate = 'none.json' } mole | Should -Be 'mole-1/1'
        Offered-By Switch @{ Resume = 'n.journal.jsonl' } | Should -Be 'hall-1', 'mole-1'
    }

    It 'is the zones, by the ids of IANA and of Windows' {
        Offered-By Zone @{} 'europe/lis' | Should -Be 'Europe/Lisbon'
        Offered-By Zone @{} "'GMT Stan" | Should -Be "'GMT Standard Time'"
        Offered 'Get-PseWindow x -Zone europe/lis' | Should -Be 'Europe/Lisbon'
        Offered "Get-PseWindow x -Zone 'GMT Stan" | Should -Be "'GMT Standard Time'"
    }
}

Describe 'What is always offered' {
    It 'is the dialects that ship with the module, and those of the estate first' {
        Offered 'Test-PseDialect -Dialect ' | Should -Be 'kelpline', 'oakum'
        $null = New-Item -ItemType Directory "$work/own"
        '{ "name": "my own" }' | Set-Content "$work/own/mine.dialect.json"
        '{ "name": ' | Set-Content "$work/own/bad.dialect.json"
        @{ name = 'test'; dialects = 'own'; sites = @() } | ConvertTo-Json | Set-Content "$work/with.estate.json"
        Offered 'Get-PseController -Estate with.estate.json -Capture x -Dialect ' | Should -Be "'my own'", 'kelpline', 'oakum'
    }

    It 'is the file of a dialect where the word is a path' {
        Offered 'Test-PseDialect -Dialect ./own/m' | Should -Match 'mine\.dialect\.json$'
    }

    It 'is the gates that may be skipped' {
        Offered 'Invoke-PseRefresh -SkipGate ' | Should -Be @([PoeOps.Refresh.GateNames]::Skippable)
        Offered 'Invoke-PseRefresh -SkipGate Window, b' | Should -Be 'Busy', 'Budget'
    }

    It 'is a mishap, its target first' {
        Offered 'Start-PseRehearsal harbour.estate.json -Mishap hall-2' | Should -Be 'hall-2:', 'hall-2/A:'
        Offered 'Start-PseRehearsal harbour.estate.json -Mishap quay-1/2:tr' | Should -Be @('Refused', 'FileNotFound', 'Stalls', 'Damaged', 'WrongFamily', 'LinkLost', 'UnitRestarts' | ForEach-Object { "quay-1/2:Transfer:$_" })
        Offered 'Start-PseRehearsal -Mishap quay-1:connect' | Should -Be 'quay-1:Connect:Hangs', 'quay-1:Connect:Closes'
        Offered 'Start-PseRehearsal -Mishap quay-1/2:connect' | Should -BeNullOrEmpty
        @(Offered 'Start-PseRehearsal -Mishap x:').Count | Should -Be ([PoeOps.Rehearsal.MishapCatalogue]::All.Count)
    }

    It 'is an encoding' {
        Offered 'New-PseDialect -Encoding iso-8859-15' | Should -Be 'iso-8859-15'
        Offered 'Save-PseCapture -Encoding utf-8' | Should -Be 'utf-8'
    }

    It 'is an address whose host key is kept' {
        $key = @{ algorithm = 'ssh-ed25519'; fingerprint = "SHA256:$('a' * 43)"; acceptedUtc = '2026-12-01T22:55:00Z'; acceptedBy = 'gull on quay' }
        @{ hostKeys = @(($key + @{ address = '192.0.2.11'; port = 22 }), ($key + @{ address = 'console.example.org'; port = 10022 })) } | ConvertTo-Json -Depth 3 | Set-Content "$work/keys.json"
        Offered 'Remove-PseHostKey -HostKeyPath keys.json -Address ' | Should -Be "'192.0.2.11'", 'console.example.org'
        Offered 'Get-PseHostKey -HostKeyPath keys.json -Address con' | Should -Be 'console.example.org'
        Offered 'Get-PseHostKey -HostKeyPath none.json -Address ' | Should -BeNullOrEmpty
    }
}
