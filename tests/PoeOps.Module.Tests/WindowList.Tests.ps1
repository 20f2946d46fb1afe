# Get-PseWindow, what it says of windows that cannot be, and the topic about windows, whose lines are typed as they stand there.
BeforeDiscovery {
    $topic = Get-Content (Resolve-Path "$PSScriptRoot/../../module/en-US/about_PoeOps_Windows.help.txt")
    $steps = @()
    for ($at = 0; $at -lt $topic.Count; $at++) {
        if ($topic[$at] -match '^        PS> (?<command>.*)$') {
            $command = $Matches.command
            while ($topic[$at + 1] -match '^        >> (?<more>.*)$') {
                $command += "`n$($Matches.more)"
                $at++
            }

            $shown = @(while ($topic[$at + 1] -match '^(        (?!PS> )|$)') { $topic[++$at].Trim() })
            $steps += @{ Command = $command; Shown = $shown -join "`n" }
        }
    }
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $PSStyle.OutputRendering = 'PlainText'
    $work = New-WorkFolder
    $harbour = "$root/examples/harbour.estate.json"
    $topic = Get-Content "$root/module/en-US/about_PoeOps_Windows.help.txt"
    $from = [array]::IndexOf($topic, '    ----- lagoon.estate.json') + 1
    $lagoon = $topic[$from..([array]::IndexOf($topic, '    ----- end of lagoon.estate.json') - 1)] -replace '^    ' -join "`n"
    Set-Content "$work/lagoon.estate.json" $lagoon
    $before = Get-Location
    Set-Location $work

    function Utc([int] $Year, [int] $Month, [int] $Day, [int] $Hour = 0, [int] $Minute = 0) { [datetime]::new($Year, $Month, $Day, $Hour, $Minute, 0, [DateTimeKind]::Utc) }
    function Lines($Windows) { @($Windows | ForEach-Object { '{0} {1:yyyy-MM-dd HH:mm}' -f $_.Site, $_.OpensUtc }) }
    # The lagoon with something else in it.
    function With([string] $Right, [string] $Wrong) {
        $lagoon | Should -Match ([regex]::Escape($Right))
        Set-Content "$work/other.estate.json" $lagoon.Replace($Right, $Wrong)
        "$work/other.estate.json"
    }
}

AfterAll {
    Set-Location $before
    Remove-Item -Recurse -Force $work
}

Describe 'about_PoeOps_Windows' {
    It 'has lines to type' -ForEach @{ Count = $steps.Count } {
        $Count | Should -Be 5
    }

    It 'shows what comes of: <Command>' -ForEach $steps {
        $came = . ([scriptblock]::Create($Command)) | Out-String -Width 72
        ($came -replace '\s+', ' ').Trim() | Should -BeExactly ($Shown -replace '\s+', ' ').Trim()
    }
}

Describe 'Get-PseWindow -Zone' {
    BeforeAll {
        $from = Utc 2026 10 20
        $own = @(Get-PseWindow $harbour -From $from -Count 30 -IncludeFrozen)
    }

    It 'shows the local times of that zone, <Zone>, and changes nothing else' -ForEach @(@{ Zone = 'Asia/Tokyo' }, @{ Zone = 'Tokyo Standard Time' }) {
        $there = @(Get-PseWindow $harbour -From $from -Count 30 -IncludeFrozen -Zone $Zone)
        Lines $there | Should -Be (Lines $own)
        @($there.Zone | Sort-Object -Unique) | Should -Be $Zone
        # Japan is nine hours ahead of UTC the whole year (IANA time zone database, Asia/Tokyo).
        foreach ($window in $there) {
            $window.OpensLocal | Should -Be $window.OpensUtc.AddHours(9)
            $window.ClosesLocal | Should -Be $window.ClosesUtc.AddHours(9)
        }

        @($there.WrittenLocal) | Should -Be @($own.WrittenLocal)
        @($there.LocalTime) | Should -Be @($own.LocalTime)
    }

    It 'says of a local time that comes twice or never by whose clocks' {
        $set = @{ name = 'clocks'; roles = @(@{ name = 'load'; restartSeconds = 60; default = $true }); sites = @(@{ name = 'pier'; zone = 'Europe/Berlin'; windows = @(@{ days = @('Sunday'); opens = '02:30'; length = 'PT2H' }); switches = @() }) }
        $set | ConvertTo-Json -Depth 6 | Set-Content "$work/clocks.estate.json"
        # Berlin: clocks go back on 25 October 2026 at 03:00 and forward on 29 March 2026 at 02:00 (IANA time zone database).
        (Get-PseWindow "$work/clocks.estate.json" -From (Utc 2026 10 24) -Count 1).Note | Should -Be '02:30 comes twice; this is the first.'
        (Get-PseWindow "$work/clocks.estate.json" -From (Utc 2026 10 24) -Count 1 -Zone Etc/UTC).Note | Should -Be '02:30 in Europe/Berlin comes twice; this is the first.'
        (Get-PseWindow "$work/clocks.estate.json" -From (Utc 2026 3 28) -Count 1 -Zone Etc/UTC).Note | Should -Be '02:30 in Europe/Berlin does not come; moved forward by 60 min.'
    }

    It 'refuses a zone that does not exist, and names the nearest' {
        Confirm-OneProblem (Told { Get-PseWindow $harbour -Zone Europe/Berln }) ZoneUnknown "^No time zone is called 'Europe/Berln'; the nearest is 'Europe/Berlin'\."
    }
}

Describe 'Get-PseWindow' {
    It 'merges the windows of all sites in order of opening, twenty of them together' {
        $windows = @(Get-PseWindow $harbour -From (Utc 2026 12 1 12))
        $windows.Count | Should -Be 20
        $windows[0] | Should -BeOfType PoeOps.Calendar.Window
        Lines $windows[0..4] | Should -Be @('pilot station 2026-12-01 22:00', 'cold-store quay 2026-12-01 22:00', 'ferry hall 2026-12-01 22:30', 'pilot station 2026-12-02 22:00', 'ferry hall 2026-12-02 22:30')
        @($windows.OpensUtc | Sort-Object) | Should -Be @($windows.OpensUtc)
    }

    It 'says when in local time and UTC, how long, and whether somebody is there' {
        $one = Get-PseWindow $harbour -Site 'PILOT station' -From (Utc 2026 12 1) -Count 1
        '{0:s} {1:s} {2:s} {3:s} {4} {5} {6}' -f $one.OpensLocal, $one.ClosesLocal, $one.OpensUtc, $one.ClosesUtc, $one.Length, $one.Attended, $one.Zone |
            Should -Be '2026-12-01T21:00:00 2026-12-02T01:00:00 2026-12-01T22:00:00 2026-12-02T02:00:00 04:00:00 True Atlantic/Azores'
        $one.OpensUtc.Kind | Should -Be Utc
    }

    It 'takes a time without a zone as one of this machine' {
        $utc = (Utc 2026 12 1 22 30).ToUniversalTime()
        $local = [datetime]::SpecifyKind($utc.ToLocalTime(), 'Unspecified')
        Lines (Get-PseWindow $harbour -From $local -Count 3) | Should -Be (Lines (Get-PseWindow $harbour -From $utc -Count 3))
    }

    It 'begins now by the clock of the estate' {
        $rehearsed = $lagoon.Replace('"name": "Lagoon",', '"name": "Lagoon", "rehearsal": { "speed": 1, "machineStartUtc": "2026-01-01T00:00:00Z", "startUtc": "2100-01-01T00:00:00Z" },')
        Set-Content "$work/clock.estate.json" $rehearsed
        (Get-PseWindow "$work/clock.estate.json" -Count 1).OpensUtc.Year | Should -BeGreaterOrEqual 2100
        (Get-PseWindow "$work/lagoon.estate.json" -Count 1).ClosesUtc | Should -BeGreaterThan ([datetime]::UtcNow)
    }

    It 'takes names and patterns of sites, and tells of each that fits none' {
        (Get-PseWindow $harbour -Site '*quay', 'ferry hall' -From (Utc 2026 12 1) -Count 9).Site | Sort-Object -Unique | Should -Be @('cold-store quay', 'ferry hall')
        $told = Told { Get-PseWindow $harbour -Site 'ferry hell', 'pilot station' -From (Utc 2026 12 1) -Count 2 }
        Confirm-OneProblem $told 'NotInEstate' "^The estate 'Demo harbour' has no site 'ferry hell'; the nearest is 'ferry hall'\. Name sites as the estate file does; case makes no difference\.$"
        $told.Rows.Site | Should -Be @('pilot station', 'pilot station')
    }

    It 'takes what is no pattern for a name' {
        Confirm-OneProblem (Told { Get-PseWindow $harbour -Site 'quay[1' }) 'NotInEstate' "^The estate 'Demo harbour' has no site 'quay\[1'"
        Lines (Get-PseWindow (With '"name": "quay"' '"name": "quay[1"') -Site 'quay[1' -From (Utc 2022 11 14) -Count 1) | Should -Be @('quay[1 2022-11-14 23:00')
    }

    It 'gives no opening that a freeze drops, unless it is asked' {
        $plain = @(Get-PseWindow $harbour -Site 'ferry hall' -From (Utc 2026 12 16 12) -Count 4)
        Lines $plain | Should -Be @('ferry hall 2026-12-16 22:30', 'ferry hall 2027-01-07 22:30', 'ferry hall 2027-01-11 22:30', 'ferry hall 2027-01-12 22:30')
        $all = @(Get-PseWindow $harbour -Site 'ferry hall' -From (Utc 2026 12 16 12) -Count 4 -IncludeFrozen)
        Lines ($all | Where-Object { -not $_.Frozen }) | Should -Be (Lines $plain)
        # Thursday the 17th is open until 03:30 on the first day of the freeze.
        Lines ($all | Where-Object Frozen)[0] | Should -Be @('ferry hall 2026-12-17 22:30')
        @($all | Where-Object Frozen).Count | Should -Be 12
        ($all | Where-Object Frozen | Select-Object -Unique Freeze).Freeze | Should -Be '2026-12-18 until 2027-01-06 (holiday sailings)'
        @($all.OpensUtc | Sort-Object) | Should -Be @($all.OpensUtc)
    }

    It 'says of each opening that a freeze drops why it is none, where more is asked' {
        $said = @(Get-PseWindow .\lagoon.estate.json -From (Utc 2022 11 8 12) -Count 1 -Verbose 4>&1 | Where-Object { $_ -is [Management.Automation.VerboseRecord] } | ForEach-Object { "$_" })
        $said[0] | Should -BeLike "Read the estate '*lagoon.estate.json': 0 switches at 1 site."
        $said[1] | Should -Be 'Found 1 window, and 2 openings that a freeze drops.'
        $said | Select-Object -Skip 2 | Should -Be @(
            "'quay' has no window on 2022-11-08 at 22:30: it is dropped by the freeze 2022-11-08 until 2022-11-13 (regatta)."
            "'quay' has no window on 2022-11-10 at 22:30: it is dropped by the freeze 2022-11-08 until 2022-11-13 (regatta).")
    }

    It 'warns of sites that have no window' {
        $bare = With '"switches": []' '"switches": [] }, { "name": "islet", "zone": "UTC", "switches": []'
        $rows = @(Get-PseWindow $bare -From (Utc 2022 11 14) -Count 1 -WarningVariable said -WarningAction SilentlyContinue)
        Lines $rows | Should -Be @('quay 2022-11-14 23:00')
        "$said" | Should -Be "No window opens within ten years at 'islet'."
    }

    It 'tells of a site in no zone with its place in the file' {
        $odd = With '"switches": []' '"switches": [] }, { "name": "islet", "zone": "Europe/Lisbonn", "switches": []'
        $told = Told { Get-PseWindow $odd -From (Utc 2022 11 14) -Count 1 }
        Confirm-OneProblem $told 'ZoneUnknown' "other\.estate\.json, line \d+, sites\[\d\]\.zone: No time zone is called 'Europe/Lisbonn'; the nearest is 'Europe/Lisbon'\."
        $told.Rows.Count | Should -Be 0
    }

    It 'warns of an estate without sites' {
        Set-Content "$work/none.estate.json" '{ "name": "Bare rock", "roles": [ { "name": "other", "restartSeconds": 60, "default": true } ], "sites": [] }'
        "$(Get-PseWindow "$work/none.estate.json" 3>&1)" | Should -Be "The estate 'Bare rock' has no sites, so no window opens."
    }

    It 'tells of a rule that cannot be, with its line' {
        $told = Told { Get-PseWindow (With '"until": "2022-12-31"' '"until": "2022-10-01"') }
        Confirm-OneProblem $told 'WindowImpossible' "other\.estate\.json, line 15, sites\[0\]\.windows\[2\]\.until: The window opens from 2022-10-03 until 2022-10-01, so it ends before it begins\."
        $told.Rows.Count | Should -Be 0
    }

    It 'takes a count of 1 and more' {
        { Get-PseWindow $harbour -Count 0 } | Should -Throw -ErrorId 'ParameterArgumentValidationError,PoeOps.Cmdlets.Commands.GetPseWindowCommand'
    }

    It 'gives rows that come back from a CSV file' {
        $one = Get-PseWindow $harbour -From (Utc 2026 12 1) -Count 1
        $back = $one | ConvertTo-Csv | ConvertFrom-Csv
        (Get-PseWindow $harbour -Site $back.Site -From (Utc 2026 12 1) -Count 1).OpensUtc | Should -Be $one.OpensUtc
    }
}

Describe 'New-PsePlan and Get-PseWindow' {
    # Clocks went back in Lisbon on 30 October 2022 at 02:00: 01:30 local time is 00:30 and 01:30 UTC.
    It 'take a local time that comes twice for the same, <Choice>' -ForEach @{ Choice = 'First'; Hour = 0 }, @{ Choice = 'Second'; Hour = 1 } {
        $estate = (Get-Content -Raw $harbour).Replace('"name": "cold-store quay",', "`"name`": `"cold-store quay`", `"localTime`": `"$Choice`",").Replace('"days": ["Tuesday", "Thursday"], "opens": "22:00"', '"days": "Sunday", "week": "last", "opens": "01:30"')
        Set-Content "$work/harbour.estate.json" $estate
        $window = Get-PseWindow "$work/harbour.estate.json" -Site 'cold-store quay' -From (Utc 2022 10 20) -Count 1
        $window.OpensUtc | Should -Be (Utc 2022 10 30 $Hour 30)
        $window.LocalTime | Should -Be "${Choice}OfTwo"
        $plan = Get-PseController -Capture "$root/examples/captures/kelpline/cold-1.txt" -Dialect kelpline -Estate "$work/harbour.estate.json" |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate "$work/harbour.estate.json" -Path "$work/plan.json" -From (Utc 2022 10 20) -AcceptLifeSafety cold-1/1 -WhatIf -WarningAction SilentlyContinue
        $plan.Units.Count | Should -BeGreaterThan 0
        $plan.Units[0].WindowOpensUtc | Should -Be $window.OpensUtc
    }
}
