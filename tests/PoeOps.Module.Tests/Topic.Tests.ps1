# The steps of about_PoeOps_Dialects, each typed as it stands there, against a box that speaks as the topic says. Spaces and line ends aside, what comes
# out is what the topic shows.
BeforeDiscovery {
    $topic = Get-Content (Resolve-Path "$PSScriptRoot/../../module/en-US/about_PoeOps_Dialects.help.txt")
    $from = [array]::IndexOf($topic, 'STEP BY STEP')
    $steps = @()
    for ($at = $from + 1; $topic[$at] -match '^( |$)'; $at++) {
        if ($topic[$at] -match '^    ----- (?!end of)(?<file>\S+)$') {
            $file = $Matches.file
            $text = @(while ($topic[++$at] -ne "    ----- end of $file") { $topic[$at] -replace '^    ' })
            $steps += @{ Name = "file $file"; Command = $null; File = $file; Text = $text; Line = $at }
        }
        elseif ($topic[$at] -match '^        PS> (?<command>.*)$') {
            $command = $Matches.command
            $line = $at + 1
            while ($topic[$at + 1] -match '^        >> (?<more>.*)$') {
                $command += $Matches.more
                $at++
            }

            $shown = @(while ($topic[$at + 1] -match '^(        (?!PS> )|$)') { $topic[++$at].Trim() })
            $steps += @{ Name = "line ${line}: $command"; Command = $command; Shown = $shown -join "`n"; Line = $line }
        }
    }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    . "$PSScriptRoot/Marram.ps1"
    $work = New-WorkFolder
    $topic = Get-Content "$root/module/en-US/about_PoeOps_Dialects.help.txt"
    foreach ($name in 'dune-1.txt', 'marram.dialect.json') {
        $from = [array]::IndexOf($topic, "    ----- $name") + 1
        Set-Content "$work/$name" ($topic[$from..([array]::IndexOf($topic, "    ----- end of $name") - 1)] -replace '^    ')
    }

    $box = [MarramBox]::new((Get-Content "$work/dune-1.txt"))
    $who = [pscredential]::new('gull', (ConvertTo-SecureString 'chalk' -AsPlainText -Force))
    # Commands share their variables, as in one console.
    $console = New-Module { param($who) } -ArgumentList $who
    $before = Get-Location
    Set-Location $work

    function Local([string] $text) {
        $text -replace '192\.0\.2\.7:2003', "127.0.0.1:$($box.Port)" -replace '192\.0\.2\.7', '127.0.0.1' -replace '\b2003\b', $box.Port
    }

    function Flat([string] $text) {
        ($text -replace '\s+', ' ').Trim()
    }
}

AfterAll {
    Set-Location $before
    $box.Dispose()
    Remove-Item -Recurse -Force $work
}

Describe 'about_PoeOps_Dialects, step by step' {
    It 'has steps' -ForEach @{ Count = @($steps).Count } {
        $Count | Should -Be 16
    }

    It '<Name>' -ForEach $steps {
        if ($null -eq $Command) {
            Set-Content $File (Local ($Text -join "`n"))
        }
        else {
            $came = . $console ([scriptblock]::Create((Local $Command))) | Out-String -Width 200
            Flat ($came -replace [regex]::Escape("$(Join-Path (Join-Path $work 'captures') 'x')".TrimEnd('x'))) | Should -BeExactly (Flat $Shown)
        }
    }
}
