# Makes the packages of the module: PoeOps.VERSION.nupkg, which a PowerShell repository takes, and PoeOps-VERSION.zip, which is unpacked into a folder
# of modules. dotnet msbuild eng/Package.proj calls it. PowerShell 7.
#
# Both hold the files that Package.txt lists, and nothing else. The same files give the same packages, byte for byte: entries are sorted, their time is
# fixed, no id is made up. The assemblies are built anew, in a folder of their own and without anything of this machine in them.
[CmdletBinding()]
param(
    # Where the two packages go; those that stand there are replaced.
    [Parameter(Mandatory)]
    [string] $Output,

    # A folder with the assemblies and their help, such as module/bin, that is packed as it is. Without it they are built.
    [string] $Bin
)
$ErrorActionPreference = 'Stop'
$root = Split-Path $PSScriptRoot
$manifest = Import-PowerShellDataFile (Join-Path $root 'PoeOps.psd1')
$version = $manifest.ModuleVersion

# What a package may hold, by folder and name. Files that a user or a test left in these folders do not go along: Package.txt says which files do.
$kinds = @(
    @{ Under = ''; Names = 'PoeOps.psd1', 'LICENSE', 'README.md', 'CHANGELOG.md' }
    @{ Under = 'module'; Names = '*.ps1xml', '*.psd1' }
    @{ Under = 'module/bin'; Names = '*.dll' }
    @{ Under = 'module/bin/en-US'; Names = '*-Help.xml' }
    @{ Under = 'module/dialects'; Names = '*.dialect.json' }
    @{ Under = 'module/en-US'; Names = 'about_*.help.txt' }
    @{ Under = 'module/schemas'; Names = '*.schema.json' }
    @{ Under = 'examples'; Names = '*.ps1', '*.csv', '*.json'; Not = 'Make-Images.ps1' }
    @{ Under = 'examples/images'; Names = '*.img' }
    @{ Under = 'examples/captures/*'; Names = '*.txt' }
)

# The built folder: assemblies as a release, without symbols or paths of this machine.
function Build([string] $Folder) {
    # In folders of its own, so that nothing that was built before is taken for it. What analyzers say of the code, every other build has heard.
    $said = & dotnet build (Join-Path $root 'src/PoeOps.Cmdlets') -c Release --nologo -v quiet --artifacts-path (Join-Path $Folder 'build') `
        "-p:ModuleBin=$Folder/bin/" -p:DebugType=none -p:ContinuousIntegrationBuild=true -p:RunAnalyzers=false 2>&1
    if ($LASTEXITCODE -ne 0) {
        $said | ForEach-Object { [Console]::Error.WriteLine("$_") }
        throw 'The module does not build.'
    }

    Join-Path $Folder 'bin'
}

# The files of the packages by their name in them: where each is read from.
function Files([string] $BinFolder) {
    $files = [Collections.Generic.SortedDictionary[string, string]]::new([StringComparer]::Ordinal)
    foreach ($kind in $kinds) {
        $under = if ($kind.Under -like 'module/bin*') { $BinFolder + $kind.Under.Substring(10) } else { Join-Path $root $kind.Under }
        foreach ($file in $kind.Names | ForEach-Object { Get-ChildItem -Path (Join-Path $under $_) -File } | Where-Object Name -NE $kind.Not) {
            $folder = if ($kind.Under -like '*`*') { "$(Split-Path $kind.Under)/$($file.Directory.Name)".Replace('\', '/') } else { $kind.Under }
            $files[("$folder/$($file.Name)").TrimStart('/')] = $file.FullName
        }
    }

    $files
}

# One list for all: what is new or gone is meant, or the package is not made. A sentence for each file that stands on one side alone.
function Differences([string[]] $Names) {
    $listed = @(Get-Content (Join-Path $PSScriptRoot 'Package.txt'))
    $listed | Where-Object { $_ -cnotin $Names } | ForEach-Object { "'$_' is listed in eng/Package.txt and is not there." }
    $Names | Where-Object { $_ -cnotin $listed } | ForEach-Object { "'$_' would be packed and is not listed in eng/Package.txt." }
}

# Writes a ZIP archive: entries in the order given, one time for all, files that their owner may write and everybody read.
function Zip([string] $Path, [Collections.Specialized.OrderedDictionary] $Entries) {
    $stream = [IO.File]::Create($Path)
    try {
        $archive = [IO.Compression.ZipArchive]::new($stream, [IO.Compression.ZipArchiveMode]::Create)
        foreach ($name in $Entries.Keys) {
            $entry = $archive.CreateEntry($name, [IO.Compression.CompressionLevel]::Optimal)
            $entry.LastWriteTime = [DateTimeOffset]::new(1980, 2, 1, 0, 0, 0, [TimeSpan]::Zero)
            $entry.ExternalAttributes = 0x81A4 -shl 16
            $content = $Entries[$name]
            $bytes = if ($content -is [xml]) { [Text.UTF8Encoding]::new($false).GetBytes($content.OuterXml) } else { [IO.File]::ReadAllBytes($content) }
            $body = $entry.Open()
            $body.Write($bytes, 0, $bytes.Length)
            $body.Dispose()
        }

        $archive.Dispose()
    }
    finally {
        $stream.Dispose()
    }
}

# What the repository shows and searches: the manifest's words, in the form that NuGet reads. PowerShell's clients find a module by the tag PSModule,
# and its cmdlets by tags as well.
function Nuspec {
    $cmdlets = $manifest.CmdletsToExport
    $tags = @('PSModule') + $manifest.PrivateData.PSData.Tags + 'PSIncludes_Cmdlet' + @($cmdlets | ForEach-Object { "PSCmdlet_$_" }) + @($cmdlets | ForEach-Object { "PSCommand_$_" })
    function Say([string] $Text) { [Security.SecurityElement]::Escape($Text) }
    [xml] @"
<?xml version="1.0" encoding="utf-8"?><package xmlns="http://schemas.microsoft.com/packaging/2013/05/nuspec.xsd"><metadata>
<id>PoeOps</id>
<version>$version</version>
<authors>$(Say $manifest.Author)</authors>
<owners>$(Say $manifest.CompanyName)</owners>
<requireLicenseAcceptance>false</requireLicenseAcceptance>
<license type="file">LICENSE</license>
<readme>README.md</readme>
<description>$(Say $manifest.Description)</description>
<releaseNotes>$(Say $manifest.PrivateData.PSData.ReleaseNotes)</releaseNotes>
<copyright>$(Say $manifest.Copyright)</copyright>
<tags>$(Say ($tags -join ' '))</tags>
</metadata></package>
"@
}

# The two parts that make a ZIP archive a package of the Open Packaging Conventions (ECMA-376, part 2): which part is the root, and what kind each is of.
function Relationships {
    [xml] ('<?xml version="1.0" encoding="utf-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">' +
        '<Relationship Type="http://schemas.microsoft.com/packaging/2010/07/manifest" Target="/PoeOps.nuspec" Id="R1" /></Relationships>')
}

function ContentTypes([string[]] $Names) {
    $parts = @('rels application/vnd.openxmlformats-package.relationships+xml', 'nuspec application/octet') +
        @($Names | ForEach-Object { [IO.Path]::GetExtension($_).TrimStart('.') } | Where-Object { $_ } | Sort-Object -Unique -Culture '' | ForEach-Object { "$_ application/octet" })
    $defaults = $parts | ForEach-Object { $extension, $type = -split $_; "<Default Extension=`"$extension`" ContentType=`"$type`" />" }
    $overrides = $Names | Where-Object { -not [IO.Path]::GetExtension($_) } | ForEach-Object { "<Override PartName=`"/$_`" ContentType=`"application/octet`" />" }
    [xml] ('<?xml version="1.0" encoding="utf-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">' + (-join $defaults) + (-join $overrides) + '</Types>')
}

$work = Join-Path ([IO.Path]::GetTempPath()) "poeops-package-$([guid]::NewGuid().ToString('N'))"
New-Item -ItemType Directory -Path $work | Out-Null
try {
    if (-not $Bin) {
        $Bin = Build $work
    }

    $files = Files ((Resolve-Path $Bin).Path)
    $wrong = @(Differences $files.Keys)
    if ($wrong) {
        $wrong
        'No package was made. List in eng/Package.txt what it shall hold, and take away what it shall not hold.'
        exit 1
    }

    New-Item -ItemType Directory -Force -Path $Output | Out-Null
    $nupkg = Join-Path $Output "PoeOps.$version.nupkg"
    $zip = Join-Path $Output "PoeOps-$version.zip"

    $entries = [ordered] @{ '_rels/.rels' = Relationships; 'PoeOps.nuspec' = Nuspec }
    foreach ($name in $files.Keys) { $entries[$name] = $files[$name] }
    $entries['[Content_Types].xml'] = ContentTypes $files.Keys
    Zip ([IO.Path]::GetFullPath($nupkg, $PWD.Path)) $entries

    # Unpacked into a folder of modules it is at once where PowerShell looks: PoeOps, then the version.
    $entries = [ordered] @{}
    foreach ($name in $files.Keys) { $entries["PoeOps/$version/$name"] = $files[$name] }
    Zip ([IO.Path]::GetFullPath($zip, $PWD.Path)) $entries

    Get-FileHash -Algorithm SHA256 $nupkg, $zip | ForEach-Object { "$($_.Hash.ToLowerInvariant())  $(Split-Path -Leaf $_.Path)" }
}
finally {
    Remove-Item -Recurse -Force $work
}
