# Test-PseImage: folders, files and servers, and what an image says of itself.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $images = "$root/examples/images"
    $baseline = "$root/examples/winter.baseline.json"
    $names = 'kelp-2.0.4.img', 'kelp-3.10.2.img', 'kelp-3.12.0.img', 'oakum-R3-B10p2.img', 'oakum-R2-B4.img'

    # Rows, warnings and errors of a command.
    function Heard([scriptblock] $Command) {
        $ErrorActionPreference = 'Continue'
        $all = @(& $Command 3>&1 2>&1)
        [pscustomobject]@{
            Rows     = @($all | Where-Object { $_ -is [PoeOps.Images.ImageVerdict] -or $_ -is [bool] })
            Warnings = @($all | Where-Object { $_ -is [Management.Automation.WarningRecord] } | ForEach-Object { "$_" })
            Errors   = @($all | Where-Object { $_ -is [Management.Automation.ErrorRecord] })
        }
    }

    # A baseline of one image for the models and firmware that are given.
    function New-Baseline([string] $Path, [string] $File, [string] $Content, [string] $Family, [string] $Model, [string] $Firmware) {
        $spec = [ordered]@{ file = $File; bytes = (Get-Item -LiteralPath $Content).Length; sha256 = (Get-FileHash -LiteralPath $Content).Hash; family = $Family }
        @{ name = 'one'; entries = @(@{ model = $Model; firmware = $Firmware; image = $spec }) } | ConvertTo-Json -Depth 5 | Set-Content -LiteralPath $Path
        $Path
    }
}

Describe 'Images on disk' {
    BeforeEach {
        $work = New-WorkFolder
        Copy-Item -Recurse $images "$work/images [1]"
        Set-Content -LiteralPath "$work/images [1]/notes.txt" 'not an image'
    }

    AfterEach {
        Remove-Item -Recurse -Force -LiteralPath $work
    }

    It 'have a row each, and other files in the folder have none' {
        $heard = Heard { Test-PseImage -Path "$work/images [1]" -Baseline $baseline }
        $heard.Rows.File | Should -Be $names
        $heard.Rows.Good | Should -Be @($true, $true, $true, $true, $true)
        $heard.Rows.HeaderVersion | Should -Be '2.0.4', '3.10.2', '3.12.0', 'R3-B10p2', 'R2-B4'
        $heard.Rows.NameVersion | Should -Be '2.0.4', '3.10.2', '3.12.0', 'R3-B10p2', 'R2-B4'
        $heard.Rows.ApprovedFirmware | Should -Be '2.0.4', '3.10.2', '3.12.0', 'R3-B10p2', 'R2-B4'
        $heard.Rows.Models | Should -Be 'KL-48, KL-24', 'KL-48, KL-24', 'KL-24', 'OK-32, OK-16', 'OK-16'
        $heard.Rows.HeaderFamily | Sort-Object -Unique | Should -Be 'kelp-pse', 'oakum-pse'
        $heard.Warnings | Should -BeNullOrEmpty
        $heard.Errors | Should -BeNullOrEmpty
        (Heard { Test-PseImage -LiteralPath "$work/images [1]" -Baseline $baseline }).Rows.File | Should -Be $names
        (Heard { Get-Item -LiteralPath "$work/images [1]" | Test-PseImage -Baseline $baseline }).Rows.File | Should -Be $names
    }

    It 'may be named by wildcards, by their very names and by the pipeline' {
        (Heard { Test-PseImage "$work/images*/kelp-3*.img" $baseline }).Rows.File | Should -Be 'kelp-3.10.2.img', 'kelp-3.12.0.img'
        (Heard { Test-PseImage "$work/images [1]/kelp-3.10.2.img" $baseline }).Rows.Good | Should -BeTrue
        (Heard { Get-ChildItem -LiteralPath "$work/images [1]" -Filter 'oakum*' | Test-PseImage -Baseline $baseline }).Rows.File | Sort-Object | Should -Be 'oakum-R2-B4.img', 'oakum-R3-B10p2.img'
        $heard = Heard { Get-ChildItem -LiteralPath "$work/images [1]" | Test-PseImage -Baseline $baseline }
        @($heard.Rows | Where-Object { -not $_.Good }).Reason | Should -Be "The baseline names no image 'notes.txt'."
        $heard.Rows.Count | Should -Be 6
    }

    It 'that fit no pattern are told, and nothing is good' {
        $heard = Heard { Test-PseImage "$work/none*.img" $baseline -Quiet }
        $heard.Errors.FullyQualifiedErrorId | Should -Be 'FileNotFound,PoeOps.Cmdlets.Commands.TestPseImageCommand'
        $heard.Rows | Should -Be $false
        @() | Test-PseImage -Baseline $baseline -Quiet | Should -BeFalse
    }

    It 'missing, cut, longer and other ones are told, each by its own id' {
        $folder = "$work/images [1]"
        Remove-Item -LiteralPath "$folder/kelp-2.0.4.img"
        [IO.File]::WriteAllBytes("$folder/kelp-3.10.2.img", [IO.File]::ReadAllBytes("$folder/kelp-3.10.2.img")[0..9999])
        [IO.File]::AppendAllText("$folder/kelp-3.12.0.img", 'x')
        $bytes = [IO.File]::ReadAllBytes("$folder/oakum-R2-B4.img")
        $bytes[5000] = $bytes[5000] -bxor 1
        [IO.File]::WriteAllBytes("$folder/oakum-R2-B4.img", $bytes)
        $rows = (Heard { Test-PseImage -LiteralPath $folder -Baseline $baseline }).Rows
        "$($rows.Problem.Id)" | Should -Be 'ImageNotFound ImageWrongSize ImageWrongSize ImageWrongDigest'
        $rows.Found | Should -Be @($false, $true, $true, $true, $true)
        Test-PseImage -LiteralPath $folder -Baseline $baseline -Quiet | Should -BeFalse
        Test-PseImage -LiteralPath "$folder/oakum-R3-B10p2.img" -Baseline $baseline -Quiet | Should -BeTrue
    }

    It 'of another family or model are refused although size and digest are the baseline''s' {
        $one = New-Baseline "$work/one.json" 'kelp-3.10.2.img' "$images/kelp-3.10.2.img" 'oakum-pse' 'KL-24' '3.10.2'
        "$((Heard { Test-PseImage $images $one }).Rows.Problem.Id)" | Should -Be 'ImageOtherFamily'
        $one = New-Baseline "$work/one.json" 'kelp-3.10.2.img' "$images/kelp-3.10.2.img" 'kelp-pse' 'KL-96' '3.10.2'
        "$((Heard { Test-PseImage $images $one }).Rows.Problem.Id)" | Should -Be 'ImageOtherModel'
    }

    It 'of another version by name and header are a warning with both spellings' {
        $one = New-Baseline "$work/one.json" 'kelp-3.10.2.img' "$images/kelp-3.10.2.img" 'kelp-pse' 'KL-24' 'kl_3_12_0'
        $heard = Heard { Test-PseImage $images $one -Quiet }
        $heard.Rows | Should -Be $true
        $heard.Warnings.Count | Should -Be 2
        $heard.Warnings[0] | Should -BeLike "*: The name of the image 'kelp-3.10.2.img' says version '3.10.2', and the baseline says 'kl_3_12_0'. Find out *"
        $heard.Warnings[1] | Should -BeLike "*: The header of the image 'kelp-3.10.2.img' says version '3.10.2', and the baseline says 'kl_3_12_0'. Find out *"
    }

    It 'that take too many blocks are a warning with the size that will do' {
        $heard = Heard { Test-PseImage "$images/oakum-R3-B10p2.img" $baseline -BlockSize 512 }
        $heard.Warnings | Should -BeNullOrEmpty
        $stream = [IO.File]::Create("$work/large.img")
        $stream.SetLength(600000)
        $stream.Dispose()
        $one = New-Baseline "$work/one.json" 'large.img' "$work/large.img" '' 'KL-24' '1.0'
        (Heard { Test-PseImage "$work/large.img" $one -BlockSize 8 }).Warnings | Should -BeLike "*: The image 'large.img' of 600000 bytes takes 75001 blocks of 8 bytes, *. Have server and unit agree on blocks of at least 10 bytes *"
    }
}

Describe 'Images on a server' {
    It 'without the module for SSH are told what to install, and the next server is asked all the same' {
        $heard = Heard {
            $path = $env:PSModulePath
            try {
                $env:PSModulePath = $images
                Test-PseImage -Uri 'sftp://files.example.org/images/', 'scp://files.example.org/a.img', 'https://files.example.org/' -Baseline $baseline -Quiet
            }
            finally {
                $env:PSModulePath = $path
            }
        }
        $heard.Rows | Should -Be $false
        $heard.Errors.FullyQualifiedErrorId | ForEach-Object { ($_ -split ',')[0] } | Should -Be 'SshModuleMissing', 'SshModuleMissing', 'ImageServerUnreadable'
        "$($heard.Errors[0])" | Should -Be ('sftp and scp need the module Posh-SSH, version 3.0 to 3.999, and it is not installed here. With internet: Install-Module Posh-SSH -MaximumVersion 3.999 -Scope CurrentUser; ' +
            'for a jump host without: Save-Module Posh-SSH -MaximumVersion 3.999 -Path .\saved on a machine that has it, and copy the folder Posh-SSH in it into a folder of $env:PSModulePath here.')
        "$($heard.Errors[0].CategoryInfo.Category) $($heard.Errors[0].TargetObject)" | Should -Be 'NotInstalled sftp://files.example.org/images/'
    }

    It 'at a host that nobody knows are told' {
        $heard = Heard { Test-PseImage -Uri 'tftp://nobody.invalid/' -Baseline $baseline }
        $heard.Errors.FullyQualifiedErrorId | Should -Be 'ImageServerUnreadable,PoeOps.Cmdlets.Commands.TestPseImageCommand'
        $heard.Rows | Should -BeNullOrEmpty
    }
}
