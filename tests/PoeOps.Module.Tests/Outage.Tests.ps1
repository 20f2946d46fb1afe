# An outage says whether everything comes back: the restart of each unit is simulated within its budget.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $text = Get-Content -Raw "$root/examples/captures/kelpline/cold-1.txt"

    function Measure-Cold([string] $Budget, [switch] $ByLoad) {
        Set-Content "$work/cold-1.txt" ($text -replace '(?m)^(1 +\S+ +\S+ +)260(\.0)?\b', "`${1}$Budget")
        Get-PseController -Capture "$work/cold-1.txt" -Dialect kelpline -Estate "$root/examples/harbour.estate.json" |
            Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Where-Object UnitId -eq 'cold-1/1' |
            Measure-PseOutage -ByLoad:$ByLoad -WarningVariable script:said -WarningAction SilentlyContinue
    }
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'Measure-PseOutage and the budget' {
    It 'says that all come back where they do, though the demand is larger than the budget' {
        $outage = Measure-Cold 260
        "$($outage.BudgetWatts) $($outage.ShortfallWatts) $($outage.RefusedLoads)" | Should -Be '260 26.6 0'
        @($said -match 'do not come back').Count | Should -Be 0
    }

    It 'names the loads that do not, and what would bring them back' {
        $outage = Measure-Cold 120
        $outage.RefusedLoads | Should -BeGreaterThan 0
        @(Measure-Cold 120 -ByLoad | Where-Object Restart -eq Refused).Count | Should -Be $outage.RefusedLoads
        $warning = @($said -match '^cold-1/1: ')
        $warning.Count | Should -Be 1
        $warning[0] | Should -BeLike "cold-1/1: $($outage.RefusedLoads) of 23 loads (port*) do not come back within the unit's budget*What would bring all back*W more supply*"
        "$($outage.Remedies | Where-Object Kind -eq Supply)" | Should -Match '^\d+ W more supply$'
    }

    It 'brings all back with as many watts more as it says' {
        $more = (Measure-Cold 120).Remedies | Where-Object Kind -eq Supply
        (Measure-Cold (120 + $more.Watts)).RefusedLoads | Should -Be 0
        (Measure-Cold (120 + $more.Watts - 1)).RefusedLoads | Should -BeGreaterThan 0
    }
}
