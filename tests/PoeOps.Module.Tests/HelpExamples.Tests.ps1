# Every example that Get-Help shows of a cmdlet, and what stands behind PS> in its topics, typed as it stands there: in a folder of its own with the files that it names, against a rehearsal of the demo harbour
# where it names switches. A refresh is tried first, since its windows close.
BeforeDiscovery {
    Import-Module "$PSScriptRoot/../../PoeOps.psd1"

    # What each example gives: how many objects, of which types; more than can be counted beforehand is some.
    $gives = @{
        'Get-PseController'     = '21 Controller', 'some Format', '7 Controller', '6 Controller', '4 Controller', '1 Controller'
        'Get-PsePort'           = 'some Port', '1 GenericMeasureInfo', 'some GroupInfoNoElement'
        'Test-PseDialect'       = 'some LineReading', '1 DialectCoverage', '1 Boolean: True', '4 ReplayRow'
        'New-PseDialect'        = '1 DialectDraft', '1 DialectDraft, 1 DialectCoverage'
        'Export-PseReport'      = '1 FileInfo', '1 FileInfo', '1 FileInfo', '1 FileInfo', '1 FileInfo', '1 FileInfo'
        'Export-PseCalendar'    = '1 FileInfo', '1 FileInfo'
        'Export-PseNotice'      = '4 FileInfo', '2 FileInfo'
        'Get-PseWindow'         = '20 Window', 'some Window'
        'Save-PseCapture'       = '2 SavedCapture', '1 SavedCapture'
        'Test-PseDrift'         = '21 Drift', '1 Boolean: True', 'some Format'
        'Test-PseImage'         = '5 ImageVerdict', '1 Boolean: True', '5 ImageVerdict'
        'Start-PseImageServer'  = '0', '0'
        'Stop-PseImageServer'   = '0', '0'
        'Measure-PseOutage'     = 'some Outage', 'some LoadOutage', 'some LoadOutage', '1 Outage'
        'New-PsePlan'           = '1 Plan', '1 Plan', 'some WindowRisk', '3 PlannedUnit', '1 Plan', '1 Plan'
        'Start-PseRehearsal'    = '0', '1 RunningRehearsal'
        'Stop-PseRehearsal'     = '0', '0'
        'Invoke-PseRefresh'     = '3 UnitResult', '3 UnitResult', '1 UnitResult'
        'Get-PseJournal'        = 'some JournalEntry', '1 JournalEntry', 'some GroupInfoNoElement'
        'Get-PseHostKey'        = '2 HostKey', '0'
        'Remove-PseHostKey'     = '0', '0'
    }

    # What is told by the way: a draft leaves lines unread, and each is an error of its own.
    $tells = @{ 'Test-PseDialect 1' = 'LineUnread'; 'New-PseDialect 2' = 'LineUnread' }

    $examples = @(foreach ($name in (Get-Command -Module PoeOps).Name | Sort-Object { $_ -ne 'Invoke-PseRefresh' }, { $_ -like 'Stop-*' }, { $_ }) {
            $number = 0
            foreach ($example in (Get-Help $name).examples.example) {
                @{ Name = $name; Number = $number + 1; Code = $example.code; Gives = @($gives[$name])[$number]; Tells = $tells["$name $($number + 1)"] }
                $number++
            }
        })

    # The steps of a topic: the files that it shows, and what is typed with what comes out. about_PoeOps_Dialects and about_PoeOps_Windows have files of their own, Topic.Tests.ps1
    # and WindowList.Tests.ps1.
    $topics = @(foreach ($file in Get-ChildItem "$PSScriptRoot/../../module/en-US/about_*.help.txt" | Where-Object Name -NotIn about_PoeOps_Dialects.help.txt, about_PoeOps_Windows.help.txt) {
            $lines = Get-Content $file
            $steps = @(for ($at = 0; $at -lt $lines.Count; $at++) {
                    if ($lines[$at] -match '^    ----- (?!end of)(?<file>\S+)$') {
                        $name = $Matches.file
                        @{ File = $name; Text = @(while ($lines[++$at] -ne "    ----- end of $name") { $lines[$at] -replace '^    ' }) -join "`n" }
                    }
                    elseif ($lines[$at] -match '^        PS> (?<typed>.*)$') {
                        $typed = @($Matches.typed; while ($lines[$at + 1] -match '^        >> (?<more>.*)$') { $Matches.more; $at++ }) -join "`n"
                        @{ Typed = $typed; Shown = @(while ($lines[$at + 1] -match '^        (?!PS> )\S') { $lines[++$at].Trim() }) -join "`n" }
                    }
                })
            if ($steps) { @{ Topic = $file.Name -replace '\.help\.txt$'; Steps = $steps } }
        })
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $before = Get-Location
    $PSStyle.OutputRendering = 'PlainText'
    $WarningPreference = $ProgressPreference = 'SilentlyContinue'

    function Secret([string] $User, [string] $Password) { [pscredential]::new($User, (ConvertTo-SecureString $Password -AsPlainText -Force)) }

    # The files that the examples name.
    $files = New-Item -ItemType Directory "$work/files"
    Copy-Item -Recurse "$root/examples" $files
    Copy-Item -Recurse "$root/examples/*" $files
    $baseline = "$files/winter.baseline.json"
    [IO.File]::WriteAllLines("$files/quay-1.walk", [string[]] ('.1.3.6.1.2.1.105.1.3.1.1.2.3 = Gauge32: 370', '.1.3.6.1.2.1.105.1.3.1.1.3.3 = INTEGER: 1',
            '.1.3.6.1.2.1.105.1.3.1.1.4.3 = Gauge32: 30', '.1.3.6.1.2.1.105.1.1.1.6.3.5 = INTEGER: 3', '.1.3.6.1.2.1.105.1.1.1.10.3.5 = INTEGER: 5'))
    Set-Content "$files/refresh.log" '[22:41:07] mole-1 :: helm :: refit unit 1 from 192.0.2.5 at 69 with kelp.img', '[22:41:08] Hauling the image aboard.', '[22:41:40] Hauled: 100 %', '[22:41:41] Refit of unit 1 stopped: the image is damaged.'
    $keys = '192.0.2.11', 'console.example.org' | ForEach-Object { @{ address = $_; port = 22; algorithm = 'ssh-ed25519'; fingerprint = "SHA256:$('a' * 43)"; acceptedUtc = '2026-12-01T22:55:00Z'; acceptedBy = 'gull on quay' } }
    @{ hostKeys = $keys } | ConvertTo-Json -Depth 3 | Set-Content "$files/hostkeys.json"

    $r = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 500

    # A night: a plan of two units, of which one is refreshed before the run is stopped; and a plan for the runs of the examples.
    function New-Plan([string[]] $Switch, [string] $Path) {
        Get-PseController -Estate $r.EstatePath -Switch $Switch | Test-PseDrift -Baseline $baseline | Where-Object Verdict -EQ Behind | Measure-PseOutage |
            New-PsePlan -Estate $r.EstatePath -Path $Path -AcceptLifeSafety cold-1/1, pilot-1/A, quay-1/2 | Out-Null
    }

    New-Plan 'cold-1', 'pilot-1' "$files/plan.json"
    Invoke-PseRefresh -Plan "$files/plan.json" -ImageFolder "$files/images" -Journal "$files/night.journal.jsonl" -Confirm:$false | Select-Object -First 1 | Out-Null
    New-Plan 'quay-3', 'hall-1' "$work/next.plan.json"
    Copy-Item "$files/plan.json" "$files/winter.plan.json"
    Copy-Item "$files/plan.json" "$files/old.plan.json"
    Copy-Item "$work/next.plan.json" "$files/new.plan.json"

    # What the examples' variables hold, in the place of a person.
    $c = Secret $r.User $r.Password
    $deep = Secret 'x' $r.ElevationPassword
    $user = Secret $r.SnmpUser $r.SnmpAuthPassword
    $privacy = Secret 'privacy' $r.SnmpPrivPassword
    $controllers = @(Get-PseController -Estate $r.EstatePath)
    $controllers | Select-Object Site, Switch, Unit, Model, Serial, Release, Firmware, Condition, Dialect | Export-Csv -NoTypeInformation "$files/controllers.csv"
    $drift = @($controllers | Test-PseDrift -Baseline $baseline | Where-Object Verdict -EQ Behind)
    $outages = @($drift | Where-Object Switch -In quay-3, hall-1 | Measure-PseOutage)
    New-PseDialect "$files/my.dialect.json" -Capture "$files/captures/kelpline/*.txt" | Out-Null
    $server = Start-PseImageServer "$files/images" -Baseline $baseline -Client 127.0.0.1 -Port 0
    function Get-Credential { $c }
    $PSDefaultParameterValues['*-PseHostKey:HostKeyPath'] = '.\hostkeys.json'

    # Addresses for documentation, and the well-known port, are those of this machine's rehearsal and of a free port; the demo's consoles want a second secret
    # for elevation. Nothing else is changed.
    $snmp = @($r.Switches | Where-Object Name -In hall-1, cold-1 | ForEach-Object { "127.0.0.1:$($_.SnmpPort)" })
    $console = "127.0.0.1:$(($r.Switches | Where-Object Name -EQ pilot-2).Port)"

    function Here([string] $Text) {
        # The windows of the harbour itself: a rehearsal's estate has one for each site, which is open.
        if ($Text -like 'Get-PseWindow *') { return $Text }
        $Text -replace '(?<!examples)\.\\harbour\.estate\.json', "'$($r.EstatePath)'" -replace '192\.0\.2\.7, 192\.0\.2\.8', ($snmp -join ', ') -replace '192\.0\.2\.7:2003', $console `
            -replace 'tftp://192\.0\.2\.5/', "tftp://127.0.0.1:$($server.Port)/" -replace '-Client 192\.0\.2\.11, 192\.0\.2\.12 -Port 6969', '-Client 127.0.0.1 -Port 0' `
            -replace '(Start-PseImageServer .*-Estate \S+)', '$1 -Port 0' -replace '-Credential (\(Get-Credential\)|\$c\b)', '-Credential $1 -ElevationCredential $deep'
    }

    # The objects as the table of the examples has them.
    function Said([object[]] $Objects) {
        $types = @($Objects | Group-Object { ($_.PSObject.TypeNames[0] -split '[.+]')[-1] -replace '^(Format|Group).*Data$|^FormatStartData$', 'Format' } | Sort-Object { [array]::IndexOf($Objects, $_.Group[0]) })
        if ($types.Count -eq 0) { return '0' }
        $value = if ($types[0].Name -eq 'Boolean') { ": $($Objects[0])" }
        ($types | ForEach-Object { "$($_.Count) $($_.Name)$value" }) -join ', '
    }
}

AfterAll {
    Set-Location $before
    $PSDefaultParameterValues.Remove('*-PseHostKey:HostKeyPath')
    Stop-PseImageServer
    Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Topic <Topic>' -ForEach $topics {
    It 'shows what comes out' {
        Set-Location (New-Item -ItemType Directory "$work/$Topic")
        Copy-Item -Recurse "$files/*" .
        $ErrorActionPreference = 'Continue'
        foreach ($step in $Steps) {
            if ($step.File) {
                Set-Content $step.File $step.Text
            }
            else {
                $came = @(. ([scriptblock]::Create($step.Typed)) 2>&1 3>$null | Out-String -Width 200) -join "`n"
                (-split $came) -join ' ' | Should -BeExactly ((-split $step.Shown) -join ' ') -Because "$Topic shows so behind PS> $($step.Typed)"
            }
        }
    }
}

Describe 'Example <Number> of <Name>' -ForEach $examples {
    It 'leaves no error and gives what is expected: <Code>' {
        $Gives | Should -Not -BeNullOrEmpty -Because 'the table at the top of this file says what each example gives'
        Set-Location (New-Item -ItemType Directory "$work/$Name-$Number")
        Copy-Item -Recurse "$files/*" .

        # What an example makes is not there before; the refreshes have a plan that nobody has begun.
        $made = switch ($Name) { 'New-PsePlan' { 'plan.json' } 'New-PseDialect' { 'my.dialect.json' } 'Invoke-PseRefresh' { if ($Code -notmatch '-Resume') { 'night.journal.jsonl' } } }
        $made | ForEach-Object { Remove-Item $_ }
        if ($Name -eq 'Invoke-PseRefresh' -and $Code -notmatch '-Resume') { Copy-Item "$work/next.plan.json" plan.json }
        if ($Name -like 'Stop-PseImageServer') { $s = Start-PseImageServer .\images -Baseline .\winter.baseline.json -Client 127.0.0.1 -Port 0 }
        if ($Name -like 'Stop-PseRehearsal') { $mine = $r; $r = Start-PseRehearsal .\examples\harbour.estate.json }

        # Nobody answers the question here. Whoever runs the tests may have asked for a stop at the first error, which would hide what follows.
        if ($Code -match '-Resume') { $ConfirmPreference = 'None' }
        $ErrorActionPreference = 'Continue'
        $came = @(. ([scriptblock]::Create((Here $Code))) 2>&1 3>$null)
        $errors = @($came | Where-Object { $_ -is [Management.Automation.ErrorRecord] })
        $errors | Where-Object { -not $Tells -or $_.FullyQualifiedErrorId -notlike "$Tells,*" } | ForEach-Object { "$($_.FullyQualifiedErrorId): $_" } | Should -BeNullOrEmpty
        $said = Said @($came | Where-Object { $_ -isnot [Management.Automation.ErrorRecord] })
        if ($Gives -match '^some ') { $said | Should -Match "^[1-9]\d* $($Gives.Substring(5))" } else { $said | Should -Be $Gives }
    }
}
