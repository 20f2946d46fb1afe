BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
}

Describe 'The module' {
    It 'has a manifest without a fault' {
        Test-ModuleManifest "$root/PoeOps.psd1" -ErrorAction Stop | ForEach-Object Name | Should -Be 'PoeOps'
    }

    It 'is for Windows PowerShell 5.1 and PowerShell 7' {
        $module = Test-ModuleManifest "$root/PoeOps.psd1"
        $module.PowerShellVersion | Should -Be '5.1'
        $module.CompatiblePSEditions | Should -Be 'Desktop', 'Core'
    }

    It 'brings in what it lists and nothing else' {
        $listed = (Import-PowerShellDataFile "$root/PoeOps.psd1").CmdletsToExport
        (Get-Command -Module PoeOps).Name | Sort-Object | Should -Be ($listed | Sort-Object)
    }

    It 'prints nothing and starts nothing when it is imported' {
        $pwsh = (Get-Process -Id $PID).Path
        [string[]] $arguments = if ((Split-Path -LeafBase $pwsh) -eq 'dotnet') { @("$PSHOME/pwsh.dll") } else { @() }
        & $pwsh @arguments -NoProfile -NonInteractive -Command "Import-Module '$root/PoeOps.psd1' -ErrorAction Stop" 2>&1 | Should -BeNullOrEmpty
    }
}
