# What Get-Help says: whole for every cmdlet and parameter, true by what PowerShell itself knows of them, and found wherever the module lies.
BeforeDiscovery {
    Import-Module "$PSScriptRoot/../../PoeOps.psd1"
    $cmdlets = @(Get-Command -Module PoeOps | ForEach-Object {
            $common = [Management.Automation.Cmdlet]::CommonParameters
            @{ Name = $_.Name; Parameters = @($_.Parameters.Keys | Where-Object { $_ -notin $common }) }
        })
    $topics = @(Get-ChildItem "$PSScriptRoot/../../module/en-US/about_*.help.txt" | ForEach-Object { @{ Topic = $_.Name -replace '\.help\.txt$'; File = $_.FullName } })
}

BeforeAll {
    $root = "$(Resolve-Path "$PSScriptRoot/../..")"
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $PSStyle.OutputRendering = 'PlainText'
    $sentence = '^[^a-z].*[.:]$'
    $views = ([xml] (Get-Content -Raw "$root/module/PoeOps.Format.ps1xml")).Configuration.ViewDefinitions.View.ViewSelectedBy.TypeName
    $topicNames = @(Get-ChildItem "$root/module/en-US/about_*.help.txt").Name -replace '\.help\.txt$'

    # Looked up here: Get-Command would search every module on the machine for a name that it does not know.
    $known = @{}
    Get-Command -Module PoeOps | ForEach-Object { $known[$_.Name] = $_ }

    function Paragraphs($Texts) { @($Texts | ForEach-Object { "$($_.Text)".Trim() } | Where-Object { $_ }) }

    # What PowerShell itself knows of a parameter, in the words of the help.
    function Facts([Management.Automation.CmdletInfo] $Command, [string] $Parameter, [object] $Fresh) {
        $real = $Command.Parameters[$Parameter]
        $sets = @($Command.ParameterSets.Parameters | Where-Object Name -EQ $Parameter)
        $by = @(if ($sets.ValueFromPipeline -contains $true) { 'ByValue' }; if ($sets.ValueFromPipelineByPropertyName -contains $true) { 'ByPropertyName' }) -join ', '
        # Who accepts is another one on each machine: that word is the comment's.
        $value = if ($real.SwitchParameter) { $false } elseif ($Parameter -eq 'AcceptedBy') { 'The user of this process' } else { $Fresh.$Parameter }
        [ordered]@{
            required      = "$($sets.IsMandatory -notcontains $false)".ToLowerInvariant()
            pipelineInput = if ($by) { "true ($by)" } else { 'false' }
            aliases       = if ($real.Aliases.Count) { $real.Aliases -join ', ' } else { 'none' }
            defaultValue  = if ($value -is [timespan]) { $value.ToString('c') } elseif ("$value" -eq '') { 'None' } else { $value -join ', ' }
        }
    }

    # The sentences that say what a parameter takes.
    function Limits([Management.Automation.ParameterMetadata] $Real) {
        $type = if ($Real.ParameterType.IsArray) { $Real.ParameterType.GetElementType() } else { $Real.ParameterType }
        $type = if ([Nullable]::GetUnderlyingType($type)) { [Nullable]::GetUnderlyingType($type) } else { $type }
        $words = if ($type.IsEnum) { [enum]::GetNames($type) } else { @($Real.Attributes | Where-Object { $_ -is [ValidateSet] } | ForEach-Object ValidValues) }
        if ($words) { "Accepted values: $($words -join ', ')." }
        $Real.Attributes | Where-Object { $_ -is [ValidateRange] } | ForEach-Object { "Accepted values: $($_.MinRange) to $($_.MaxRange)." }
    }

    # In a process of its own: what Get-Help gives, one line each.
    function AskElsewhere([string] $Command, [string] $ModulePath = $env:PSModulePath) {
        $pwsh = (Get-Process -Id $PID).Path
        [string[]] $arguments = if ((Split-Path -LeafBase $pwsh) -eq 'dotnet') { @("$PSHOME/pwsh.dll") } else { @() }
        $before = $env:PSModulePath
        $env:PSModulePath = $ModulePath
        try { & $pwsh @arguments -NoProfile -NonInteractive -Command $Command } finally { $env:PSModulePath = $before }
    }
}

Describe 'Help of <Name>' -ForEach $cmdlets {
    BeforeAll {
        $command = Get-Command $Name
        $help = Get-Help $Name -Full
        $told = @($help.parameters.parameter)
        $fresh = $command.ImplementingType::new()
    }

    It 'has a synopsis, and a description that begins with it' {
        $help.Synopsis | Should -MatchExactly $sentence -Because 'the first sentence of the summary is the synopsis'
        $help.Synopsis | Should -Not -Match "^\s*$Name"
        $description = @(Paragraphs $help.description)
        $description.Count | Should -BeGreaterThan 0
        $description[0] | Should -BeLike "$([Management.Automation.WildcardPattern]::Escape($help.Synopsis))*"
        $description[-1] | Should -MatchExactly $sentence
    }

    It 'has notes, and links to cmdlets and topics that are there' {
        $notes = @(Paragraphs $help.alertSet.alert)
        $notes.Count | Should -BeGreaterThan 0 -Because 'the remarks of the class are the notes'
        $notes | Should -MatchExactly $sentence
        $links = @($help.relatedLinks.navigationLink.linkText)
        $links.Count | Should -BeGreaterThan 1 -Because 'each seealso of the class is a link'
        $links | Where-Object { $_ -like 'about_*' } | Should -Not -BeNullOrEmpty -Because 'a topic says how the cmdlet fits into the job'
        $links | Should -Not -Contain $Name
        $links | Where-Object { $_ -notlike 'about_*' -and -not $known[$_] } | Should -BeNullOrEmpty
        $links | Where-Object { $_ -like 'about_*' -and $_ -notin $topicNames } | Should -BeNullOrEmpty
    }

    It 'has two examples or more, each with what it gives' {
        $examples = @($help.examples.example)
        $examples.Count | Should -BeGreaterOrEqual 2
        foreach ($example in $examples) {
            $example.code | Should -Match ([regex]::Escape($Name))
            @(Paragraphs $example.remarks)[0] | Should -MatchExactly $sentence -Because $example.code
            $errors = $null
            [Management.Automation.Language.Parser]::ParseInput($example.code, [ref] $null, [ref] $errors) | Out-Null
            $errors | Should -BeNullOrEmpty -Because $example.code
        }
    }

    It 'names what goes in, and what comes out, which has a view' {
        @($help.inputTypes.inputType.type.name).Count | Should -BeGreaterThan 0
        $takes = @($command.ParameterSets.Parameters | Where-Object { $_.ValueFromPipeline -or $_.ValueFromPipelineByPropertyName }).Count -gt 0
        ($help.inputTypes.inputType.type.name -ne 'None').Count -gt 0 | Should -Be $takes
        $given = @($command.OutputType.Type.FullName | Where-Object { $_ -and $_ -ne 'System.Void' } | Sort-Object -Unique)
        $said = @($help.returnValues.returnValue.type.name | Sort-Object)
        $said | Should -Be $(if ($given.Count) { $given } else { 'None' })
        $help.returnValues.returnValue | ForEach-Object { $_.description.Text | Should -MatchExactly $sentence -Because "$($_.type.name) is to be told" }
        $given | Where-Object { $_ -like 'PoeOps.*' -and $_ -notin $views } | Should -BeNullOrEmpty -Because 'every output type has a view'
    }

    It 'has the syntax that Get-Command gives' {
        function Lines([string] $Text) { @($Text -split '\r?\n' | ForEach-Object Trim | Where-Object { $_ } | Sort-Object) }
        Lines ($help.Syntax | Out-String -Width 10000) | Should -BeExactly (Lines (Get-Command $Name -Syntax))
    }

    It 'has every parameter and no other' {
        @($told.name | Sort-Object) | Should -BeExactly @($Parameters | Sort-Object)
    }

    It 'tells what each parameter is' {
        $wrong = foreach ($name in $Parameters) {
            $said = $told | Where-Object name -EQ $name
            $text = @(Paragraphs $said.description)
            if ($text.Count -eq 0 -or @($text -cnotmatch $sentence).Count -gt 0) { "-$name has no text: the comment of its property is its text, in whole sentences" }
            Limits $command.Parameters[$name] | Where-Object { $_ -notin $text } | ForEach-Object { "-$name does not say: $_" }
            $facts = Facts $command $name $fresh
            $facts.Keys | Where-Object { $said.$_ -cne $facts[$_] } | ForEach-Object { "-$name has $_ '$($said.$_)', and PowerShell knows '$($facts[$_])'" }
            $places = @($command.ParameterSets.Parameters | Where-Object Name -EQ $name | ForEach-Object { if ($_.Position -ge 0) { "$($_.Position)" } else { 'named' } })
            if ($said.position -notin $places) { "-$name has position $($said.position), and PowerShell knows $places" }
        }

        $wrong | Should -BeNullOrEmpty
    }

    It 'says what -WhatIf shows and what -Confirm asks' -Skip:('WhatIf' -notin $Parameters) {
        Paragraphs ($told | Where-Object name -EQ WhatIf).description | Should -HaveCount 1 -Because 'the whatif element of the class is its text'
        $texts = @(Paragraphs ($told | Where-Object name -EQ Confirm).description)
        $texts | Should -HaveCount 2 -Because 'the confirm element of the class is its text'
        $texts[0] | Should -Match '^Asks before '
        $impact = (New-Object Management.Automation.CommandMetadata $command).ConfirmImpact
        $texts[1] | Should -Be @{
            Low    = 'It asks where this is given, or where $ConfirmPreference is Low.'
            Medium = 'It asks where this is given, or where $ConfirmPreference is Medium or Low.'
            High   = 'It asks unless -Confirm:$false is given, or $ConfirmPreference is None.'
        }["$impact"]
    }

    It 'shows nothing that was left for later, and nothing of how it was written' {
        $shown = $help | Out-String -Width 10000
        $shown | Should -Not -Match '\{\{|\}\}|(?i)\b(tbd|placeholder|fill in the)\b'
        $shown | Should -Not -Match '</?\w+>\s*</|\b[TPMF]:PoeOps\.|cref=|<c>'
    }
}

Describe 'Topic <Topic>' -ForEach $topics {
    BeforeAll {
        $lines = @(Get-Content $File)
    }

    It 'begins as help wants it' {
        [IO.File]::ReadAllBytes($File)[0..2] | Should -Be 0xEF, 0xBB, 0xBF
        $lines[0..3] | Should -Be 'TOPIC', "    $Topic", '', 'SHORT DESCRIPTION'
        $lines[4] | Should -Match '^    \S'
        $lines | Where-Object { $_ -match "`t|\s$" } | Should -BeNullOrEmpty
    }

    It 'has headings and text that fit 80 columns; what is typed and printed may be longer' {
        $inFile = $false
        $long = foreach ($line in $lines) {
            if ($line -match '^    ----- ') { $inFile = -not $inFile }
            if (-not $inFile -and $line.Length -gt 80 -and $line -match '^(\S|    [^ ])' -and $line -notmatch '^    (\$|[A-Z][a-z]+-Pse|PS> )') { $line }
        }
        $long | Should -BeNullOrEmpty
    }

    It 'names cmdlets and topics that are there' {
        $text = $lines -join "`n"
        $named = @([regex]::Matches($text, '\b[A-Z][a-z]+-Pse[A-Z]\w+').Value | Sort-Object -Unique)
        $named | Where-Object { -not $known[$_] } | Should -BeNullOrEmpty
        @([regex]::Matches($text, '\babout_PoeOps\w*').Value | Sort-Object -Unique) | Where-Object { $_ -notin $topicNames } | Should -BeNullOrEmpty
    }
}

Describe 'What is typed' {
    # Lines that only a real estate, SSH or Windows could run are at least whole commands with parameters that there are.
    It 'in README.md, the topics and the examples has parameters that there are' {
        $readme = @([regex]::Matches((Get-Content -Raw "$root/README.md"), '(?s)```powershell\r?\n(.*?)```') | ForEach-Object { $_.Groups[1].Value }) +
            @([regex]::Matches((Get-Content -Raw "$root/README.md"), '`([A-Z][a-z]+-Pse\w+ [^`]+)`') | ForEach-Object { $_.Groups[1].Value })
        $topic = foreach ($file in Get-ChildItem "$root/module/en-US/about_*.help.txt") {
            $text = (Get-Content -Raw $file) -replace '(?m)(?<=`|\||,)\r?\n\s+(>> )?', ' '
            [regex]::Matches($text, '(?m)^ {4,}(PS> )?(?<line>(\$\w+ = )?[A-Z][a-z]+-Pse[A-Z]\w+ -?[.$@\w''].*)$') | ForEach-Object { $_.Groups['line'].Value } | Where-Object { $_ -notmatch '[a-z]{3,}[.:,;]$|\.\.\.' }
        }
        @($topic).Count | Should -BeGreaterThan 30
        $readme.Count | Should -BeGreaterThan 5
        $wrong = foreach ($line in $readme + $topic + (Get-ChildItem "$root/examples/*.ps1" | Get-Content -Raw)) {
            foreach ($command in [Management.Automation.Language.Parser]::ParseInput($line, [ref] $null, [ref] $null).FindAll({ $args[0] -is [Management.Automation.Language.CommandAst] }, $true)) {
                $cmdlet = $known["$($command.GetCommandName())"]
                if ($cmdlet) {
                    $command.CommandElements | Where-Object { $_ -is [Management.Automation.Language.CommandParameterAst] } | ForEach-Object ParameterName |
                        Where-Object { $name = $_; @($cmdlet.Parameters.Keys | Where-Object { $_ -like "$name*" }).Count -eq 0 } | ForEach-Object { "$($cmdlet.Name) has no -${name}: $line" }
                }
            }
        }

        $wrong | Should -BeNullOrEmpty
    }
}

Describe 'about_PoeOps' {
    It 'leads to every cmdlet and every other topic' {
        $text = Get-Content -Raw "$root/module/en-US/about_PoeOps.help.txt"
        (Get-Command -Module PoeOps).Name | Where-Object { $text -notmatch "\b$_\b" } | Should -BeNullOrEmpty
        $topicNames | Where-Object { $text -notmatch "\b$_\b" } | Should -BeNullOrEmpty
    }
}

Describe 'about_PoeOps_Rehearsal' {
    It 'tells every mishap, as the rehearsal has it' {
        $text = (Get-Content -Raw "$root/module/en-US/about_PoeOps_Rehearsal.help.txt") -replace '\s+', ' '
        [PoeOps.Rehearsal.MishapCatalogue]::All | ForEach-Object { " $($_.Name) ($("$($_.Scope)".ToLowerInvariant())$(if ($_.OnceOnly) { ', once' })) $($_.Sentence) " } | Where-Object { -not $text.Contains($_) } | Should -BeNullOrEmpty
    }
}

Describe 'Get-Help finds' {
    It 'cmdlets and topics where the module is imported by its path' {
        $found = @(AskElsewhere "Import-Module '$root/PoeOps.psd1'; (Get-Help Get-PsePort).Synopsis; Get-Help about_PoeOps* | ForEach-Object Name")
        $found[0] | Should -Be (Get-Help Get-PsePort).Synopsis
        $found | Select-Object -Skip 1 | Sort-Object | Should -Be ($topicNames | Sort-Object)
    }

    It 'cmdlets and topics where the module is installed, before anybody imports it' {
        $place = New-WorkFolder
        New-Item -ItemType Directory "$place/PoeOps" | Out-Null
        Copy-Item -Recurse "$root/PoeOps.psd1", "$root/LICENSE", "$root/module" "$place/PoeOps"
        $found = @(AskElsewhere '(Get-Help Get-PsePort).Synopsis; Get-Help about_PoeOps* | ForEach-Object Name' $place)
        Remove-Item -Recurse -Force $place
        $found[0] | Should -Be (Get-Help Get-PsePort).Synopsis
        $found | Select-Object -Skip 1 | Sort-Object | Should -Be ($topicNames | Sort-Object)
    }
}
