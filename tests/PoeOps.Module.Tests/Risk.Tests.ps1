# How likely a window is too short for its plan, and the reserve that follows from how sure somebody wants to be.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $estate = "$root/examples/harbour.estate.json"
    $outages = @(Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate $estate |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)

    # One stage of a unit rules its time, as no stage of the example does.
    [IO.File]::WriteAllText("$work/wide.baseline.json", ([IO.File]::ReadAllText("$root/examples/winter.baseline.json") -replace '\.\./module', "$root/module" -replace '"Program": \{ "typical": \d+, "worst": \d+ \}', '"Program": { "typical": 60, "worst": 900 }'))
    $wide = @(Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate $estate |
            Test-PseDrift -Baseline "$work/wide.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'The risks of a plan' {
    It 'are a row for each window, and the same for the plan and for what its file says' {
        $plan = $outages | New-PsePlan -Estate $estate -Path "$work/a.plan.json" -From '2026-12-01T12:00:00Z' -AcceptLifeSafety quay-1/2 -WarningAction SilentlyContinue
        $plan.Risks.Count | Should -Be $plan.Windows
        ($plan.Risks | Measure-Object Units -Sum).Sum | Should -Be $plan.Units.Count
        $plan.Risks | ForEach-Object { $_.OverrunProbability | Should -BeLessOrEqual $_.OverrunBound; $_.UnitsAt95 | Should -Be $_.Units }
        Get-Content -Raw "$work/a.plan.json" | Should -Not -Match 'overrun|risk'
        ($plan | Select-Object -ExpandProperty Risks | ConvertTo-Json) | Should -Be ($plan.Risks | ConvertTo-Json)
    }
}

Describe 'New-PsePlan -Confidence' {
    It 'sets the reserve of every unit, and more of it for more confidence' {
        $reserves = foreach ($confidence in 0.97, 0.99, 0.999) {
            $plan = $wide | New-PsePlan -Estate $estate -Path "$work/b.plan.json" -From '2026-12-01T12:00:00Z' -AcceptLifeSafety quay-1/2 -Confidence $confidence -Force -WarningAction SilentlyContinue
            $plan.Units.Count | Should -BeGreaterThan 0
            @($plan.Units.ReserveSeconds | Sort-Object -Unique)
        }
        $reserves.Count | Should -Be 3
        $reserves[2] | Should -BeGreaterThan $reserves[1]
        $reserves[1] | Should -BeGreaterThan $reserves[0]
        $said = $wide | New-PsePlan -Estate $estate -Path "$work/c.plan.json" -Confidence 0.99 -WhatIf -Verbose -WarningAction SilentlyContinue 4>&1 | Where-Object { $_ -is [Management.Automation.VerboseRecord] }
        "$said" | Should -BeLike "*A confidence of 0.99 asks for $($reserves[1]) s of reserve.*"
    }

    It 'asks for none at 0.95, since worst cases rarely come together' {
        $plan = $outages | New-PsePlan -Estate $estate -Path "$work/d.plan.json" -AcceptLifeSafety quay-1/2 -Confidence 0.95 -WarningAction SilentlyContinue
        @($plan.Units.ReserveSeconds | Sort-Object -Unique) | Should -Be 0
    }

    It 'is refused beside -Reserve, and where it cannot be; nothing is written' {
        Confirm-OneProblem (Told { $outages | New-PsePlan -Estate $estate -Path "$work/none.plan.json" -Confidence 0.99 -Reserve 0:10 }) 'ReserveTwice' '^Both a reserve \(-Reserve\) and a confidence \(-Confidence\), which sets one, were given\. Give one of the two\.$'
        Confirm-OneProblem (Told { $outages | New-PsePlan -Estate $estate -Path "$work/none.plan.json" -Confidence 95 }) 'ConfidenceImpossible' '^A confidence of 95 was given, and more than 0\.5 and at most 0\.999 was expected\. Write it as a part of 1, such as 0\.99\.$'
        "$work/none.plan.json" | Should -Not -Exist
    }
}
