# Get-PseController -ThrottleLimit: many switches side by side, one that fails, one that is slow, and an end in the middle.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 100
    $one = @(Get-PseController -Estate $rehearsal.EstatePath)

    # A port that takes connections and says nothing; and two that refuse them.
    $silent = [Net.Sockets.TcpListener]::new([Net.IPAddress]::Loopback, 0)
    $silent.Start()
    $refusing = @(1, 2 | ForEach-Object { [Net.Sockets.TcpListener]::new([Net.IPAddress]::Loopback, 0) })
    $refusing.Start()
    $refused = @($refusing | ForEach-Object { $_.LocalEndpoint.Port })
    $refusing.Stop()

    # A copy of the rehearsal's estate in which some switches are at other ports; in real time, what is silent is so for long.
    function New-Estate([string] $Path, [hashtable] $Ports, [switch] $RealTime) {
        $estate = Get-Content -Raw $rehearsal.EstatePath | ConvertFrom-Json
        $estate.sites.switches | Where-Object { $Ports[$_.name] } | ForEach-Object { $_.port = $Ports[$_.name] }
        if ($RealTime) { $estate.PSObject.Properties.Remove('rehearsal') }
        $estate | ConvertTo-Json -Depth 30 | Set-Content $Path
        $Path
    }

    # The reading in a runspace of its own, which can be stopped as Ctrl+C stops it.
    function New-Reading([string] $Estate) {
        $ps = [powershell]::Create()
        $ps.AddScript("param(`$root, `$estate, `$who, `$helm) Import-Module `$root/PoeOps.psd1; Get-PseController -Estate `$estate -ThrottleLimit 16 -Credential `$who -ElevationCredential `$helm").AddArgument("$root").AddArgument($Estate).AddArgument($who).AddArgument($helm) | Out-Null
        $ps
    }

    $who = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))
    $helm = [pscredential]::new('helm', (ConvertTo-SecureString $rehearsal.ElevationPassword -AsPlainText -Force))
    $names = @((Get-Content -Raw $rehearsal.EstatePath | ConvertFrom-Json).sites.switches.name)
}

AfterAll {
    $silent.Stop()
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Reading many switches' {
    It 'gives the same side by side as one after the other: <Command>' -ForEach @(
        @{ Command = 'Get-PseController'; Columns = 'UnitId', 'Site', 'Model', 'Serial', 'Firmware', 'Release', 'Condition', 'BudgetWatts', 'DrawWatts', 'ReadingProblems' }
        @{ Command = 'Get-PsePort'; Columns = 'PortId', 'Status', 'PdClass', 'AllocatedWatts', 'DrawWatts', 'Load', 'Role', 'LifeSafety' }
    ) {
        $rows = { process { $row = $_; ($Columns | ForEach-Object { "$($row.$_)" }) -join '|' } }
        $told = Told { & $Command -Estate $rehearsal.EstatePath -ThrottleLimit 16 }
        $told.Errors | Should -BeNullOrEmpty
        @($told.Rows | & $rows | Sort-Object) | Should -Be @(& $Command -Estate $rehearsal.EstatePath | & $rows | Sort-Object)
    }

    It 'keeps the order of the estate one after the other' {
        @($one | ForEach-Object Switch | Select-Object -Unique) | Should -Be $names
    }

    It 'gives one error for a switch that fails, and the rest' {
        $estate = New-Estate "$work/refused.estate.json" @{ $names[0] = $refused[0]; $names[-1] = $refused[1] }
        $told = Told { Get-PseController -Estate $estate -ThrottleLimit 16 -Credential $who -ElevationCredential $helm }
        @($told.Errors | ForEach-Object { "$($_.FullyQualifiedErrorId) $($_.TargetObject)" } | Sort-Object) |
            Should -Be @(@($names[0], $names[-1]) | ForEach-Object { "ConnectFailed,PoeOps.Cmdlets.Commands.GetPseControllerCommand $_" } | Sort-Object)
        @($told.Rows.Switch | Select-Object -Unique | Sort-Object) | Should -Be @($names[1..($names.Count - 2)] | Sort-Object)
    }

    It 'gives the rest while one is silent, and ends within a moment when it is stopped' {
        $estate = New-Estate "$work/silent.estate.json" @{ $names[0] = $silent.LocalEndpoint.Port } -RealTime
        $ps = New-Reading $estate
        $output = [Management.Automation.PSDataCollection[psobject]]::new()
        $running = $ps.BeginInvoke([Management.Automation.PSDataCollection[psobject]]::new(), $output)
        $wanted = @($one | Where-Object Switch -ne $names[0]).Count
        $watch = [Diagnostics.Stopwatch]::StartNew()
        while ($output.Count -lt $wanted -and $watch.Elapsed.TotalSeconds -lt 25) { Start-Sleep -Milliseconds 50 }
        $output.Count | Should -Be $wanted -Because "the others came while $($names[0]) said nothing"
        $running.IsCompleted | Should -BeFalse

        # Left to itself it would wait for the silent one for half a minute.
        $watch.Restart()
        $ps.Stop()
        $watch.Elapsed.TotalSeconds | Should -BeLessThan 10
        $ps.InvocationStateInfo.State | Should -Be 'Stopped'
        $ps.Streams.Error.Count | Should -Be 0
        $ps.Dispose()
    }

    It 'ends when nobody downstream wants more' {
        $estate = New-Estate "$work/first.estate.json" @{ $names[-1] = $silent.LocalEndpoint.Port } -RealTime
        $told = Told { Get-PseController -Estate $estate -ThrottleLimit 16 -Credential $who -ElevationCredential $helm | Select-Object -First 1 }
        $told.Errors | Should -BeNullOrEmpty
        $told.Rows.Count | Should -Be 1
        $told.Seconds | Should -BeLessThan 25
    }

    It 'refuses a limit of <Limit>' -ForEach @(@{ Limit = 0 }, @{ Limit = 257 }) {
        { Get-PseController -Estate $rehearsal.EstatePath -ThrottleLimit $Limit } | Should -Throw -ErrorId 'ParameterArgumentValidationError,PoeOps.Cmdlets.Commands.GetPseControllerCommand'
    }

    It 'says with -Verbose which switch is begun' {
        $lines = @(Get-PseController -Estate $rehearsal.EstatePath -ThrottleLimit 4 -Verbose 4>&1 | Where-Object { $_ -is [Management.Automation.VerboseRecord] } | ForEach-Object { "$_" } | Where-Object { $_ -like 'Reading *' })
        @($lines | Sort-Object) | Should -Be @($names | ForEach-Object { "Reading $_ at 127.0.0.1." } | Sort-Object)
    }
}
