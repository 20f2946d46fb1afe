# What somebody meets who uses the module for the first time: an error is read once, a plan says when it holds nothing, and no plan replaces its estate.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $PSStyle.OutputRendering = 'PlainText'
    $work = New-WorkFolder
    $estate = "$work/harbour.estate.json"
    Copy-Item "$root/examples/harbour.estate.json" $estate
    $outages = @(Get-PseController -Capture "$root/examples/captures/kelpline/quay-1.txt" -Dialect kelpline -Estate $estate |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Measure-PseOutage -WarningAction SilentlyContinue)

    # As PowerShell shows an error, without the frame and the line ends that it adds.
    function Shown($Record) {
        (($Record | Out-String -Width 120) -replace '(?m)^\s*\|?\s+(\|)?', '' -replace '\s+', ' ')
    }
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'An error on the screen' {
    It 'holds its sentence and its advice once' {
        $record = (Told { Get-PseController -Estate "$work/none.json" }).Errors[0]
        $shown = Shown $record
        [regex]::Matches($shown, 'does not exist\.').Count | Should -Be 1
        [regex]::Matches($shown, 'Check the path and where it starts from\.').Count | Should -Be 1
        $record.Exception.Message | Should -Be "$work/none.json: The file '$work/none.json' does not exist. Check the path and where it starts from."
    }

    It 'lists the mishaps once' {
        $record = (Told { Start-PseRehearsal -Estate $estate -Mishap 'quay-1/2:Program:Explodes' }).Errors[0]
        [regex]::Matches((Shown $record), 'Connect:Hangs').Count | Should -Be 1
    }
}

Describe 'A path that leads to no disk' {
    It 'is refused, and nothing is written: <Path> of <Name>' -ForEach @(
        @{ Name = 'Get-PseController'; Path = 'Env:\PATH'; Command = { Get-PseController -Estate $Path }; Says = "leads to what the PowerShell provider 'Environment' holds" }
        @{ Name = 'Export-PseReport'; Path = 'Env:\x.html'; Command = { Export-PseReport $Path -Dialect kelpline -Capture "$root/examples/captures/kelpline/*.txt" }; Says = "leads to what the PowerShell provider 'Environment' holds" }
        @{ Name = 'New-PseDialect'; Path = 'Variable:x'; Command = { New-PseDialect $Path }; Says = "leads to what the PowerShell provider 'Variable' holds" }
        @{ Name = 'Get-PseJournal'; Path = 'zz:\x'; Command = { Get-PseJournal $Path }; Says = 'names a drive that does not exist' }
        @{ Name = 'New-PsePlan'; Path = 'zz:\x.plan.json'; Command = { $outages | New-PsePlan -Estate $estate -Path $Path }; Says = 'names a drive that does not exist' }
        @{ Name = 'Test-PseImage'; Path = 'nobody::x'; Command = { Test-PseImage $Path "$root/examples/winter.baseline.json" }; Says = 'names a PowerShell provider that does not exist' }
    ) {
        Push-Location $work
        try {
            $before = Listing $work
            Confirm-OneProblem (Told $Command) PathNotOnDisk "^The path '$([regex]::Escape($Path))' $Says"
            (Told $Command).Errors[0].ErrorDetails.RecommendedAction | Should -Be 'Give the path of a file or folder on disk; Get-PSDrive -PSProvider FileSystem lists the drives.'
            Listing $work | Should -Be $before
        }
        finally { Pop-Location }
    }

    It 'is one that starts from where PowerShell stands, too' {
        Push-Location Env:\
        try {
            Confirm-OneProblem (Told { Get-PseController -Estate 'x.json' }) PathNotOnDisk "^The path 'x\.json' leads to what"
        }
        finally { Pop-Location }
    }
}

Describe 'A run that nobody is asked about' {
    It 'warns once of the life-safety loads that it is about to darken, and not where it changes nothing' {
        $accepted = @($outages | Where-Object LifeSafetyLoads -GT 0 | ForEach-Object { "$($_.UnitId)" })
        $accepted.Count | Should -BeGreaterThan 0
        $plan = $outages | New-PsePlan -Estate $estate -Path "$work/dark.plan.json" -AcceptLifeSafety $accepted -WarningAction SilentlyContinue
        $plan.LifeSafetyLoads | Should -Be 3
        $run = @{ Plan = "$work/dark.plan.json"; ImageFolder = "$root/examples/images"; Journal = "$work/dark.journal.jsonl"; StopFile = $work; WarningAction = 'SilentlyContinue' }
        $caution = '3 life-safety loads go dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.'
        $null = Invoke-PseRefresh @run -Confirm:$false -WarningVariable warned
        @("$($warned[0])", @($warned -match 'life-safety loads? goe?s? dark').Count) | Should -Be $caution, 1
        $null = Invoke-PseRefresh @run -WhatIf -WarningVariable warned
        @($warned -match 'life-safety loads? goe?s? dark') | Should -BeNullOrEmpty
    }
}

Describe 'A plan of no units' {
    BeforeAll {
        $nothing = @($outages | Where-Object Hops -eq 0)
    }

    It 'is warned about when it is made' {
        $nothing.Count | Should -BeGreaterThan 0
        $plan = $nothing | New-PsePlan -Estate $estate -Path "$work/empty.plan.json" -WarningVariable warnings -WarningAction SilentlyContinue
        $plan.Units.Count | Should -Be 0
        "$($warnings[-1])" | Should -Be "The plan has no units: of the controllers that came in, $($plan.NothingToDo) have nothing to load and $($plan.Obstacles.Count) cannot be planned."
        $plan.NothingToDo + $plan.Obstacles.Count | Should -Be $nothing.Count
    }

    It 'is none where nothing came in at all, and a plan that stands there stays' {
        $null = $outages | New-PsePlan -Estate $estate -Path "$work/good.plan.json" -WarningAction SilentlyContinue
        $before = Listing $work
        foreach ($more in @{}, @{ Force = $true }, @{ Force = $true; WhatIf = $true }) {
            Confirm-OneProblem (Told { Get-PseController -Estate $estate -Switch nobody -ErrorAction SilentlyContinue | Measure-PseOutage | New-PsePlan -Estate $estate -Path "$work/good.plan.json" @more }) NothingToPlan '^Not one outage came in, so no plan was made and ''.*good\.plan\.json'' was not written\.'
        }

        Listing $work | Should -Be $before
        Remove-Item "$work/good.plan.json"
    }

    It 'is warned about when it is to be run' {
        Invoke-PseRefresh -Plan "$work/empty.plan.json" -ImageFolder $work -Journal "$work/night.journal.jsonl" -Confirm:$false -WarningVariable warnings -WarningAction SilentlyContinue | Should -BeNullOrEmpty
        "$warnings" | Should -Be "The plan '$work/empty.plan.json' has no units, so nothing is refreshed."
    }

    It 'is not warned about where it has one' {
        $plan = $outages | New-PsePlan -Estate $estate -Path "$work/full.plan.json" -WarningVariable warnings -WarningAction SilentlyContinue
        $plan.Units.Count | Should -BeGreaterThan 0
        @($warnings) -match 'no units' | Should -BeNullOrEmpty
    }
}

Describe 'The file of a plan' {
    It 'is never the estate: <Say>' -ForEach @(
        @{ Say = 'with -Force'; More = @{ Force = $true } }
        @{ Say = 'with -Force and -WhatIf'; More = @{ Force = $true; WhatIf = $true } }
        @{ Say = 'without -Force'; More = @{} }
    ) {
        $before = Listing $work
        $result = Told { $outages | New-PsePlan -Estate $estate -Path $estate @More }
        Confirm-OneProblem $result 'FileExists' 'holds the estate that the plan is made from, and is never replaced by it\. Give the plan a file of its own\.$'
        Listing $work | Should -Be $before
    }

    It 'is told under -WhatIf when it stands there already, and the plan is shown' {
        Set-Content "$work/there.plan.json" 'mine'
        $result = Told { $outages | New-PsePlan -Estate $estate -Path "$work/there.plan.json" -WhatIf }
        Confirm-OneProblem $result 'FileExists' 'exists already\.'
        $result.Rows.Count | Should -Be 1
        $result.Rows[0].Units.Count | Should -BeGreaterThan 0
        Get-Content "$work/there.plan.json" | Should -Be 'mine'
    }

    It 'is not told under -WhatIf with -Force' {
        Set-Content "$work/there.plan.json" 'mine'
        (Told { $outages | New-PsePlan -Estate $estate -Path "$work/there.plan.json" -WhatIf -Force }).Errors | Should -BeNullOrEmpty
        Get-Content "$work/there.plan.json" | Should -Be 'mine'
    }
}
