# A host with somebody at it, who is asked and gives the answer of a number; and whose console may hang at a stage until it is let go.
if (-not ('AskedHost' -as [type])) {
    Add-Type -TypeDefinition @'
using System;
using System.Collections.Generic;
using System.Collections.ObjectModel;
using System.Globalization;
using System.Management.Automation;
using System.Management.Automation.Host;
using System.Security;
using System.Threading;

public sealed class AskedHost : PSHost
{
    private readonly AskedInterface _ui;
    public AskedHost(int answer) { _ui = new AskedInterface(answer); }
    public List<string> Questions { get { return _ui.Questions; } }
    public string HangsAt { set { _ui.HangsAt = value; } }
    public ManualResetEvent Hangs { get { return _ui.Hangs; } }
    public ManualResetEvent LetGo { get { return _ui.LetGo; } }
    public override CultureInfo CurrentCulture { get { return CultureInfo.InvariantCulture; } }
    public override CultureInfo CurrentUICulture { get { return CultureInfo.InvariantCulture; } }
    public override Guid InstanceId { get; } = Guid.NewGuid();
    public override string Name { get { return "Asked"; } }
    public override PSHostUserInterface UI { get { return _ui; } }
    public override Version Version { get { return new Version(1, 0); } }
    public override void EnterNestedPrompt() { throw new NotSupportedException(); }
    public override void ExitNestedPrompt() { throw new NotSupportedException(); }
    public override void NotifyBeginApplication() { }
    public override void NotifyEndApplication() { }
    public override void SetShouldExit(int exitCode) { }
}

public sealed class AskedInterface : PSHostUserInterface
{
    private readonly int _answer;
    public AskedInterface(int answer) { _answer = answer; }
    public readonly List<string> Questions = new List<string>();
    public readonly ManualResetEvent Hangs = new ManualResetEvent(false);
    public readonly ManualResetEvent LetGo = new ManualResetEvent(false);
    public string HangsAt;
    public override PSHostRawUserInterface RawUI { get { return null; } }
    public override int PromptForChoice(string caption, string message, Collection<ChoiceDescription> choices, int defaultChoice) { Questions.Add(message); return _answer; }
    public override Dictionary<string, PSObject> Prompt(string caption, string message, Collection<FieldDescription> descriptions) { throw new NotSupportedException(); }
    public override PSCredential PromptForCredential(string caption, string message, string userName, string targetName) { throw new NotSupportedException(); }
    public override PSCredential PromptForCredential(string caption, string message, string userName, string targetName, PSCredentialTypes allowed, PSCredentialUIOptions options) { throw new NotSupportedException(); }
    public override string ReadLine() { throw new NotSupportedException(); }
    public override SecureString ReadLineAsSecureString() { throw new NotSupportedException(); }
    public override void Write(string value) { }
    public override void Write(ConsoleColor foreground, ConsoleColor background, string value) { }
    public override void WriteLine(string value) { }
    public override void WriteErrorLine(string value) { }
    public override void WriteDebugLine(string message) { }
    public override void WriteProgress(long sourceId, ProgressRecord record)
    {
        if (HangsAt != null && record.StatusDescription != null && record.StatusDescription.Contains(" " + HangsAt))
        {
            Hangs.Set();
            LetGo.WaitOne();
        }
    }
    public override void WriteVerboseLine(string message) { }
    public override void WriteWarningLine(string message) { }
}
'@
}

function Invoke-Asked([int] $Answer, [scriptblock] $Script, [object[]] $Arguments) {
    $asked = [AskedHost]::new($Answer)
    $space = [runspacefactory]::CreateRunspace($asked)
    $space.Open()
    $shell = [powershell]::Create()
    $shell.Runspace = $space
    try {
        [void] $shell.AddScript("$Script")
        $Arguments | ForEach-Object { [void] $shell.AddArgument($_) }
        $rows = @($shell.Invoke())
        [pscustomobject]@{ Rows = $rows; Errors = @($shell.Streams.Error); Question = $asked.Questions -join '|' }
    }
    finally {
        $shell.Dispose()
        $space.Dispose()
    }
}
