# The calendar of a plan: from its file and from the pipeline, written whole, never over another file, nothing under -WhatIf; and what a later plan drops.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $estate = "$work/harbour.estate.json"
    Copy-Item "$root/examples/harbour.estate.json" $estate
    $outages = @(Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate $estate |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)
    $plan = $outages | New-PsePlan -Estate $estate -Path "$work/a.plan.json" -From '2036-12-01T12:00:00Z' -AcceptLifeSafety quay-1/2 -WarningAction SilentlyContinue

    function Unfolded([string] $Path) { [IO.File]::ReadAllText($Path) -replace "`r`n " -split "`r`n" }
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'Export-PseCalendar' {
    It 'writes an event for each window, and gives its file' {
        $file = Export-PseCalendar "$work/a.ics" -Plan "$work/a.plan.json"
        $file.FullName | Should -Be (Join-Path $work 'a.ics')
        $lines = Unfolded $file.FullName
        @($lines -eq 'BEGIN:VEVENT').Count | Should -Be $plan.Windows
        @($lines -like 'DTSTART:*') | Should -Be @($plan.Units | ForEach-Object { 'DTSTART:{0:yyyyMMddTHHmmssZ}' -f $_.WindowOpensUtc } | Select-Object -Unique)
        "$($lines -like 'DESCRIPTION:*')" | Should -Match 'CAUTION: \d+ life-safety loads? (go|goes) dark'
    }

    It 'takes a plan from the pipeline, and the same plan gives the same bytes' {
        $plan | Export-PseCalendar "$work/b.ics" | Should -Not -BeNullOrEmpty
        (Get-FileHash "$work/b.ics").Hash | Should -Be (Get-FileHash "$work/a.ics").Hash
    }

    It 'cancels the windows of the previous plan that are not used any more' {
        $outages | New-PsePlan -Estate $estate -Path "$work/later.plan.json" -From '2036-12-20T12:00:00Z' -AcceptLifeSafety quay-1/2 -WarningAction SilentlyContinue | Out-Null
        $lines = Unfolded (Export-PseCalendar "$work/later.ics" -Plan "$work/later.plan.json" -Previous "$work/a.plan.json").FullName
        @($lines -eq 'STATUS:CANCELLED').Count | Should -Be $plan.Windows
        @($lines -eq 'STATUS:CONFIRMED').Count | Should -BeGreaterThan 0
        foreach ($uid in @((Unfolded "$work/a.ics") -like 'UID:*')) { $lines | Should -Contain $uid }
        Confirm-OneProblem (Told { Export-PseCalendar "$work/swapped.ics" -Plan "$work/a.plan.json" -Previous "$work/later.plan.json" }) 'PreviousPlanUnfit' 'after the plan'
        "$work/swapped.ics" | Should -Not -Exist
    }

    It 'keeps a file that stands there, unless -Force, and writes none under -WhatIf' {
        Set-Content "$work/there.ics" 'mine'
        Confirm-OneProblem (Told { $plan | Export-PseCalendar "$work/there.ics" }) 'FileExists' 'there\.ics'
        Confirm-OneProblem (Told { $plan | Export-PseCalendar "$work/there.ics" -WhatIf }) 'FileExists' 'there\.ics'
        Get-Content "$work/there.ics" | Should -Be 'mine'
        ($plan | Export-PseCalendar "$work/there.ics" -Force).Length | Should -BeGreaterThan 100
        $plan | Export-PseCalendar "$work/whatif.ics" -WhatIf | Should -BeNullOrEmpty
        "$work/whatif.ics" | Should -Not -Exist
        Confirm-OneProblem (Told { $plan | Export-PseCalendar "$work/none/a.ics" }) 'FileNotWritable'
        Confirm-OneProblem (Told { $plan | Export-PseCalendar $estate -Force }) 'FileExists' 'holds the estate that the plan is made from'
    }

    It 'tells a plan that is none, and warns of one that is stale or empty' {
        Confirm-OneProblem (Told { Export-PseCalendar "$work/none.ics" -Plan "$work/none.plan.json" }) 'FileNotFound'
        $empty = @($outages | Where-Object Hops -eq 0) | New-PsePlan -Estate $estate -Path "$work/empty.plan.json" -WarningAction SilentlyContinue
        $empty | Export-PseCalendar "$work/none.ics" -WarningVariable warned -WarningAction SilentlyContinue | Should -BeNullOrEmpty
        "$warned" | Should -Be 'The plan has no units and no window is cancelled, so there is no event to write.'
        "$work/none.ics" | Should -Not -Exist
        Add-Content $estate ' '
        $plan | Export-PseCalendar "$work/stale.ics" -WarningVariable warned -WarningAction SilentlyContinue | Should -Not -BeNullOrEmpty
        "$warned" | Should -BeLike '*has changed since the plan was made. Make the plan again*'
    }
}
