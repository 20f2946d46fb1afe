# Makes the images of the demo harbour again, byte for byte, and prints size and SHA-256 of each as winter.baseline.json has them.
# They are in the repository, so that the examples run at once; run this when you have changed the list below.
# It takes the head of an image from the module, so build that first: dotnet build src/PoeOps.Cmdlets
[CmdletBinding()]
param(
    # Where the images go.
    [string] $Folder = (Join-Path $PSScriptRoot 'images')
)
$ErrorActionPreference = 'Stop'
Add-Type -Path (Join-Path $PSScriptRoot '../module/bin/PoeOps.Rehearsal.dll')

# 'loadsOn' is the oldest firmware that an image goes onto: what is older needs another image first.
$images = @(
    @{ File = 'kelp-2.0.4.img'; Family = 'kelp-pse'; Models = 'KL-24', 'KL-48'; Version = '2.0.4'; LoadsOn = $null; Payload = 5999 }
    @{ File = 'kelp-3.10.2.img'; Family = 'kelp-pse'; Models = 'KL-24', 'KL-48'; Version = '3.10.2'; LoadsOn = '2.0.0'; Payload = 40000 }
    @{ File = 'kelp-3.12.0.img'; Family = 'kelp-pse'; Models = 'KL-24', 'KL-48'; Version = '3.12.0'; LoadsOn = '2.0.0'; Payload = 52013 }
    @{ File = 'oakum-R2-B4.img'; Family = 'oakum-pse'; Models = 'OK-16', 'OK-32'; Version = 'R2-B4'; LoadsOn = $null; Payload = 9001 }
    @{ File = 'oakum-R3-B10p2.img'; Family = 'oakum-pse'; Models = 'OK-16', 'OK-32'; Version = 'R3-B10p2'; LoadsOn = 'R2-B0'; Payload = 300000 }
)

New-Item -ItemType Directory -Force -Path $Folder | Out-Null
foreach ($image in $images) {
    # A fixed formula, so that everybody's images are the same, and no two pieces of one are alike.
    [long] $seed = 0
    foreach ($letter in $image.Version.ToCharArray()) { $seed += [int] $letter }
    $payload = New-Object byte[] $image.Payload
    for ([long] $i = 0; $i -lt $payload.Length; $i++) {
        $payload[$i] = ($i * $i + $seed * $i + ($i -shr 8) + ($i -shr 16)) % 251
    }

    $header = [PoeOps.Images.ImageHeader] @{
        Family = $image.Family
        Models = [string[]] $image.Models
        Version = $image.Version
    }
    if ($image.LoadsOn) { $header.LoadsOn = $image.LoadsOn }
    $path = Join-Path $Folder $image.File
    [IO.File]::WriteAllBytes($path, $header.Write($payload))
    [pscustomobject] @{
        File = $image.File
        Bytes = (Get-Item $path).Length
        Sha256 = (Get-FileHash -Algorithm SHA256 -Path $path).Hash.ToLowerInvariant()
    }
}
