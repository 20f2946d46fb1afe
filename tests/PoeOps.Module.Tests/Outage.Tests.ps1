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
        "$($outage.Remedies | Where-Object Kind -eq Supply)" | Should -Match '^\d+(\.\d+)? W more supply$'
    }

    It 'brings all back with as many watts more as it says' {
        $more = (Measure-Cold 120).Remedies | Where-Object Kind -eq Supply
        (Measure-Cold (120 + $more.Watts)).RefusedLoads | Should -Be 0
        (Measure-Cold (120 + $more.Watts - 0.1)).RefusedLoads | Should -BeGreaterThan 0
    }
}

Describe 'Measure-PseOutage -Baseline' {
    It 'gives a controller the verdict that Test-PseDrift gives it, by the spelling of its dialect: <Dialect>' -ForEach @(@{ Dialect = 'kelpline' }, @{ Dialect = 'oakum' }) {
        $controllers = @(Get-PseController -Capture "$root/examples/captures/$Dialect/*.txt" -Dialect $Dialect -Estate "$root/examples/harbour.estate.json" -ErrorAction SilentlyContinue)
        $drifts = @($controllers | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" | Where-Object Verdict -ne Unreadable)
        $measured = @($controllers | Measure-PseOutage -Baseline "$root/examples/winter.baseline.json" -WarningAction SilentlyContinue)
        @($drifts.Verdict | Sort-Object -Unique).Count | Should -BeGreaterThan 1
        foreach ($drift in $drifts) {
            $outage = $measured | Where-Object { "$($_.UnitId)" -eq "$($drift.UnitId)" }
            "$($outage.UnitId) $($outage.Drift.Verdict) $($outage.Drift.Path.Count)" | Should -Be "$($drift.UnitId) $($drift.Verdict) $($drift.Path.Count)"
        }
    }

    It 'compares the rows of a list by the dialect that they name' {
        $row = [pscustomobject]@{ Switch = 's'; Unit = '1'; Port = '1'; Model = 'KL-24'; Release = '7.4'; Firmware = 'kl_3_12_0'; Dialect = 'kelpline' }
        $controller = Get-PseController -Capture "$root/examples/captures/kelpline/cold-1.txt" -Dialect kelpline | Where-Object UnitId -eq 'cold-1/2'
        $row.Model = $controller.Model; $row.Release = $controller.Release; $row.Firmware = $controller.Firmware
        $one = $row | Measure-PseOutage -Baseline "$root/examples/winter.baseline.json" -WarningAction SilentlyContinue
        "$($one.Drift.Verdict)" | Should -Be 'Current'
        $row.Dialect = 'kelpin'
        $told = Told { $row | Measure-PseOutage -Baseline "$root/examples/winter.baseline.json" -WarningAction SilentlyContinue }
        $told.Errors[0].FullyQualifiedErrorId | Should -Be 'DialectUnknown,PoeOps.Cmdlets.Commands.MeasurePseOutageCommand'
    }
}

Describe 'Measure-PseOutage and a list of ports' {
    BeforeAll {
        function Measure-Rows($Rows, [hashtable] $With = @{}) {
            $Rows | Measure-PseOutage @With -WarningVariable script:said -ErrorVariable script:wrong -WarningAction SilentlyContinue -ErrorAction SilentlyContinue
        }
    }

    It 'gives numbers that add up' {
        $outage = Measure-Rows (Import-Csv "$root/examples/ports.csv")
        $outage | Should -BeOfType PoeOps.Outages.Outage
        ($outage, $outage | Measure-Object RestartDemandWatts -Sum).Sum | Should -Be 1535.2
        $wrong.Count | Should -Be 0
    }

    It 'takes the rows of Get-PsePort, also through a file, with the same result' {
        $ports = Get-PsePort -Capture "$root/examples/captures/kelpline/cold-1.txt" -Dialect kelpline -Estate "$root/examples/harbour.estate.json"
        $ports | Export-Csv "$work/ports.csv"
        $budget = @{ n = 'BudgetWatts'; e = { 260 } }
        $direct = Measure-Rows ($ports | Select-Object *, $budget) @{ ByLoad = $true }
        $filed = Measure-Rows (Import-Csv "$work/ports.csv" | Select-Object *, $budget) @{ ByLoad = $true }
        @($direct).Count | Should -BeGreaterThan 20
        ($filed | ForEach-Object { "$($_.PortId) $($_.Restart) $($_.BackSeconds) $($_.GrantedWatts)" }) | Should -Be ($direct | ForEach-Object { "$($_.PortId) $($_.Restart) $($_.BackSeconds) $($_.GrantedWatts)" })
        @(Measure-Rows $ports).Count | Should -BeGreaterThan 0
        $said -match '^The list of ports lacks BudgetWatts' | Should -HaveCount 1
    }

    It 'names a value that cannot be, and leaves its unit out' -ForEach @(
        @{ Column = 'DrawWatts'; Value = 'NaN'; Id = 'WattsUnreadable' }
        @{ Column = 'DrawWatts'; Value = '6,3'; Id = 'WattsUnreadable' }
        @{ Column = 'PdClass'; Value = '9'; Id = 'ClassUnknown' }
        @{ Column = 'Port'; Value = '2'; Id = 'NameTwice' }
    ) {
        $rows = Import-Csv "$root/examples/ports.csv"
        $rows[2].$Column = $Value
        Measure-Rows $rows | Should -BeNullOrEmpty
        $wrong.FullyQualifiedErrorId | Should -Contain "$Id,PoeOps.Cmdlets.Commands.MeasurePseOutageCommand"
        $wrong.FullyQualifiedErrorId | Should -Contain 'ReadingNotClean,PoeOps.Cmdlets.Commands.MeasurePseOutageCommand'
    }

    It 'takes nothing of one row for the next' {
        $rows = @(
            [pscustomobject]@{ Switch = 'a'; Unit = '1'; Port = '1'; PdClass = '4'; BudgetWatts = '20'; LifeSafety = 'True' }
            [pscustomobject]@{ Switch = 'b'; Unit = '1'; Port = '1' })
        $outages = Measure-Rows $rows
        "$($outages[0].BudgetWatts) $($outages[0].RefusedLoads)" | Should -Be '20 1'
        "$($outages[1].BudgetWatts)|$($outages[1].RestartDemandWatts)|$($outages[1].LifeSafetyLoads)" | Should -Be '|15.4|0'
        $said -match 'gives no BudgetWatts of b/1' | Should -HaveCount 1
    }

    It 'says what a baseline lacks, and how the loads come back all the same' {
        $outage = Measure-Rows (Import-Csv "$root/examples/ports.csv") @{ Baseline = "$root/examples/winter.baseline.json" }
        "$($outage.Verdict) $($outage.RefusedLoads) $($outage.DarkSecondsTypical)" | Should -Be 'Unreadable 1 '
        $said -match '^The list of ports lacks Model .*Release .*Firmware' | Should -HaveCount 1
        $said -match 'does not come back' | Should -HaveCount 1
    }

    It 'takes controllers as they are read, and says how a list with other marks is read' {
        $read = Get-PseController -Capture "$root/examples/captures/kelpline/cold-1.txt" -Dialect kelpline
        @(Measure-Rows $read).UnitId | ForEach-Object { "$_" } | Should -Be @($read.UnitId | ForEach-Object { "$_" })
        Measure-Rows ([pscustomobject]@{ 'Switch;Unit;Port' = 'a;1;1' }) | Should -BeNullOrEmpty
        "$($wrong.Exception.Message)" | Should -BeLike "*read the file with -Delimiter ';'.*"
        Measure-Rows ([pscustomobject]@{ Switch = 'a'; Unit = 1 }) | Should -BeNullOrEmpty
        $wrong.FullyQualifiedErrorId | Should -Be 'PortRowUnreadable,PoeOps.Cmdlets.Commands.MeasurePseOutageCommand'
    }

    It 'measures with a budget of nothing as one that cannot be' {
        $rows = Import-Csv "$root/examples/ports.csv" | Select-Object *, @{ n = 'BudgetWatts'; e = { 0 } } -ExcludeProperty BudgetWatts
        (Measure-Rows $rows).RefusedLoads | Should -BeNullOrEmpty
        "$($wrong[0])" | Should -BeLike '*The budget is 0 W, and 47 of its ports were powered.*'
    }

    It 'gives stage times where a baseline is given and the rows say what the unit runs' {
        $rows = Import-Csv "$root/examples/ports.csv" | Select-Object *, @{ n = 'Model'; e = { 'KL-48' } }, @{ n = 'Release'; e = { '7.4' } }, @{ n = 'Firmware'; e = { '3.8.0' } }
        $outage = Measure-Rows $rows @{ Baseline = "$root/examples/winter.baseline.json" }
        $outage.Verdict | Should -Be 'Behind'
        $outage.DarkSecondsTypical | Should -BeGreaterThan 60
    }
}
