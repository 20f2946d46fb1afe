# The packages: what they hold, that the same files give the same bytes, and that somebody who has only one of them installs it, works with it and is rid
# of it again. What is packed here is the build that stands in module/bin.
BeforeAll {
    $root = "$(Resolve-Path "$PSScriptRoot/../..")"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $version = (Import-PowerShellDataFile "$root/PoeOps.psd1").ModuleVersion
    $approved = @(Get-Content "$root/eng/Package.txt")
    $hashes = & "$root/eng/Package.ps1" -Output "$work/one" -Bin "$root/module/bin"
    $nupkg, $zip = "$work/one/PoeOps.$version.nupkg", "$work/one/PoeOps-$version.zip"

    function Entries([string] $Path) {
        $archive = [IO.Compression.ZipFile]::OpenRead($Path)
        try { $archive.Entries | ForEach-Object FullName } finally { $archive.Dispose() }
    }

    # The files beneath a folder, by their names from there.
    function Names([string] $Folder) {
        @(Get-ChildItem -Recurse -Force -File -LiteralPath $Folder | ForEach-Object { [IO.Path]::GetRelativePath($Folder, $_.FullName).Replace('\', '/') } | Sort-Object -Culture '')
    }

    # A PowerShell with a home, a folder for temporary files and a current folder of its own, in which only what the script puts there is installed.
    function Invoke-Fresh([string] $Name, [string] $Script, [string[]] $Arguments) {
        $place = "$work/$Name"
        New-Item -ItemType Directory "$place/home", "$place/temp", "$place/desk" | Out-Null
        Set-Content "$place/script.ps1" $Script
        $start = [Diagnostics.ProcessStartInfo]::new((Get-Process -Id $PID).Path)
        if ((Split-Path -LeafBase $start.FileName) -eq 'dotnet') { $start.ArgumentList.Add("$PSHOME/pwsh.dll") }
        '-NoProfile', '-NonInteractive', '-File', "$place/script.ps1" + $Arguments | ForEach-Object { $start.ArgumentList.Add($_) }
        $start.WorkingDirectory = "$place/desk"
        $start.RedirectStandardOutput = $start.RedirectStandardError = $start.RedirectStandardInput = $true
        foreach ($gone in 'PSModulePath', 'XDG_DATA_HOME', 'XDG_CONFIG_HOME', 'XDG_CACHE_HOME') { $null = $start.Environment.Remove($gone) }
        foreach ($set in @{ HOME = "$place/home"; TMPDIR = "$place/temp"; NO_COLOR = '1'; POWERSHELL_TELEMETRY_OPTOUT = '1'; POWERSHELL_UPDATECHECK = 'Off' }.GetEnumerator()) { $start.Environment[$set.Key] = $set.Value }
        $process = [Diagnostics.Process]::Start($start)
        $process.StandardInput.Close()
        $errors = $process.StandardError.ReadToEndAsync()
        $said = $process.StandardOutput.ReadToEnd()
        $process.WaitForExit()
        [pscustomobject] @{ Place = $place; Code = $process.ExitCode; Said = $said; Errors = $errors.Result; Result = if (Test-Path "$place/result.json") { Get-Content -Raw "$place/result.json" | ConvertFrom-Json } }
    }

    # What somebody does who has just installed the module; $result takes what came of it, and every warning and error stands in it too.
    $firstHour = @'
$ErrorActionPreference = 'Stop'
$WarningPreference = 'Continue'
$PSStyle.OutputRendering = 'PlainText'
$ProgressPreference = 'SilentlyContinue'
$result = [ordered] @{}
function Try-Module([string] $ModuleBase) {
    $result.ImportSaid = @(Import-Module PoeOps *>&1 | ForEach-Object { "$_" })
    $module = Get-Module PoeOps
    $result.Base = $module.ModuleBase
    $result.Version = "$($module.Version)"
    $result.Cmdlets = @($module.ExportedCmdlets.Keys | Sort-Object)
    $result.ManifestSaid = @(Test-ModuleManifest (Join-Path $module.ModuleBase PoeOps.psd1) 3>&1 2>&1 | ForEach-Object { "$($_.GetType().Name) $_" })
    $result.Helped = @((Get-Command -Module PoeOps).Name | Where-Object { (Get-Help $_).description.Text })
    $result.Topics = @(Get-ChildItem (Join-Path $module.ModuleBase module/en-US) -Filter about_*.help.txt | ForEach-Object { $_.Name -replace '\.help\.txt$' } | Where-Object { (Get-Help $_ | Out-String) -match "TOPIC\s+$_\s" })

    $examples = Join-Path $module.ModuleBase examples
    $result.FromCaptures = (& (Join-Path $examples 02-FromCaptures.ps1) *>&1 | Out-String -Width 200)
    $result.FromCsv = (& (Join-Path $examples 00-FromCsv.ps1) *>&1 | Out-String -Width 200)
    $result.FromCsvCode = $LASTEXITCODE

    $r = Start-PseRehearsal -Estate (Join-Path $examples harbour.estate.json) -Speed 500
    $plan = Get-PseController -Estate $r.EstatePath -Switch quay-3 | Test-PseDrift -Baseline (Join-Path $examples winter.baseline.json) |
        Measure-PseOutage | New-PsePlan -Estate $r.EstatePath -Path ./night.plan.json
    $result.Planned = $plan.Units.Count
    $result.Outcomes = @(Invoke-PseRefresh -Plan ./night.plan.json -ImageFolder (Join-Path $examples images) -Journal ./night.journal.jsonl -Confirm:$false | ForEach-Object { "$($_.UnitId) $($_.Outcome) $($_.FirmwareNow)" })
    $r | Stop-PseRehearsal
    Remove-Module PoeOps
}
'@
}

AfterAll {
    Remove-Item -Recurse -Force $work
}

Describe 'What the packages hold' {
    It 'is what eng/Package.txt lists, in the zip below PoeOps and the version' {
        Entries $zip | Should -Be ($approved | ForEach-Object { "PoeOps/$version/$_" })
    }

    It 'is the same in the nupkg, beside its own three parts' {
        Entries $nupkg | Should -Be (@('_rels/.rels', 'PoeOps.nuspec') + $approved + '[Content_Types].xml')
    }

    It 'is sorted, and neither symbols, sources, tests nor a second manifest' {
        [string[]] $sorted = $approved
        [array]::Sort($sorted, [StringComparer]::Ordinal)
        $approved | Should -Be $sorted
        $approved | Where-Object { $_ -match '\.(pdb|cs|csproj|received\.\w+)$|(^|/)(src|tests|obj|eng)/' } | Should -BeNullOrEmpty
        $approved -like '*.psd1' | Should -Be 'PoeOps.psd1', 'module/PoeOps.Topics.psd1'
    }

    It 'is all that the manifest names' {
        $manifest = Import-PowerShellDataFile "$root/PoeOps.psd1"
        $manifest.NestedModules + $manifest.FormatsToProcess + $manifest.TypesToProcess | Should -BeIn $approved
    }

    It 'leaves out what somebody left in a folder, and says so' {
        # A clone has it in examples, a build in the folder of the assemblies: that one can be a copy.
        Copy-Item -Recurse "$root/module/bin" "$work/bin"
        Set-Content "$work/bin/Stray.dll" 'x'
        Remove-Item "$work/bin/NodaTime.dll"
        $said = & "$root/eng/Package.ps1" -Output "$work/none" -Bin "$work/bin"
        $LASTEXITCODE | Should -Be 1
        $said | Should -Be "'module/bin/NodaTime.dll' is listed in eng/Package.txt and is not there.", "'module/bin/Stray.dll' would be packed and is not listed in eng/Package.txt.",
            'No package was made. List in eng/Package.txt what it shall hold, and take away what it shall not hold.'
        "$work/none" | Should -Not -Exist
    }

    It 'is the files of the clone, byte for byte' {
        Expand-Archive $zip "$work/unpacked"
        foreach ($name in $approved) {
            (Get-FileHash "$work/unpacked/PoeOps/$version/$name").Hash | Should -Be (Get-FileHash "$root/$name").Hash -Because $name
        }
    }
}

Describe 'The nupkg' {
    It 'is a package of the Open Packaging Conventions, by the library for them' {
        $package = [IO.Packaging.Package]::Open($nupkg, 'Open', 'Read')
        try {
            @($package.GetParts() | ForEach-Object { "$($_.Uri)".TrimStart('/') } | Sort-Object -Culture '') | Should -Be (@($approved) + 'PoeOps.nuspec' + '_rels/.rels' | Sort-Object -Culture '')
            @($package.GetRelationshipsByType('http://schemas.microsoft.com/packaging/2010/07/manifest') | ForEach-Object { "$($_.TargetUri)" }) | Should -Be '/PoeOps.nuspec'
        }
        finally {
            $package.Close()
        }
    }

    It 'says what the manifest says' {
        $archive = [IO.Compression.ZipFile]::OpenRead($nupkg)
        $reader = [IO.StreamReader]::new($archive.GetEntry('PoeOps.nuspec').Open())
        $said = ([xml] $reader.ReadToEnd()).package.metadata
        $reader.Dispose()
        $archive.Dispose()
        $manifest = Import-PowerShellDataFile "$root/PoeOps.psd1"
        $said.id, $said.version, $said.authors, $said.description, $said.copyright | Should -Be 'PoeOps', $manifest.ModuleVersion, $manifest.Author, $manifest.Description, $manifest.Copyright
        $said.license.type, $said.license.'#text', $said.readme, $said.requireLicenseAcceptance | Should -Be 'file', 'LICENSE', 'README.md', 'false'
        $said.ChildNodes.Name | Should -Not -Contain 'projectUrl'
        $tags = -split $said.tags
        $tags[0] | Should -Be 'PSModule'
        $tags | Should -Be ($tags | Select-Object -Unique)
        'PSEdition_Desktop', 'PSEdition_Core' | Should -BeIn $tags
        @($tags -like 'PSCmdlet_*' -replace 'PSCmdlet_') | Should -Be $manifest.CmdletsToExport
    }
}

Describe 'The same files again' {
    It 'give the same bytes, at another time and in another folder' {
        $again = & "$root/eng/Package.ps1" -Output "$work/two" -Bin "$root/module/bin"
        $again | Should -Be $hashes
        foreach ($path in $nupkg, $zip) {
            $name = Split-Path -Leaf $path
            $hashes | Should -Contain "$((Get-FileHash $path).Hash.ToLowerInvariant())  $name"
            (Get-FileHash "$work/two/$name").Hash | Should -Be (Get-FileHash $path).Hash
        }
    }
}

Describe 'Installed by PowerShell''s own client from a folder of packages' -Skip:$IsWindows {
    BeforeAll {
        # On Windows it would install into the documents of whoever runs this.
        $install = @'
param($Packages)
$place = Split-Path $PSCommandPath
Register-PSResourceRepository -Name local -Uri $Packages -Trusted
$before = @(Get-ChildItem -Recurse -Force $place | ForEach-Object FullName)
$result.Found = @(Find-PSResource -Repository local -Name PoeOps | ForEach-Object { "$($_.Name) $($_.Version) $($_.Type)" })
Install-PSResource -Name PoeOps -Repository local -Scope CurrentUser
$result.Installed = @(Get-InstalledPSResource -Name PoeOps | ForEach-Object { "$($_.Name) $($_.Version)" })
$base = Split-Path (Get-Module -ListAvailable PoeOps).Path
$result.Files = @(Get-ChildItem -Recurse -Force -File $base | ForEach-Object { [IO.Path]::GetRelativePath($base, $_.FullName).Replace('\', '/') } | Sort-Object -Culture '')
$untouched = @(Get-ChildItem -Recurse -Force -File $base | Get-FileHash | ForEach-Object { "$($_.Path) $($_.Hash)" })
Try-Module
$result.Changed = @(Compare-Object $untouched @(Get-ChildItem -Recurse -Force -File $base | Get-FileHash | ForEach-Object { "$($_.Path) $($_.Hash)" }) | ForEach-Object InputObject)
Uninstall-PSResource -Name PoeOps -Scope CurrentUser
$result.Left = @(Get-ChildItem -Recurse -Force $place | ForEach-Object FullName | Where-Object { $_ -notin $before })
$result | ConvertTo-Json -Depth 3 | Set-Content "$place/result.json"
'@
        $fresh = Invoke-Fresh 'client' ($install.Insert($install.IndexOf("`n") + 1, "$firstHour`n")) "$work/one"
    }

    It 'is found and installed' {
        $fresh.Errors | Should -BeNullOrEmpty
        $fresh.Code | Should -Be 0 -Because $fresh.Said
        $fresh.Result.Found | Should -Be "PoeOps $version Module"
        $fresh.Result.Installed | Should -Be "PoeOps $version"
    }

    It 'is what the package holds, and the client''s own note' {
        $fresh.Result.Files | Should -Be (@($approved) + 'PSGetModuleInfo.xml' | Sort-Object -Culture '')
    }

    It 'is imported by its name, without a word' {
        $fresh.Result.ImportSaid | Should -BeNullOrEmpty
        $fresh.Result.Base | Should -BeLike "$($fresh.Place)/home/*/PoeOps/$version"
        $fresh.Result.Version | Should -Be $version
        $fresh.Result.Cmdlets | Should -Be ((Import-PowerShellDataFile "$root/PoeOps.psd1").CmdletsToExport | Sort-Object)
        $fresh.Result.ManifestSaid | Should -Be 'PSModuleInfo PoeOps'
    }

    It 'has help for every cmdlet and every topic' {
        $fresh.Result.Helped | Should -Be $fresh.Result.Cmdlets
        $fresh.Result.Topics | Should -Be @(Get-ChildItem "$root/module/en-US/about_*.help.txt" | ForEach-Object { $_.Name -replace '\.help\.txt$' })
    }

    It 'runs its examples from there' {
        $fresh.Result.FromCaptures | Should -Match "Does the dialect 'oakum' read every line\?[\s\S]*CoveredPercent : 100[\s\S]*quay-3/A"
        $fresh.Result.FromCsvCode | Should -Be 0 -Because $fresh.Result.FromCsv
        $fresh.Result.Planned | Should -Be 1
        $fresh.Result.Outcomes | Should -Be 'quay-3/A Done R3-B10p2'
    }

    It 'writes nothing where it is installed' {
        $fresh.Result.Changed | Should -BeNullOrEmpty
    }

    It 'leaves nothing when it is uninstalled but what was written by order' {
        # PowerShell keeps caches of its own.
        $left = @($fresh.Result.Left | Where-Object { $_ -notmatch '/home/\.(cache|config)/powershell(/|$)|/home/\.(cache|config)$|/home/\.local/share/powershell(/Modules)?$' })
        $left | Where-Object { $_ -notlike "$($fresh.Place)/desk/*" } | Should -BeNullOrEmpty
        Names "$($fresh.Place)/desk" | Where-Object { $_ -notlike '*transcript*' } | Should -Be 'my.estate.json', 'night.journal.jsonl', 'night.plan.json'
    }
}

Describe 'Unpacked from the zip into a folder that alone is searched' {
    BeforeAll {
        Expand-Archive $zip "$work/modules"
        $before = Listing "$work/modules"
        $script = @'
param($Modules)
Import-Module Microsoft.PowerShell.Management, Microsoft.PowerShell.Utility
$env:PSModulePath = $Modules
Try-Module
$result.Searched = $env:PSModulePath
$result | ConvertTo-Json -Depth 3 | Set-Content (Join-Path (Split-Path $PSCommandPath) result.json)
'@
        $fresh = Invoke-Fresh 'zip' ($script.Insert($script.IndexOf("`n") + 1, "$firstHour`n")) "$work/modules"
    }

    It 'lies as Windows PowerShell 5.1 and PowerShell 7 look for it' {
        Names "$work/modules" | Should -Be ($approved | ForEach-Object { "PoeOps/$version/$_" } | Sort-Object -Culture '')
    }

    It 'is imported by its name, without a word, and helps' {
        $fresh.Errors | Should -BeNullOrEmpty
        $fresh.Code | Should -Be 0 -Because $fresh.Said
        $fresh.Result.ImportSaid | Should -BeNullOrEmpty
        $fresh.Result.Base | Should -Be (Join-Path (Join-Path (Join-Path $work modules) PoeOps) $version)
        $fresh.Result.Helped | Should -Be $fresh.Result.Cmdlets
        $fresh.Result.Topics.Count | Should -Be @(Get-ChildItem "$root/module/en-US/about_*.help.txt").Count
        $fresh.Result.Outcomes | Should -Be 'quay-3/A Done R3-B10p2'
    }

    It 'changes no file of its own' {
        Listing "$work/modules" | Should -Be $before
    }

    It 'is gone with its folder' {
        Remove-Item -Recurse -Force "$work/modules/PoeOps"
        Names $fresh.Place | Where-Object { $_ -match 'poeops' } | Should -BeNullOrEmpty
        Names "$work/modules" | Should -BeNullOrEmpty
    }
}
