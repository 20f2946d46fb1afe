using System.Management.Automation;
using Renci.SshNet;

namespace SSH;

/// <summary>Opens a session for shells.</summary>
[Cmdlet(VerbsCommon.New, "SSHSession")]
[OutputType(typeof(SshSession))]
public sealed class NewSshSessionCommand : ConnectCommand
{
    protected override BaseClient Client(ConnectionInfo info) => new SshClient(info);

    protected override void Use(BaseClient client) => WriteObject(SessionList.Add(SessionState, (SshClient)client));
}

/// <summary>Opens a shell on a session.</summary>
[Cmdlet(VerbsCommon.New, "SSHShellStream")]
[OutputType(typeof(ShellStream))]
public sealed class NewSshShellStreamCommand : PSCmdlet
{
    [Parameter(Mandatory = true, Position = 0, ValueFromPipeline = true)]
    public SshSession SSHSession { get; set; } = null!;

    [Parameter]
    public string TerminalName { get; set; } = "dumb";

    [Parameter]
    public int Columns { get; set; } = 80;

    [Parameter]
    public int Rows { get; set; } = 24;

    [Parameter]
    public int Width { get; set; } = 800;

    [Parameter]
    public int Height { get; set; } = 600;

    protected override void ProcessRecord() =>
        WriteObject(SSHSession.Session.CreateShellStream(TerminalName, (uint)Columns, (uint)Rows, (uint)Width, (uint)Height, 1000));
}

[Cmdlet(VerbsCommon.Get, "SSHSession")]
[OutputType(typeof(SshSession))]
public sealed class GetSshSessionCommand : PSCmdlet
{
    protected override void ProcessRecord() => WriteObject(SessionList.Of(SessionState).ToArray(), enumerateCollection: true);
}

/// <summary>Ends sessions and takes them from the list.</summary>
[Cmdlet(VerbsCommon.Remove, "SSHSession")]
[OutputType(typeof(bool))]
public sealed class RemoveSshSessionCommand : PSCmdlet
{
    [Parameter(Mandatory = true, Position = 0, ValueFromPipeline = true)]
    public SshSession[] SSHSession { get; set; } = [];

    protected override void ProcessRecord()
    {
        foreach (SshSession session in SSHSession.Where(SessionList.Of(SessionState).Contains).ToArray())
        {
            if (session.Session.IsConnected)
            {
                session.Session.Disconnect();
            }

            session.Session.Dispose();
            WriteObject(SessionList.Of(SessionState).Remove(session));
        }
    }
}

/// <summary>The sessions of a runspace, in its global variable.</summary>
internal static class SessionList
{
    public static List<SshSession> Of(SessionState state)
    {
        if (state.PSVariable.GetValue("global:SshSessions") is List<SshSession> there)
        {
            return there;
        }

        List<SshSession> list = [];
        state.PSVariable.Set("global:SshSessions", list);
        return list;
    }

    public static SshSession Add(SessionState state, SshClient client)
    {
        List<SshSession> list = Of(state);
        SshSession session = new() { SessionId = list.Count == 0 ? 0 : list[^1].SessionId + 1, Host = client.ConnectionInfo.Host, Session = client };
        list.Add(session);
        return session;
    }
}
