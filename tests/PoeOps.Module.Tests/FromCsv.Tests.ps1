# examples/00-FromCsv.ps1: a list of switches becomes an estate that the module reads, or it is told what is wrong and nothing is written.
BeforeAll {
    $root = "$(Resolve-Path "$PSScriptRoot/../..")"
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $script = "$root/examples/00-FromCsv.ps1"
    $before = Get-Location
    Set-Location $work

    function Convert-List([hashtable] $With = @{}) {
        $told = Told { & $script @With }
        $told | Add-Member Code $LASTEXITCODE -PassThru
    }

    function Read-Estate([string] $Path) {
        $read = [PoeOps.Estate.EstateFile]::Read($Path)
        "$($read.Problems)" | Should -BeNullOrEmpty
        $read.Estate
    }
}

AfterAll {
    Set-Location $before
    Remove-Item -Recurse -Force $work
}

Describe 'A list of switches' {
    It 'becomes an estate of its sites and switches' {
        (Convert-List).Code | Should -Be 0
        $estate = Read-Estate "$work/my.estate.json"
        $estate.Name | Should -Be 'switches'
        $estate.Sites | ForEach-Object { foreach ($one in $_.Switches) { "$($_.Name), $($_.Zone): $($one.Name) $($one.Link) $($one.Address) $($one.TcpPort) $($one.Dialect) $($one.Credential)" } } | Should -Be @(
            Import-Csv "$root/examples/switches.csv" | ForEach-Object { "$($_.Site), $($_.Zone): $($_.Switch) $($_.Link) $($_.Address) $($_.Port) $($_.Dialect) $($_.Credential)" })
        $estate.DefaultRole.RestartSeconds | Should -Be 180
        $estate.Sites.Windows | Should -BeNullOrEmpty
    }

    It 'fits the schema, by a library for schemas' {
        Get-Content -Raw "$work/my.estate.json" | Test-Json -SchemaFile "$root/module/schemas/poeops.estate.schema.json" | Should -BeTrue
        ([uri] (Get-Content -Raw "$work/my.estate.json" | ConvertFrom-Json).'$schema').LocalPath | Should -Be (Join-Path $root module schemas poeops.estate.schema.json)
    }

    It 'serves the cmdlets' {
        $said = Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate "$work/my.estate.json"
        $said.Site | Select-Object -Unique | Should -Be 'cold-store quay'
    }

    It 'may lack what may be left out, and have one switch' {
        Set-Content "$work/one.csv" 'Switch,Site,Zone,Address,Link,Dialect,ClearText', '"dune, 1",Dünen,Etc/UTC,dune-1.example.org,ssh,marram,', 'dune-2,Dünen,Etc/UTC,192.0.2.8,snmp,,', 'dune-3,Dünen,Etc/UTC,192.0.2.9,telnet,marram,true'
        Set-Content "$work/marram.dialect.json" '{ "name": "marram" }'
        (Convert-List @{ Csv = 'one.csv'; Path = 'one.estate.json'; RestartSeconds = 75; Dialects = 'marram.dialect.json' }).Errors | Should -BeNullOrEmpty
        $estate = Read-Estate "$work/one.estate.json"
        $estate.Switches | ForEach-Object { "$($_.Site) $($_.Name) $($_.Port) '$($_.Dialect)' '$($_.Credential)' $($_.ClearText)" } | Should -Be "Dünen dune, 1  'marram' '' False", "Dünen dune-2  '' '' False", "Dünen dune-3  'marram' '' True"
        $estate.DefaultRole.RestartSeconds | Should -Be 75
        $estate.DialectPaths | Should -Be (Join-Path $work marram.dialect.json)
    }

    It 'may have semicolons, UTF-16, blank rows, and columns of its own, which are warned of' {
        Set-Content "$work/semi.csv" -Encoding unicode 'Site;Zone;Switch;Address;Link;Dialect;Remark', 'Kühlhaus;Europe/Lisbon;k-1;192.0.2.1;ssh;kelpline;new', ';;;;;;'
        $all = & $script -Csv 'semi.csv' -Path 'semi.estate.json' -Days Tuesday 3>&1
        "$(($all | Where-Object { $_ -is [Management.Automation.WarningRecord] })[0])" | Should -Be "The column 'Remark' is not known in a list of switches and was not read."
        (Read-Estate "$work/semi.estate.json").Switches | ForEach-Object { "$($_.Site) $($_.Name)" } | Should -Be 'Kühlhaus k-1'
    }

    It 'shows its sites whole, and warns of one that may be mistyped' {
        Set-Content "$work/typo.csv" 'Site,Zone,Switch,Address,Link,Dialect', 'Muellerhaus am langen Kai,Etc/UTC,m-1,192.0.2.1,ssh,kelpline', 'Muellerhaus am langen Kai,Etc/UTC,m-2,192.0.2.2,ssh,kelpline', 'Mullerhaus am langen Kai,Etc/UTC,m-3,192.0.2.3,ssh,kelpline', 'hall 1,Etc/UTC,h-1,192.0.2.4,ssh,kelpline', 'hall 2,Etc/UTC,h-2,192.0.2.5,ssh,kelpline'
        $all = & $script -Csv 'typo.csv' -Path 'typo.estate.json' -Days Tuesday 3>&1
        $warned = @($all | Where-Object { $_ -is [Management.Automation.WarningRecord] })
        "$($warned[0])" | Should -Be "The site 'Mullerhaus am langen Kai' has one switch; the nearest is 'Muellerhaus am langen Kai'. If that is meant, correct the list and make the estate again."
        $warned.Count | Should -Be 2
        $all | Where-Object { $_ -isnot [Management.Automation.WarningRecord] } | Out-String -Width 80 | Should -Match '(?m)^Muellerhaus am langen Kai Etc/UTC +1 +2\s*$'
    }

    It 'has help of its own' {
        $help = Get-Help $script -Full
        $help.Synopsis | Should -BeLike 'From a list of switches*'
        foreach ($name in (Get-Command $script).Parameters.Keys | Where-Object { $_ -notin [Management.Automation.Cmdlet]::CommonParameters }) {
            ($help.parameters.parameter | Where-Object name -eq $name).description.Text | Should -Not -BeNullOrEmpty -Because $name
        }
    }

    It 'gets the window that is given, at each site' {
        (Convert-List @{ Path = 'open.estate.json'; Days = 'Tuesday', 'Thursday'; Opens = '22:30'; Length = 'PT4H'; Attended = $true }).Code | Should -Be 0
        $sites = (Read-Estate "$work/open.estate.json").Sites
        $sites.Count | Should -Be 3
        $sites | ForEach-Object { "$($_.Windows.Days) $($_.Windows.Opens) $($_.Windows.Length) $($_.Windows.Attended)" } | Should -Be (@('Tuesday Thursday 22:30 04:00:00 True') * 3)
    }

    It 'is no list of loads: that is warned of' {
        $warned = & $script -Path "$work/warned.estate.json" 3>&1 | Where-Object { $_ -is [Management.Automation.WarningRecord] }
        "$($warned[0])" | Should -Be 'No site has a window yet, so nothing can be planned: give -Days, or add windows to the estate.'
        "$($warned[1])" | Should -Be 'No load of this estate counts as life-safety yet. Give help points, alarms, door release and their like a role with "lifeSafety": true before you plan.'
    }
}

Describe 'What is wrong' {
    It 'in the list is told with its line, all at once' {
        Set-Content "$work/bad.csv" 'Site,Zone,Switch,Address,Link,Dialect', 'quay,Etc/UTC,quay-1,192.0.2.1,carrier,kelpline', 'quay,Etc/UTC,quay-1,192.0.2.2,ssh,kelpline'
        $told = Convert-List @{ Csv = 'bad.csv'; Path = 'bad.estate.json' }
        $told.Code | Should -Be 1
        $told.Errors.FullyQualifiedErrorId -replace ',.*' | Should -Be 'CsvUnreadable', 'SwitchTwice'
        "$($told.Errors[0])" | Should -Match 'bad\.csv, line 2, Link: ''carrier'' is no kind of link; the nearest is ''telnet''\. Write one of telnet, tcp, ssh, snmp\.$'
    }

    It 'is a zone or a dialect that is not there' {
        Set-Content "$work/bad.csv" 'Site,Zone,Switch,Address,Link,Dialect', 'quay,Europe/Lisbom,q-1,192.0.2.1,ssh,kelplin'
        $told = Convert-List @{ Csv = 'bad.csv'; Path = 'bad.estate.json' }
        $told.Errors.FullyQualifiedErrorId -replace ',.*' | Should -Be 'ZoneUnknown', 'DialectUnknown'
        "$($told.Errors[0])" | Should -Match "bad\.csv, line 2, Zone: No time zone is called 'Europe/Lisbom'; the nearest is 'Europe/Lisbon'\."
        "$($told.Errors[1])" | Should -Match "bad\.csv, line 2, Dialect: No dialect is called 'kelplin'; the nearest is 'kelpline'"
        $told.Code | Should -Be 1
    }

    It 'in a parameter is told once, by the parameter' {
        $told = Convert-List @{ Path = 'bad.estate.json'; Days = 'friday', 'Dienstag'; Opens = '25:00'; Length = '5h' }
        $told.Code | Should -Be 1
        $told.Errors | ForEach-Object { "$_" } | Sort-Object | Should -Be @(
            "-Days: 'Dienstag' is no day of the week; the nearest is 'Tuesday'. Write one of Sunday, Monday, Tuesday, Wednesday, Thursday, Friday, Saturday."
            "-Length: '5h' is no length of time. Write it in the form of ISO 8601, such as PT5H or PT4H30M."
            "-Opens: '25:00' is no time of day. Write it as in 22:30.")
    }

    It 'is a folder that is not there' {
        $told = Convert-List @{ Path = 'nowhere/bad.estate.json' }
        $told.Code | Should -Be 1
        "$($told.Errors)" | Should -Match "bad\.estate\.json: .* cannot be written: its folder does not exist\."
    }

    It 'is told without a line of the script' {
        $pwsh = (Get-Process -Id $PID).Path
        [string[]] $start = if ((Split-Path -LeafBase $pwsh) -eq 'dotnet') { @("$PSHOME/pwsh.dll") } else { @() }
        $shown = & $pwsh @start -NoProfile -NonInteractive -File $script -Csv "$work/none.csv" -Path "$work/bad.estate.json" 2>&1 | Out-String -Width 300
        $shown | Should -Match 'none\.csv'
        $shown | Should -Not -Match 'Stop-With|WriteError|Line \|'
    }

    It 'leaves nothing behind' {
        Get-ChildItem "$work/bad.estate.json*" | Should -BeNullOrEmpty
    }

    It 'replaces no estate unless that is said' {
        Set-Content "$work/mine.estate.json" 'mine'
        $told = Convert-List @{ Path = 'mine.estate.json' }
        $told.Code | Should -Be 1
        "$($told.Errors)" | Should -Be "'$(Join-Path $work mine.estate.json)' exists already, and may hold work of yours. Give another -Path, or -Force to replace it."
        Get-Content "$work/mine.estate.json" | Should -Be 'mine'
        (Convert-List @{ Path = 'mine.estate.json'; Force = $true }).Code | Should -Be 0
        @((Read-Estate "$work/mine.estate.json").Switches).Count | Should -Be 9
    }
}
