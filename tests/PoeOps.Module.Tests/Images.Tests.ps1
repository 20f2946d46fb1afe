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
    AfterEach {
        Stop-PseImageServer
    }

    It 'of the module itself have a row each, and each fetch is a transfer' {
        $server = Start-PseImageServer -Path $images -Baseline $baseline -Client 127.0.0.1 -Port 0
        $server.Address | Should -Be '127.0.0.1'
        $server.Port | Should -BeGreaterThan 0
        $server.Files | Should -Be $names
        $heard = Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/" -Baseline $baseline }
        $heard.Rows.File | Should -Be $names
        $heard.Rows.Good | Should -Be @($true, $true, $true, $true, $true)
        $heard.Rows.BlockSize | Sort-Object -Unique | Should -Be 1428
        $heard.Rows[1].Path | Should -Be "tftp://127.0.0.1:$($server.Port)/kelp-3.10.2.img"
        (Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/kelp-3.10.2.img" -Baseline $baseline -BlockSize 512 -Quiet }).Rows | Should -Be $true
        $heard = Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/kelp.img" -Baseline $baseline }
        $heard.Rows.Reason | Should -Be "The baseline names no image 'kelp.img'."
        $heard = Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/old%20ones" -Baseline $baseline }
        "$($heard.Rows.Problem.Id)" | Should -Be 'TftpRefused TftpRefused TftpRefused TftpRefused TftpRefused'
        $heard.Rows[0].Reason | Should -BeLike "*, asked for 'old ones/kelp-2.0.4.img', refused with error 1 'no file of that name is offered'."
        $server | Stop-PseImageServer
        $server.Ended | Should -BeTrue
        $transfers = @($server.Transfers)
        $transfers.Count | Should -Be 11
        $done = $transfers | Where-Object File -eq 'kelp-3.10.2.img'
        $done.Bytes | Should -Be 40161, 40161
        $done.Blocks | Should -Be 29, 79
        $done.Options | Should -Be 'blksize=1428 tsize=40161', 'tsize=40161'
        $done.Complete | Should -Be $true, $true
        $done.Outcome | Should -Be 'Whole.', 'Whole.'
        @($transfers | Where-Object Complete -eq $false).Count | Should -Be 5
        $done.Duration | ForEach-Object { $_ | Should -BeOfType [timespan] }
    }

    It 'that does not answer are told within the deadline, and it is asked once' {
        $silent = [Net.Sockets.UdpClient]::new([Net.IPEndPoint]::new([Net.IPAddress]::Loopback, 0))
        try {
            $watch = [Diagnostics.Stopwatch]::StartNew()
            $heard = Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($silent.Client.LocalEndPoint.Port)" -Baseline $baseline -Deadline 00:00:01 }
            $watch.Elapsed.TotalSeconds | Should -BeLessThan 10
            "$($heard.Rows.Problem.Id)" | Should -Be 'TftpTimedOut TftpTimedOut TftpTimedOut TftpTimedOut TftpTimedOut'
            $heard.Rows[4].Reason | Should -BeLike "*was not asked for 'oakum-R2-B4.img', as it did not answer before."
        }
        finally {
            $silent.Dispose()
        }
    }

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
        $heard.Errors[0].Exception.Message | Should -Be ('SSH to files.example.org port 22 needs the module Posh-SSH, version 3.0 or later and before 4.0, and it is not installed. ' +
            "Install it with 'Install-Module Posh-SSH -MaximumVersion 3.999 -Scope CurrentUser'; for a jump host without internet, save it elsewhere with " +
            "'Save-Module Posh-SSH -MaximumVersion 3.999 -Path .' and copy the folder Posh-SSH into a folder of `$env:PSModulePath.")
        "$($heard.Errors[0].CategoryInfo.Category) $($heard.Errors[0].TargetObject)" | Should -Be 'NotInstalled sftp://files.example.org/images/'
    }

    It 'at a host that nobody knows are told' {
        $heard = Heard { Test-PseImage -Uri 'tftp://nobody.invalid/' -Baseline $baseline }
        $heard.Errors.FullyQualifiedErrorId | Should -Be 'ImageServerUnreadable,PoeOps.Cmdlets.Commands.TestPseImageCommand'
        $heard.Rows | Should -BeNullOrEmpty
    }
}

Describe 'Start-PseImageServer' {
    BeforeAll {
        $estate = "$root/examples/harbour.estate.json"
    }

    AfterEach {
        Stop-PseImageServer
    }

    It 'serves files from the pipeline by their names, and nothing without a client' {
        $server = Get-ChildItem "$images/kelp*.img" | Start-PseImageServer -Client localhost -Port 0
        $server.Files | Should -Be 'kelp-2.0.4.img', 'kelp-3.10.2.img', 'kelp-3.12.0.img'
        $server.Clients | Should -Be '127.0.0.1'
        { Start-PseImageServer "$images/kelp*.img" -Port 0 } | Should -Throw -ErrorId 'ClientUnknown,PoeOps.Cmdlets.Commands.StartPseImageServerCommand'
        { Start-PseImageServer $images -Client 127.0.0.1 -Port 0 } | Should -Throw -ErrorId 'ImageNotServable,PoeOps.Cmdlets.Commands.StartPseImageServerCommand'
    }

    It 'serves the switches of an estate' {
        $server = Start-PseImageServer $images -Baseline $baseline -Estate $estate -Switch 'quay-*' -Address 127.0.0.1 -Port 0
        $server.Clients | Should -Be @((Get-Content -Raw $estate | ConvertFrom-Json).sites.switches | Where-Object name -Like 'quay-*' | ForEach-Object { $_.address })
        (Heard { Test-PseImage -Uri "tftp://127.0.0.1:$($server.Port)/kelp-3.10.2.img" -Baseline $baseline }).Rows.Reason | Should -BeLike "*refused with error 2 'that file is not for this address'."
        { Start-PseImageServer $images -Baseline $baseline -Estate $estate -Switch 'none*' -Port 0 } | Should -Throw -ErrorId 'NotInEstate,PoeOps.Cmdlets.Commands.StartPseImageServerCommand'
    }

    It 'tells of a file that is not whole and serves the others' {
        $work = New-WorkFolder
        Copy-Item "$images/kelp*" $work
        [IO.File]::AppendAllText("$work/kelp-3.12.0.img", 'x')
        $server = Start-PseImageServer $work -Baseline $baseline -Client 127.0.0.1 -Port 0 -ErrorVariable problems -ErrorAction SilentlyContinue
        $server.Files | Should -Be 'kelp-2.0.4.img', 'kelp-3.10.2.img'
        "$($problems.Exception.Problem.Id)" | Should -Be 'ImageWrongSize ImageNotFound ImageNotFound'
        Remove-Item -Recurse -Force $work
    }

    It 'says what to do when its port is taken' {
        $server = Start-PseImageServer "$images/kelp-2.0.4.img" -Client 127.0.0.1 -Port 0
        $wrong = { Start-PseImageServer "$images/kelp-2.0.4.img" -Client 127.0.0.1 -Port $server.Port } | Should -Throw -PassThru -ErrorId 'TftpCannotListen,PoeOps.Cmdlets.Commands.StartPseImageServerCommand'
        $wrong.Exception.Message | Should -BeLike "The file server cannot listen at 127.0.0.1:$($server.Port): *. Another file server runs on that port: stop it, or choose another port."
    }

    It 'serves over IPv6 as well' {
        $server = Start-PseImageServer "$images/kelp-2.0.4.img" -Client ::1 -Port 0
        $server.Address | Should -Be '::1'
        Test-PseImage -Uri "tftp://[::1]:$($server.Port)/kelp-2.0.4.img" -Baseline $baseline -Quiet | Should -BeTrue
    }

    It 'does nothing under -WhatIf, and is not stopped by it' {
        Start-PseImageServer "$images/kelp-2.0.4.img" -Client 127.0.0.1 -Port 0 -WhatIf | Should -BeNullOrEmpty
        $server = Start-PseImageServer "$images/kelp-2.0.4.img" -Client 127.0.0.1 -Port 0
        Stop-PseImageServer -WhatIf
        $server.Ended | Should -BeFalse
        Stop-PseImageServer
        $server.Ended | Should -BeTrue
    }
}

Describe 'Invoke-PseRefresh and the servers' {
    BeforeAll {
        $work = New-WorkFolder
        $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
        Get-PseController -Estate $rehearsal.EstatePath -Switch 'cold-1', 'quay-3' | Test-PseDrift -Baseline $baseline | Where-Object Verdict -eq Behind | Measure-PseOutage -WarningAction SilentlyContinue |
            New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -AcceptLifeSafety 'cold-1/1' -WarningAction SilentlyContinue | Out-Null

        function ServedIn([string] $Journal) {
            @(Get-PseJournal $Journal | Where-Object Kind -eq Served).Count
        }
    }

    AfterAll {
        Stop-PseImageServer
        $rehearsal | Stop-PseRehearsal
        Remove-Item -Recurse -Force $work
    }

    It 'lets one server be named, not two' {
        { Invoke-PseRefresh -Plan "$work/plan.json" -ImageFolder $images -Journal "$work/two.jsonl" -Serve -ImageServer tftp://127.0.0.1 -Confirm:$false } |
            Should -Throw -ErrorId 'ImageServerTwice,PoeOps.Cmdlets.Commands.InvokePseRefreshCommand'
        Test-Path "$work/two.jsonl" | Should -BeFalse
    }

    It 'lets units fetch from Start-PseImageServer, and goes on with the run''s own server when it is told to' {
        $server = Start-PseImageServer $images -Baseline $baseline -Estate $rehearsal.EstatePath -Port 0
        $server.Address | Should -Be '127.0.0.1'
        $uri = "tftp://127.0.0.1:$($server.Port)"
        $first = @(Invoke-PseRefresh -Plan "$work/plan.json" -ImageFolder $images -Journal "$work/night.jsonl" -ImageServer $uri -StopFile "$work/halt" -Confirm:$false -WarningAction SilentlyContinue |
            ForEach-Object { Set-Content "$work/halt" 'after the first'; $_ })
        $first.Outcome | Should -Be 'Done'
        ServedIn "$work/night.jsonl" | Should -Be 0
        $fetched = @($server.Transfers | Where-Object Complete -eq $true).Count
        $fetched | Should -BeGreaterOrEqual 3 -Because 'the gate fetches, the last look before the command fetches, and the unit fetches'
        Remove-Item "$work/halt"
        $second = @(Invoke-PseRefresh -Resume "$work/night.jsonl" -Serve -Confirm:$false -WarningAction SilentlyContinue)
        $second.Outcome | Should -Be 'Done'
        $second.UnitId | Should -Not -Be $first.UnitId
        ServedIn "$work/night.jsonl" | Should -BeGreaterOrEqual 1
        @($server.Transfers | Where-Object Complete -eq $true).Count | Should -Be $fetched
    }
}
