# What an import does to the PowerShell that it comes into: nothing but bring its cmdlets, views and types; and Remove-Module takes them away again.
BeforeAll {
    $root = "$(Resolve-Path "$PSScriptRoot/../..")"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    @'
param($Manifest, $To)
$ErrorActionPreference = 'Stop'
function Look {
    $links = @(if ($IsLinux) { [IO.Directory]::GetFiles("/proc/$PID/fd") | ForEach-Object { [IO.FileInfo]::new($_).LinkTarget } })
    # Of each thread; one that has ended meanwhile has none.
    $children = @(if ($IsLinux) {
            foreach ($thread in [IO.Directory]::GetDirectories("/proc/$PID/task")) {
                try { [IO.File]::ReadAllText("$thread/children").Trim() } catch [IO.IOException] { '' }
            }
        })
    # Field 11 of proc(5), ninth behind the name: page faults of children that were waited for. 0 says that there never was one.
    $stat = if ($IsLinux) { -split ([IO.File]::ReadAllText("/proc/$PID/stat") -replace '^.*\) ') }
    [ordered] @{
        Sockets   = @($links -like 'socket:*' | Sort-Object)
        Pipes     = @($links -like 'pipe:*' | Sort-Object)
        Children  = @($children | Where-Object { $_ })
        Waited    = if ($IsLinux) { $stat[8] } else { '0' }
        Variables = @(Get-Variable -Scope Global | ForEach-Object Name | Sort-Object)
        Aliases   = @(Get-Alias | ForEach-Object Name | Sort-Object)
        Functions = @(Get-ChildItem function: | ForEach-Object Name | Sort-Object)
        Drives    = @(Get-PSDrive | ForEach-Object Name | Sort-Object)
        Subscribers = @(Get-EventSubscriber -Force | ForEach-Object SubscriptionId)
        Jobs      = @(Get-Job | ForEach-Object Id)
        Environment = @([Environment]::GetEnvironmentVariables().GetEnumerator() | Where-Object Key -NotIn PSModulePath | ForEach-Object { "$($_.Key)=$($_.Value)" } | Sort-Object)
        Preferences = @(Get-Variable *Preference -Scope Global | ForEach-Object { "$($_.Name)=$($_.Value)" })
        Modules   = @(Get-Module | ForEach-Object Name | Sort-Object)
        Commands  = @(Get-Command -ListImported -CommandType Cmdlet | Where-Object Source -EQ PoeOps | ForEach-Object Name)
        Views     = @(Get-FormatData -PowerShellVersion 7.0 -TypeName PoeOps.* | ForEach-Object TypeNames)
        Types     = @(Get-TypeData -TypeName PoeOps.* | ForEach-Object TypeName)
    }
}
# What looking itself needs is there before the first look that counts.
$before = $said = $after = $gone = $null
$null = Look
$before = Look
$said = @(Import-Module $Manifest *>&1 | ForEach-Object { "$_" })
$after = Look
Remove-Module PoeOps
$gone = Look
@{ Said = $said; Before = $before; After = $after; Gone = $gone } | ConvertTo-Json -Depth 4 | Set-Content $To
'@ | Set-Content "$work/look.ps1"
    $pwsh = (Get-Process -Id $PID).Path
    [string[]] $start = if ((Split-Path -LeafBase $pwsh) -eq 'dotnet') { @("$PSHOME/pwsh.dll") } else { @() }
    $printed = @(& $pwsh @start -NoProfile -NonInteractive -File "$work/look.ps1" "$root/PoeOps.psd1" "$work/looks.json" 2>&1 | ForEach-Object { "$_" })
    "$work/looks.json" | Should -Exist -Because "$printed"
    $looks = Get-Content -Raw "$work/looks.json" | ConvertFrom-Json -AsHashtable
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'An import' {
    It 'says nothing on any stream, and nothing beside them' {
        $printed | Should -BeNullOrEmpty
        $looks.Said | Should -BeNullOrEmpty
    }

    It 'brings its cmdlets and views' {
        $looks.Before.Commands | Should -BeNullOrEmpty
        $looks.After.Commands | Sort-Object | Should -Be ((Import-PowerShellDataFile "$root/PoeOps.psd1").CmdletsToExport | Sort-Object)
        $looks.After.Modules | Should -Be (@($looks.Before.Modules) + 'PoeOps' | Sort-Object)
        $looks.After.Views.Count | Should -BeGreaterThan 10
    }

    It 'leaves alone: <_>' -ForEach 'Sockets', 'Pipes', 'Children', 'Waited', 'Variables', 'Aliases', 'Functions', 'Drives', 'Subscribers', 'Jobs', 'Environment', 'Preferences' {
        $looks.After[$_] | Should -Be $looks.Before[$_]
    }
}

Describe 'Remove-Module' {
    It 'leaves as before: <_>' -ForEach 'Sockets', 'Pipes', 'Children', 'Waited', 'Variables', 'Aliases', 'Functions', 'Drives', 'Subscribers', 'Jobs', 'Environment', 'Preferences', 'Modules', 'Commands', 'Views', 'Types' {
        $looks.Gone[$_] | Should -Be $looks.Before[$_]
    }
}
