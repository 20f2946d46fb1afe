# A console that takes no more text, as when somebody has marked a word in it: a host whose progress bar hangs until it is let go.
BeforeAll {
    $root = Resolve-Path "$PSScriptRoot/../.."
    Import-Module "$root/PoeOps.psd1"
    $work = Join-Path ([IO.Path]::GetTempPath()) "poeops-$([guid]::NewGuid().ToString('N'))"
    New-Item -ItemType Directory $work | Out-Null
    Add-Type -TypeDefinition @'
using System;
using System.Collections.Generic;
using System.Collections.ObjectModel;
using System.Globalization;
using System.Management.Automation;
using System.Management.Automation.Host;
using System.Security;
using System.Threading;

public sealed class HangingHost : PSHost
{
    private readonly HangingInterface _ui = new HangingInterface();
    public ManualResetEvent Hangs { get { return _ui.Hangs; } }
    public ManualResetEvent LetGo { get { return _ui.LetGo; } }
    public override CultureInfo CurrentCulture { get { return CultureInfo.InvariantCulture; } }
    public override CultureInfo CurrentUICulture { get { return CultureInfo.InvariantCulture; } }
    public override Guid InstanceId { get; } = Guid.NewGuid();
    public override string Name { get { return "Hanging"; } }
    public override PSHostUserInterface UI { get { return _ui; } }
    public override Version Version { get { return new Version(1, 0); } }
    public override void EnterNestedPrompt() { throw new NotSupportedException(); }
    public override void ExitNestedPrompt() { throw new NotSupportedException(); }
    public override void NotifyBeginApplication() { }
    public override void NotifyEndApplication() { }
    public override void SetShouldExit(int exitCode) { }
}

public sealed class HangingInterface : PSHostUserInterface
{
    public readonly ManualResetEvent Hangs = new ManualResetEvent(false);
    public readonly ManualResetEvent LetGo = new ManualResetEvent(false);
    public override PSHostRawUserInterface RawUI { get { return null; } }
    public override void WriteProgress(long sourceId, ProgressRecord record)
    {
        if (record.StatusDescription != null && record.StatusDescription.Contains(" Transfer"))
        {
            Hangs.Set();
            LetGo.WaitOne();
        }
    }
    public override Dictionary<string, PSObject> Prompt(string caption, string message, Collection<FieldDescription> descriptions) { throw new NotSupportedException(); }
    public override int PromptForChoice(string caption, string message, Collection<ChoiceDescription> choices, int defaultChoice) { throw new NotSupportedException(); }
    public override PSCredential PromptForCredential(string caption, string message, string userName, string targetName) { throw new NotSupportedException(); }
    public override PSCredential PromptForCredential(string caption, string message, string userName, string targetName, PSCredentialTypes allowed, PSCredentialUIOptions options) { throw new NotSupportedException(); }
    public override string ReadLine() { throw new NotSupportedException(); }
    public override SecureString ReadLineAsSecureString() { throw new NotSupportedException(); }
    public override void Write(string value) { }
    public override void Write(ConsoleColor foreground, ConsoleColor background, string value) { }
    public override void WriteLine(string value) { }
    public override void WriteErrorLine(string value) { }
    public override void WriteDebugLine(string message) { }
    public override void WriteVerboseLine(string message) { }
    public override void WriteWarningLine(string message) { }
}
'@
    $rehearsal = Start-PseRehearsal -Estate "$root/examples/harbour.estate.json" -Speed 600
    Get-PseController -Estate $rehearsal.EstatePath -Switch quay-1 | Where-Object Unit -eq 2 | Test-PseDrift -Baseline "$root/examples/winter.baseline.json" |
        Measure-PseOutage -WarningAction SilentlyContinue | New-PsePlan -Estate $rehearsal.EstatePath -Path "$work/plan.json" -AcceptLifeSafety quay-1/2 | Out-Null
    $console = [HangingHost]::new()
    $space = [runspacefactory]::CreateRunspace($console)
    $space.Open()
}

AfterAll {
    [void] $console.LetGo.Set()
    $space.Dispose()
    $rehearsal | Stop-PseRehearsal
    Remove-Item -Recurse -Force $work
}

Describe 'A console that takes no more text' {
    It 'holds up neither the watch over the unit nor the journal' {
        $shell = [powershell]::Create()
        $shell.Runspace = $space
        [void] $shell.AddScript({
                param($Root, $Work)
                Import-Module "$Root/PoeOps.psd1"
                Invoke-PseRefresh -Plan "$Work/plan.json" -ImageFolder "$Root/examples/images" -Journal "$Work/night.journal.jsonl" -Confirm:$false
            }).AddParameter('Root', "$root").AddParameter('Work', $work)
        $run = $shell.BeginInvoke()
        $console.Hangs.WaitOne([TimeSpan]::FromSeconds(120)) | Should -BeTrue

        $end = $null
        $tries = 240
        while (-not $end -and $tries-- -gt 0) {
            Start-Sleep -Milliseconds 500
            $end = Get-PseJournal "$work/night.journal.jsonl" -WarningAction SilentlyContinue -ErrorAction SilentlyContinue | Where-Object Kind -eq 'End'
        }

        $console.LetGo.WaitOne(0) | Should -BeFalse -Because 'the console still hangs'
        $run.IsCompleted | Should -BeFalse
        $end.Text | Should -Match 'outcome=Done'
        (Get-PseJournal "$work/night.journal.jsonl" -WarningAction SilentlyContinue | Where-Object Kind -eq 'StageBegan').Text -replace ';.*' |
            Should -Be 'stage=Transfer', 'stage=Erase', 'stage=Program', 'stage=Reset', 'stage=Verify', 'stage=Recover'

        [void] $console.LetGo.Set()
        $results = $shell.EndInvoke($run)
        $results.Outcome | Should -Be 'Done'
        $shell.HadErrors | Should -BeFalse
        $shell.Dispose()
    }
}
