# The tools of whoever writes a dialect: the log of a refresh replayed, and the summary of captures.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $log = "$TestDrive/refresh.log"
    [IO.File]::WriteAllText($log, @'
[1.12.2026 02:00:00] mole-1 :: helm :: refit unit 1 from 192.0.2.5 at 69 with kelp.img
[1.12.2026 02:00:02] Unit 1 goes dark while it is refitted. Cast off? (yes/no) yes
[1.12.2026 02:00:04] Hauling the image aboard.
[1.12.2026 02:00:34] Hauled: 100 %
[1.12.2026 02:00:36] Scrubbing the old firmware.
[1.12.2026 02:00:56] Refit of unit 1 stopped: the image is damaged.
[1.12.2026 02:00:57] mole-1 :: helm :: ashore
'@)
    $stamp = @{ TimePattern = '^\[(?<Time>[^]]+)\] '; TimeFormat = 'd.M.yyyy HH:mm:ss' }
}

Describe 'Test-PseDialect -Transcript' {
    It 'gives a row for each thing that would have been seen, with its time' {
        $rows = Test-PseDialect kelpline -Transcript $log @stamp
        $rows.ForEach({ "$($_.Line) $($_.AtSeconds) $($_.Event) $($_.Stage) $($_.Percent)".Trim() }) | Should -Be @(
            '1 0 Command', '2 2 Question', '2 2 Answer', '3 4 StageBegan Transfer', '4 34 Progress Transfer 100', '5 36 StageBegan Erase', '6 56 Failed', '7 57 PromptBack')
        $rows[6].Because | Should -Be 'the image is damaged'
        $rows[3].Time | Should -Be '1.12.2026 02:00:04'
    }

    It 'shows them in a table of 100 columns' {
        $lines = (Test-PseDialect kelpline -Transcript $log @stamp | Out-String -Width 100).Split([Environment]::NewLine)
        $lines | Where-Object { $_ -match '^ +6 +56 Failed +the image is damaged: Refit of unit 1 stop' } | Should -HaveCount 1
        ($lines | Measure-Object -Property Length -Maximum).Maximum | Should -BeLessOrEqual 100
    }

    It 'sums a refresh up with the seconds of its stages, ready for a baseline' {
        $summary = Test-PseDialect kelpline -Transcript $log -Summary @stamp
        "$($summary.Outcome) $($summary.Seconds) $($summary.TransferSeconds) $($summary.EraseSeconds) $($summary.ProgramSeconds)" | Should -Be 'Failed 56 32 20 '
        $summary.StagesNeverSeen | Should -Be 'Program', 'Reset'
        ("{ $($summary.StageSeconds) }" | ConvertFrom-Json).stageSeconds.Erase.worst | Should -Be 40
    }

    It 'says in one Boolean whether every refresh was seen to its end' {
        Test-PseDialect kelpline -Transcript $log -Quiet @stamp | Should -BeExactly $true
        Test-PseDialect oakum -Transcript $log -Quiet @stamp | Should -BeExactly $false
    }

    It 'refuses a pattern that names no time' {
        { Test-PseDialect kelpline -Transcript $log -TimePattern '^\[' } | Should -Throw -ErrorId 'PropertyUnknown,PoeOps.Cmdlets.Commands.TestPseDialectCommand'
    }

    It 'takes captures or transcripts, never both' {
        { Test-PseDialect kelpline -Transcript $log -Capture $log } | Should -Throw -ErrorId 'AmbiguousParameterSet*'
    }
}

Describe 'Test-PseDialect -Summary' {
    It 'tells which rules would take the same lines, and is quiet about them' {
        $captures = "$root/examples/captures/kelpline/*.txt"
        $summary = Test-PseDialect kelpline $captures -Summary
        $summary.Overlaps.WouldTake | Should -Contain 'ports, row 1'
        "$($summary.Overlaps | Where-Object WouldTake -eq 'ports, row 1')" | Should -Match "^'ports, ruler' takes \d+ that 'ports, row 1' would, the first at .+\.txt:\d+$"
        Test-PseDialect kelpline $captures -Quiet | Should -BeExactly $true
    }
}
