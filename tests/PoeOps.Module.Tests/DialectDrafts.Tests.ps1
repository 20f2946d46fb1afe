# From a console to a first draft of its dialect: answers saved, a skeleton or a draft written, and nothing overwritten, sent or guessed in silence.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    . "$PSScriptRoot/Told.ps1"
    $work = New-WorkFolder
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
    $estate = Get-Content -Raw $rehearsal.EstatePath | ConvertFrom-Json -AsHashtable
    $console = @{}
    foreach ($switch in $estate.sites.switches) {
        $console[$switch.name] = "$($switch.address):$($switch.port)"
    }

    $quay = @{ Estate = $rehearsal.EstatePath; Switch = 'quay-1' }
    $secret = [pscredential]::new($rehearsal.User, (ConvertTo-SecureString $rehearsal.Password -AsPlainText -Force))
    $helm = [pscredential]::new('helm', (ConvertTo-SecureString $rehearsal.ElevationPassword -AsPlainText -Force))
}

AfterAll {
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'Save-PseCapture' {
    It 'saves each answer raw and clean, and they read as captures of the switch' {
        $saved = @(Save-PseCapture @quay -Send 'tell release', 'tell units', 'tell power', 'tell ports' -Path "$work/quay")
        $saved.Command | Should -Be 'tell release', 'tell units', 'tell power', 'tell ports'
        $saved.Path | Should -Be ('release', 'units', 'power', 'ports' | ForEach-Object { "$(Join-Path "$work/quay" "quay-1~tell-$_").txt" })
        (Get-ChildItem "$work/quay").Count | Should -Be 8
        Get-Content $saved[0].Path -TotalCount 2 | Should -Be 'quay-1 :: helm :: tell release', 'Node    Software'
        $saved[3].Lines | Should -Be @(Get-Content $saved[3].Path).Count
        $saved[3].Bytes | Should -Be (Get-Item $saved[3].RawPath).Length
        $read = @(Get-PseController -Capture $saved.Path -Dialect kelpline)
        $live = @(Get-PseController @quay)
        Test-PseDialect kelpline $saved.Path -Quiet | Should -BeExactly $true
        "$($read.UnitId) $($read.Firmware) $($read.Ports.Count)" | Should -Be "$($live.UnitId) $($live.Firmware) $($live.Ports.Count)"
    }

    It 'takes an address and a dialect, and secrets stand in no file' {
        $saved = @(Save-PseCapture -Address $console['quay-1'] -Link Tcp -Dialect kelpline -Switch quay-1 -Send 'tell power', "tell $($rehearsal.Password)" -Path "$work/address" -Credential $secret -ElevationCredential $helm -ErrorAction SilentlyContinue -ErrorVariable told)
        $saved.Count | Should -Be 2
        "$($told[0].FullyQualifiedErrorId)" | Should -Be 'CommandRefused,PoeOps.Cmdlets.Commands.SavePseCaptureCommand'
        $saved[1].Command | Should -Be 'tell [secret]'
        Get-Content $saved[1].Path | Should -Be 'quay-1 :: helm :: tell [secret]', 'Nobody aboard knows "tell [secret]".'
        foreach ($file in Get-ChildItem "$work/address") {
            "$($file.Name) $([IO.File]::ReadAllText($file.FullName))" | Should -Not -Match ([regex]::Escape($rehearsal.Password))
        }
    }

    It 'takes patterns where there is no dialect' {
        $plain = @{ Prompt = '^[a-z0-9-]+ :: (ready|helm) :: $'; UserPrompt = 'Who calls\? $'; PasswordPrompt = 'Secret word\? $'; Pager = 'q stops \]$' }
        $saved = Save-PseCapture -Address $console['quay-1'] -Link Tcp @plain -Send 'tell ports' -Path "$work/plain" -Credential $secret
        $saved.Switch | Should -Be '127.0.0.1'
        $lines = Get-Content $saved.Path
        $lines[0] | Should -Be 'quay-1 :: ready :: tell ports'
        @($lines -match '^\d+:\d+ ').Count | Should -Be @(Get-PsePort @quay).Count
        $lines | Should -Not -Match 'q stops'
    }

    It 'refuses <Send> before anything is sent' -ForEach @(
        @{ Send = 'refit unit 1 from 192.0.2.5 at 69 with a.img'; Id = 'CommandChanges' }
        @{ Send = 'Refit unit 1'; Id = 'CommandChanges' }
        @{ Send = 'rank 1:1 low'; Id = 'CommandChanges' }
        @{ Send = "tell power`rrefit unit 1"; Id = 'ValueNotSafe' }
    ) {
        $before = @($rehearsal.Log).Count
        $result = Told { Save-PseCapture @quay -Send 'tell power', $Send -Path "$work/refused" }
        Confirm-OneProblem $result $Id 'nothing was sent\.'
        $result.Rows.Count | Should -Be 0
        @($rehearsal.Log).Count | Should -Be $before
        "$work/refused" | Should -Not -Exist
    }

    It 'keeps what stands there, unless -Force' {
        New-Item -ItemType Directory "$work/kept" | Out-Null
        Set-Content "$work/kept/quay-1~tell-power.txt" 'mine'
        Confirm-OneProblem (Told { Save-PseCapture @quay -Send 'tell power' -Path "$work/kept" }) 'FileExists' 'quay-1~tell-power\.txt'
        Get-Content "$work/kept/quay-1~tell-power.txt" | Should -Be 'mine'
        (Get-ChildItem "$work/kept").Count | Should -Be 1
        (Save-PseCapture @quay -Send 'tell power' -Path "$work/kept" -Force).Lines | Should -BeGreaterThan 3
    }

    It 'changes and asks nothing under -WhatIf' {
        Save-PseCapture @quay -Send 'tell power' -Path "$work/whatif" -WhatIf | Should -BeNullOrEmpty
        "$work/whatif" | Should -Not -Exist
    }

    It 'tells a switch that is not there, and an address that is none' {
        Confirm-OneProblem (Told { Save-PseCapture -Estate $rehearsal.EstatePath -Switch quay-99 -Send 'x' -Path "$work/none" }) 'NotInEstate' 'quay-99'
        Confirm-OneProblem (Told { Save-PseCapture -Address 'a b' -Prompt '> $' -Send 'x' -Path "$work/none" }) 'ConnectFailed' "'a b'"
        Confirm-OneProblem (Told { Save-PseCapture -Address '127.0.0.1:1' -Link Tcp -Prompt '> $' -Send 'x' -Path "$work/none" }) 'ConnectFailed' 'refused the connection'
    }
}

Describe 'New-PseDialect' {
    It 'writes a skeleton that reads as it stands' {
        $draft = New-PseDialect "$work/mine.dialect.json"
        "$($draft.Name) $($draft.Guesses) $($draft.Lines)" | Should -Be 'mine 0 0'
        Test-PseDialect $draft.Path -Quiet | Should -BeExactly $true
        (Get-Content -Raw $draft.Path) | Should -Match '"\$schema": ".*poeops\.dialect\.schema\.json"'
    }

    It 'drafts <Family> from its captures, and no line is read otherwise than it stands' -ForEach @(
        @{ Family = 'kelpline'; Guesses = 43; Covered = 326; Not = 122; Ports = 128 }
        @{ Family = 'oakum'; Guesses = 27; Covered = 624; Not = 142; Ports = 64 }
    ) {
        $captures = "$root/examples/captures/$Family/*.txt"
        $draft = New-PseDialect "$work/$Family.dialect.json" -Capture $captures -Name drafted -WarningVariable warnings -WarningAction SilentlyContinue
        "$($draft.Name) $($draft.Guesses) $($draft.LinesCovered) $($draft.LinesNotCovered)" | Should -Be "drafted $Guesses $Covered $Not"
        "$warnings" | Should -Be "The draft rests on $Guesses guesses. Check every one: look for GUESS in the file, and compare what Test-PseDialect shows with the captures."
        $result = Told { Test-PseDialect $draft.Path $captures -Summary }
        "$($result.Rows.Unread) $($result.Rows.Ports)" | Should -Be "$Not $Ports"
        $result.Errors | Where-Object FullyQualifiedErrorId -NotLike 'LineUnread,*' | Should -BeNullOrEmpty
        $own = @(Get-PsePort -Capture $captures -Dialect $Family)
        $drafted = @(Get-PsePort -Capture $captures -Dialect $draft.Path -ErrorAction SilentlyContinue)
        $drafted.ForEach({ "$($_.PortId) $($_.PdClass) $($_.DrawWatts) $($_.AllocatedWatts)" }) | Should -Be $own.ForEach({ "$($_.PortId) $($_.PdClass) $($_.DrawWatts) $($_.AllocatedWatts)" })
    }

    It 'drafts from what Save-PseCapture saved' {
        $saved = Save-PseCapture @quay -Send 'tell power', 'tell ports' -Path "$work/for-draft"
        $draft = $saved.Path | New-PseDialect "$work/saved.dialect.json" -WarningAction SilentlyContinue
        $draft.LinesNotCovered | Should -Be 0
        @(Get-PseController -Capture $saved.Path -Dialect $draft.Path -Switch quay-1).Count | Should -Be 3
    }

    It 'keeps a file that stands there, unless -Force, and writes none under -WhatIf' {
        Set-Content "$work/there.dialect.json" 'mine'
        Confirm-OneProblem (Told { New-PseDialect "$work/there.dialect.json" }) 'FileExists' 'there\.dialect\.json'
        Get-Content "$work/there.dialect.json" | Should -Be 'mine'
        (New-PseDialect "$work/there.dialect.json" -Force).Name | Should -Be 'there'
        (New-PseDialect "$work/whatif.dialect.json" -WhatIf).Path | Should -Be ''
        "$work/whatif.dialect.json" | Should -Not -Exist
    }

    It 'leaves out a capture that cannot be read, and writes nothing where none can' {
        [IO.File]::WriteAllBytes("$work/binary.txt", [byte[]](1, 0, 2))
        [IO.File]::WriteAllText("$work/empty.txt", '')
        [IO.File]::WriteAllText("$work/one.txt", 'one line')
        $result = Told { New-PseDialect "$work/bad.dialect.json" -Capture "$work/binary.txt", "$work/empty.txt" }
        $result.Errors.ForEach({ $_.FullyQualifiedErrorId.Split(',')[0] }) | Should -Be 'CaptureBinary', 'FileEmpty'
        "$work/bad.dialect.json" | Should -Not -Exist
        $result = Told { New-PseDialect "$work/one.dialect.json" -Capture "$work/binary.txt", "$work/one.txt" }
        Confirm-OneProblem $result 'CaptureBinary'
        "$($result.Rows.Captures) $($result.Rows.LinesNotCovered)" | Should -Be '1 1'
        Confirm-OneProblem (Told { New-PseDialect "$work/no.dialect.json" -Capture "$work/no-*.txt" }) 'FileNotFound' 'No file fits'
        "$work/no.dialect.json" | Should -Not -Exist
    }
}
