# The notices of a plan for the people of its sites: a text and a page each, never over another file, nothing under -WhatIf, and none of a stale plan.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $estate = "$work/harbour.estate.json"
    Copy-Item "$root/examples/harbour.estate.json" $estate
    $outages = @(Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate $estate |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)
    $plan = $outages | New-PsePlan -Estate $estate -Path "$work/a.plan.json" -From '2026-12-01T12:00:00Z' -AcceptLifeSafety quay-1/2 -WarningAction SilentlyContinue
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'Export-PseNotice' {
    It 'writes a text and a page for each site, and gives the files' {
        $files = @(Export-PseNotice "$work/notices" -Plan "$work/a.plan.json" -Contact 'the harbour desk, extension 100')
        $files.Count | Should -Be (2 * @($plan.Units.Site | Sort-Object -Unique).Count)
        $files.Name | Should -BeLike '*.notice.*'
        $text = Get-Content -Raw ($files | Where-Object Extension -eq .txt | Select-Object -First 1)
        $text | Should -Match '(?m)^WHOM TO CALL\r?\nthe harbour desk, extension 100$'
        $text | Should -Match 'is for local codes and for licensed practice to say'
        $page = [xml] ((Get-Content -Raw ($files | Where-Object Extension -eq .html | Select-Object -First 1)) -replace '<!DOCTYPE html>')
        $page.html.lang | Should -Be 'en'
        $page.html.body.main.h1 | Should -Be ($text -split '\n')[0]
    }

    It 'warns of a site without a contact, and says so in the notice' {
        $files = @($plan | Export-PseNotice "$work/nobody" -Format Text -WarningVariable warned -WarningAction SilentlyContinue)
        $files.Extension | Sort-Object -Unique | Should -Be '.txt'
        "$($warned[0])" | Should -BeLike "The notice of '*' names nobody to call: give the site a 'contact' in the estate file, or say -Contact."
        Get-Content -Raw $files[0] | Should -Match '(?m)^NOBODY IS NAMED HERE\.'
    }

    It 'keeps what stands there, unless -Force, and writes nothing then or under -WhatIf' {
        $files = @($plan | Export-PseNotice "$work/there" -Format Html -Contact desk)
        Set-Content $files[0] 'mine'
        Confirm-OneProblem (Told { $plan | Export-PseNotice "$work/there" -Contact desk }) 'FileExists' 'notice\.html'
        Get-Content $files[0] | Should -Be 'mine'
        @(Get-ChildItem "$work/there/*.txt").Count | Should -Be 0
        @($plan | Export-PseNotice "$work/there" -Contact desk -Force).Count | Should -Be (2 * $files.Count)
        $plan | Export-PseNotice "$work/whatif" -Contact desk -WhatIf | Should -BeNullOrEmpty
        "$work/whatif" | Should -Not -Exist
    }

    It 'refuses a plan whose estate has changed, and warns of one without units' {
        $empty = @($outages | Where-Object Hops -eq 0) | New-PsePlan -Estate $estate -Path "$work/empty.plan.json" -WarningAction SilentlyContinue
        $empty | Export-PseNotice "$work/none" -WarningVariable warned -WarningAction SilentlyContinue | Should -BeNullOrEmpty
        "$warned" | Should -Be 'The plan has no units, so there is nobody to notify.'
        Add-Content $estate ' '
        Confirm-OneProblem (Told { Export-PseNotice "$work/none" -Plan "$work/a.plan.json" }) 'PlanStale' 'has changed since the plan was made'
        Confirm-OneProblem (Told { $plan | Export-PseNotice "$work/none" }) 'PlanStale'
        "$work/none" | Should -Not -Exist
    }
}
