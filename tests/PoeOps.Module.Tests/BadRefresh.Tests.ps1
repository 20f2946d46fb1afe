# What keeps a refresh from starting: bad images, journals that cannot be written or relied on, consoles that let nobody in, life-safety loads that
# nobody accepted. Nothing is begun, nothing is half-written; under -WhatIf nothing is written at all.
BeforeDiscovery {
    $images = @(
        @{ What = 'one changed byte'; Id = 'ImageWrongDigest'; Says = '^The image ''kelp-3\.10\.2\.img'' has the SHA-256 [0-9a-f]{64}, and the baseline says [0-9a-f]{64}\.$'; Spoil = { $bytes = [IO.File]::ReadAllBytes($image); $bytes[100] = $bytes[100] -bxor 1; [IO.File]::WriteAllBytes($image, $bytes) } }
        @{ What = 'a byte too many'; Id = 'ImageWrongSize'; Says = '^The image ''kelp-3\.10\.2\.img'' has 40162 bytes, and the baseline says 40161\.$'; Spoil = { [IO.File]::WriteAllBytes($image, [IO.File]::ReadAllBytes($image) + [byte] 0) } }
        @{ What = 'half its bytes'; Id = 'ImageWrongSize'; Says = ' has 20000 bytes, and the baseline says 40161\.$'; Spoil = { [IO.File]::WriteAllBytes($image, [IO.File]::ReadAllBytes($image)[0..19999]) } }
        @{ What = '200 MB'; Id = 'ImageWrongSize'; Says = ' has 209715200 bytes, and the baseline says 40161\.$'; Spoil = { New-LargeFile $image } }
        @{ What = 'no file'; Id = 'ImageNotFound'; Says = '^The image ''kelp-3\.10\.2\.img'' is not at ''.*''\.$'; Spoil = { Remove-Item $image } }
        @{ What = 'a folder of its name'; Id = 'ImageNotFound'; Says = '^The image ''kelp-3\.10\.2\.img'' is not at ''.*''\.$'; Spoil = { Remove-Item $image; New-Item -ItemType Directory $image | Out-Null } }
    )

    $journals = @(
        @{ Why = 'its folder is not there'; Name = 'none/night.jsonl'; Id = 'JournalNotWritable'; Says = ' cannot be written: its folder does not exist\. Check that the folder exists' }
        @{ Why = 'its folder is a file'; Name = 'poem.txt/night.jsonl'; Id = 'JournalNotWritable'; Says = ' cannot be written: its folder does not exist\.' }
        @{ Why = 'it is a folder'; Name = 'folder'; Id = 'JournalNotWritable'; Says = ' cannot be written: a folder stands there\.' }
        @{ Why = 'it is another file'; Name = 'poem.txt'; Id = 'JournalUnreadable'; Says = ', line 1: .* is no .*\.' }
        @{ Why = 'it is the plan'; Name = 'all.plan.json'; Id = 'JournalUnreadable'; Says = ', line 1: The file ''.*'' is no journal: no line at its start is an entry\. Name a journal, or a file that is not there yet; this one is left as it is\.$' }
        @{ Why = 'a line of it was changed'; Name = 'changed.jsonl'; Id = 'JournalChainBroken'; Says = ', line 3: Line 3 was changed after it was written: its digest does not fit it\.' }
        @{ Why = 'it is 200 MB of nothing'; Name = 'large.jsonl'; Id = 'JournalUnreadable'; Says = ', line 1: The file ''.*'' is no journal' }
    )
    $refused = foreach ($journal in $journals) {
        @{ Way = 'a run' } + $journal
        @{ Way = '-WhatIf' } + $journal
    }

    $broken = @(
        @{ What = 'a changed line'; File = 'changed.jsonl'; Id = 'JournalChainBroken'; Line = 3; Left = 0; Says = 'Line 3 was changed after it was written: its digest does not fit it\. Do not rely on the journal from there on' }
        @{ What = 'a line taken out'; File = 'short.jsonl'; Id = 'JournalChainBroken'; Line = 3; Left = 1; Says = 'Line 3 does not follow the line before it: a line was changed, taken out, put in or moved\.' }
        @{ What = 'a line put in'; File = 'garbage.jsonl'; Id = 'JournalUnreadable'; Line = 3; Left = 0; Says = 'Line 3 is no entry of a journal\. Compare with a copy' }
        @{ What = 'a last line without its end'; File = 'torn.jsonl'; Id = 'JournalTorn'; Line = 4; Left = 1; Says = 'The last line was not written to its end\. A run is writing it, or ' }
    )
}

BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $baseline = "$root/examples/winter.baseline.json"
    $work = New-WorkFolder
    $night = Join-Path $work 'night'
    New-Item -ItemType Directory $night, "$work/folder" | Out-Null
    [IO.File]::WriteAllText("$work/poem.txt", "The tide is out.`nThe tide is in.`n")
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600 -Mishap 'hall-2:LogIn:Refused:2-'
    $controllers = @(Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1', 'hall-2', 'pilot-1')
    $outages = @($controllers | Test-PseDrift -Baseline $baseline | Where-Object Verdict -eq Behind | Measure-PseOutage -WarningAction SilentlyContinue)
    $life = $outages | Where-Object LifeSafetyLoads -gt 0 | Select-Object -First 1
    $other = $outages | Where-Object { $_.Switch -eq 'hall-1' -and $_.LifeSafetyLoads -eq 0 } | Select-Object -First 1

    function PlanOf($Outages, [string] $Name, [string[]] $Accept = @()) {
        $Outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/$Name.plan.json" -AcceptLifeSafety $Accept -WarningAction SilentlyContinue | Out-Null
        "$work/$Name.plan.json"
    }

    function FirmwareNow {
        @(Get-PseController -Estate $rehearsal.EstatePath -Switch 'hall-1' | ForEach-Object { "$($_.UnitId) $($_.Firmware)" })
    }

    # A journal of a run that was refused at its first gate, and what becomes of it in bad hands.
    $plan = PlanOf @($life, $other) 'all'
    Invoke-PseRefresh -Plan $plan -ImageFolder $night -Journal "$work/good.jsonl" -Confirm:$false -WarningAction SilentlyContinue | Out-Null
    $lines = [IO.File]::ReadAllLines("$work/good.jsonl")
    $last = $lines.Count - 1
    [IO.File]::WriteAllLines("$work/changed.jsonl", [string[]] ($lines[0..1] + $lines[2].Replace('"utc":"20', '"utc":"19') + $lines[3..$last]))
    [IO.File]::WriteAllLines("$work/short.jsonl", [string[]] ($lines[0..1] + $lines[3..$last]))
    [IO.File]::WriteAllLines("$work/garbage.jsonl", [string[]] ($lines[0..1] + 'somebody wrote here' + $lines[2..$last]))
    [IO.File]::WriteAllText("$work/torn.jsonl", $lines[0..3] -join "`n")
    [IO.File]::WriteAllText("$work/empty.jsonl", '')
    New-LargeFile "$work/large.jsonl"
    $firmware = FirmwareNow
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'An image' {
    BeforeEach {
        $folder = Join-Path $night 'images'
        Copy-Item -Recurse "$root/examples/images" $folder
        $image = Join-Path $folder 'kelp-3.10.2.img'
        & $Spoil
    }

    AfterEach {
        Remove-Item -Recurse -Force "$night/*"
    }

    It 'with <What> is <Id> to Test-PseImage, and the others are whole' -ForEach $images {
        $result = Told { Test-PseImage -Path $folder -Baseline $baseline }
        $result.Errors | Should -BeNullOrEmpty
        $bad = @($result.Rows | Where-Object { -not $_.Good })
        $bad.File | Should -Be 'kelp-3.10.2.img'
        "$($bad.Problem.Id)" | Should -Be $Id
        $bad.Reason | Should -Match $Says
        "$($bad.Problem)" | Should -Match "^$([regex]::Escape($image)): .*\. \p{Lu}.*\.$"
        $result.Rows.Count | Should -BeGreaterThan 3
        (Told { Test-PseImage -Path $folder -Baseline $baseline -Quiet }).Rows | Should -Be $false
        $result.Seconds | Should -BeLessThan 60
    }

    It 'with <What> refuses its units with <Id>; no console is asked, and the journal says so' -ForEach $images {
        $result = Told { Invoke-PseRefresh -Plan $plan -ImageFolder $folder -Journal "$night/night.jsonl" -Confirm:$false }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows.Count | Should -Be 2
        $result.Rows | ForEach-Object { "$($_.Outcome) $($_.ProblemId)" } | Should -Be @("Refused $Id", "Refused $Id")
        $result.Rows[0].Reason | Should -Match $Says
        $entries = @(Get-PseJournal "$night/night.jsonl" -ErrorAction Stop)
        @($entries | ForEach-Object { "$($_.Kind)" })[0, -1] | Should -Be 'RunBegan', 'RunEnded'
        $entries.Kind | Should -Not -Contain 'Begin'
        @(Get-ChildItem -Force $night).Name | Sort-Object | Should -Be 'images', 'night.jsonl'
    }

    It 'with <What> is told by -WhatIf as well, and nothing is written' -ForEach $images[0, 4] {
        $before = Listing $work
        $result = Told { Invoke-PseRefresh -Plan $plan -ImageFolder $folder -Journal "$night/night.jsonl" -WhatIf }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.Outcome) $($_.ProblemId)" } | Should -Be @("Refused $Id", "Refused $Id")
        Listing $work | Should -Be $before
    }

    It 'in a folder that is not there is told once, before anything is written (<How>)' -ForEach @(@{ How = 'a run'; Spoil = { } }, @{ How = '-WhatIf'; Spoil = { } }) {
        $before = Listing $work
        $with = if ($How -eq '-WhatIf') { @{ WhatIf = $true } } else { @{ Confirm = $false } }
        $result = Told { Invoke-PseRefresh -Plan $plan -ImageFolder "$folder/nowhere" -Journal "$night/night.jsonl" @with }
        Confirm-OneProblem $result 'FileNotFound' "The folder of images '.*nowhere' does not exist\."
        $result.Rows | Should -BeNullOrEmpty
        Listing $work | Should -Be $before
    }

    It 'that the baseline does not name is told as ImageNotFound' -ForEach @{ Spoil = { } } {
        $result = Told { Test-PseImage -Path "$work/poem.txt" -Baseline $baseline }
        $result.Errors | Should -BeNullOrEmpty
        "$($result.Rows.Problem.Id)" | Should -Be 'ImageNotFound'
        $result.Rows.Reason | Should -Be 'The baseline names no image ''poem.txt''.'
    }
}

Describe 'A journal' {
    It 'refuses <Way> with <Id>, and nothing is written: <Why>' -ForEach $refused {
        $before = Listing $work
        $result = Told { if ($Way -eq 'a run') { Invoke-PseRefresh -Plan $plan -ImageFolder "$root/examples/images" -Journal "$work/$Name" -Confirm:$false } else { Invoke-PseRefresh -Plan $plan -ImageFolder "$root/examples/images" -Journal "$work/$Name" -WhatIf } }
        Confirm-OneProblem $result $Id $Says
        $result.Rows | Should -BeNullOrEmpty
        $result.Seconds | Should -BeLessThan 60
        Listing $work | Should -Be $before
    }

    It 'that goes away under a run ends it before the next unit, and no unit was begun' {
        $journal = "$night/gone.jsonl"
        $result = Told { Invoke-PseRefresh -Plan $plan -ImageFolder $night -Journal $journal -Confirm:$false | ForEach-Object { $_; Remove-Item $journal } }
        Confirm-OneProblem $result 'JournalNotWritable' ' cannot be written: The file is no longer there\.'
        $result.Rows.Outcome | Should -Be 'Refused'
        Get-ChildItem -Force $night | Should -BeNullOrEmpty
    }

    It 'is named with the line by Get-PseJournal as <Id>, and what can be read is: <What>' -ForEach $broken {
        $result = Told { Get-PseJournal "$work/$File", "$work/good.jsonl" }
        Confirm-OneProblem $result $Id "^$([regex]::Escape("$work/$File")), line ${Line}: $Says"
        $result.Errors[0].Exception.Problem.Line | Should -Be $Line
        $read = if ($Id -eq 'JournalTorn') { $Line - 1 } else { $lines.Count - $Left }
        $result.Rows.Count | Should -Be ($read + $lines.Count)
    }

    It 'that is none is told by Get-PseJournal as <Id>: <Name>' -ForEach @(
        @{ Name = 'none.jsonl'; Id = 'FileNotFound'; Says = ' does not exist\. Check the path' }
        @{ Name = 'none/*.jsonl'; Id = 'FileNotFound'; Says = '^No file fits ''.*''\.' }
        @{ Name = 'folder'; Id = 'FileUnreadable'; Says = ' cannot be read: ' }
        @{ Name = 'empty.jsonl'; Id = 'FileEmpty'; Says = ' has no content\. Name the journal of a run that has begun\.$' }
        @{ Name = 'all.plan.json'; Id = 'JournalUnreadable'; Says = ', line 1: The file ''.*'' is no journal: no line at its start is an entry\.' }
        @{ Name = 'large.jsonl'; Id = 'JournalTorn'; Says = ', line 1: The last line was not written to its end\.' }
    ) {
        $result = Told { Get-PseJournal "$work/$Name", "$work/good.jsonl" }
        Confirm-OneProblem $result $Id $Says
        $result.Rows.Count | Should -Be $lines.Count
        $result.Seconds | Should -BeLessThan 60
    }
}

Describe 'A console that lets nobody in' {
    It 'refuses its unit, nothing is begun, and the next one is looked at' {
        $lockedOut = @($outages | Where-Object Switch -eq 'hall-2')
        $next = @($outages | Where-Object { $_.Switch -eq 'pilot-1' -and $_.LifeSafetyLoads -gt 0 })
        $lockedOut.Count, $next.Count | Should -Be 1, 1
        $result = Told { Invoke-PseRefresh -Plan (PlanOf @($lockedOut + $next) 'locked') -ImageFolder "$root/examples/images" -Journal "$night/locked.jsonl" -Confirm:$false }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.Switch) $($_.Outcome) $($_.ProblemId)" } | Should -Be 'hall-2 Refused LogInRefused', 'pilot-1 Refused LifeSafetyNotAccepted'
        (Get-PseJournal "$night/locked.jsonl" -ErrorAction Stop).Kind | Should -Not -Contain 'Begin'
        Get-ChildItem -Force $night -Filter '*.lock' | Should -BeNullOrEmpty
        Remove-Item -Force "$night/*"
    }
}

Describe '-WhatIf' {
    AfterEach {
        Remove-Item -Recurse -Force "$night/*"
    }

    It 'lets New-PsePlan give the plan and write nothing' {
        $before = Listing $work
        $result = Told { $outages | New-PsePlan -Estate $rehearsal.EstatePath -Path "$night/new.plan.json" -WhatIf }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows.Units | Should -Not -BeNullOrEmpty
        Listing $work | Should -Be $before
    }

    It 'lets New-PsePlan -Force leave the plan that is there' {
        $before = Listing $work
        (Told { $life | New-PsePlan -Estate $rehearsal.EstatePath -Path $plan -Force -WhatIf }).Errors | Should -BeNullOrEmpty
        Listing $work | Should -Be $before
    }

    It 'lets Invoke-PseRefresh change neither a file nor a device: <Why>' -ForEach @(
        @{ Why = 'a new journal'; Name = 'night/new.jsonl' }
        @{ Why = 'a journal that is there'; Name = 'good.jsonl' }
        @{ Why = 'a journal whose last line is torn'; Name = 'torn.jsonl' }
    ) {
        $before = @(Listing $work) + (Listing (Split-Path $rehearsal.EstatePath)) + (Listing "$root/examples/images")
        $result = Told { Invoke-PseRefresh -Plan $plan -ImageFolder "$root/examples/images" -Journal "$work/$Name" -WhatIf }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.Outcome) $($_.ProblemId) $($_.Reason)" } | Sort-Object -Unique | Should -Be 'Skipped NotConfirmed Every gate is open; nothing was done.'
        @(Listing $work) + (Listing (Split-Path $rehearsal.EstatePath)) + (Listing "$root/examples/images") | Should -Be $before
        FirmwareNow | Should -Be $firmware
    }
}

Describe 'Life-safety loads' {
    It 'keep an unattended run from their unit where the plan does not list it' {
        $result = Told { Invoke-PseRefresh -Plan (PlanOf $life 'unlisted') -ImageFolder "$root/examples/images" -Journal "$night/unlisted.jsonl" -Confirm:$false }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.UnitId) $($_.Outcome) $($_.ProblemId)" } | Should -Be "$($life.UnitId) Refused LifeSafetyNotAccepted"
        $result.Rows[0].Reason | Should -Match '^\d+ life-safety loads? go(es)? dark\. .* This run asks nobody, and nobody accepted them in the plan: '
        (Get-PseJournal "$night/unlisted.jsonl" -ErrorAction Stop).Kind | Should -Not -Contain 'Begin'
        FirmwareNow | Should -Be $firmware
    }

    It 'keep it as well where the question is switched off for the whole session' {
        $ConfirmPreference = 'None'
        $result = Told { Invoke-PseRefresh -Plan "$work/unlisted.plan.json" -ImageFolder "$root/examples/images" -Journal "$night/session.jsonl" }
        $result.Rows | ForEach-Object { "$($_.Outcome) $($_.ProblemId)" } | Should -Be 'Refused LifeSafetyNotAccepted'
        FirmwareNow | Should -Be $firmware
    }

    It 'are warned about where a unit is accepted that is not among those planned' {
        $warnings = @($other | New-PsePlan -Estate $rehearsal.EstatePath -Path "$night/other.plan.json" -AcceptLifeSafety 'hall-1/77' 3>&1 | Where-Object { $_ -is [Management.Automation.WarningRecord] })
        "$warnings" | Should -Match '^hall-1/77 is named as accepted and is not among the units that came in; compare its name with theirs\.'
    }

    It 'let it run where the plan lists it by name' {
        $accepting = PlanOf $life 'listed' @("$($life.UnitId)")
        $result = Told { Invoke-PseRefresh -Plan $accepting -ImageFolder "$root/examples/images" -Journal "$night/listed.jsonl" -Confirm:$false }
        $result.Errors | Should -BeNullOrEmpty
        $result.Rows | ForEach-Object { "$($_.UnitId) $($_.Outcome)" } | Sort-Object -Unique | Should -Be "$($life.UnitId) Done"
        @(Get-PseJournal "$night/listed.jsonl" -ErrorAction Stop | Where-Object Kind -eq 'Begin').Count | Should -Be $result.Rows.Count
        FirmwareNow | Should -Not -Be $firmware
        Get-ChildItem -Force $night -Filter '*.lock' | Should -BeNullOrEmpty
    }
}
