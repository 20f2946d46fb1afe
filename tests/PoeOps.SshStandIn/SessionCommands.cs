using System.Management.Automation;
using Renci.SshNet;
using Renci.SshNet.Common;
using SSH.Stores;

namespace SSH;

/// <summary>Opens a session: by password and keyboard-interactive, or by a key with the password as its passphrase.</summary>
[Cmdlet(VerbsCommon.New, "SSHSession")]
[OutputType(typeof(SshSession))]
public sealed class NewSshSessionCommand : PSCmdlet
{
    [Parameter(Mandatory = true, Position = 0)]
    public string[] ComputerName { get; set; } = [];

    [Parameter(Mandatory = true, Position = 1)]
    [Credential]
    public PSCredential Credential { get; set; } = null!;

    [Parameter]
    public int Port { get; set; } = 22;

    [Parameter]
    public string? KeyFile { get; set; }

    [Parameter]
    public int ConnectionTimeout { get; set; } = 10;

    [Parameter]
    public SwitchParameter ErrorOnUntrusted { get; set; }

    [Parameter]
    public IStore? KnownHost { get; set; }

    protected override void ProcessRecord()
    {
        foreach (string computer in ComputerName)
        {
            SshClient client = new(Info(computer)) { KeepAliveInterval = TimeSpan.FromSeconds(10) };
            client.ConnectionInfo.Timeout = TimeSpan.FromSeconds(ConnectionTimeout);
            Hold(client, computer);
            try
            {
                client.Connect();
            }
            catch (Exception exception) when (exception is SshException or System.Net.Sockets.SocketException)
            {
                WriteError(new ErrorRecord(exception, null, ErrorCategory.ConnectionError, client));
                continue;
            }

            WriteObject(SessionList.Add(SessionState, client));
        }
    }

    private ConnectionInfo Info(string computer)
    {
        string password = Credential.GetNetworkCredential().Password;
        if (KeyFile is not null)
        {
            string path = GetResolvedProviderPathFromPSPath(KeyFile, out _)[0];
            return new PrivateKeyConnectionInfo(computer, Port, Credential.UserName, password.Length == 0 ? new PrivateKeyFile(path) : new PrivateKeyFile(path, password));
        }

        KeyboardInteractiveAuthenticationMethod asked = new(Credential.UserName);
        asked.AuthenticationPrompt += (_, e) => e.Prompts.ToList().ForEach(prompt => prompt.Response = password);
        return new ConnectionInfo(computer, Port, Credential.UserName, new PasswordAuthenticationMethod(Credential.UserName, password), asked);
    }

    // With no store, and with one that does not know the host, a key is refused: nobody is there to be asked.
    private void Hold(SshClient client, string computer)
    {
        KnownHostValue? known = KnownHost?.GetKey(computer);
        foreach (string name in known is null ? [] : client.ConnectionInfo.HostKeyAlgorithms.Keys.Where(name => name != known.HostKeyName).ToArray())
        {
            client.ConnectionInfo.HostKeyAlgorithms.Remove(name);
        }

        client.HostKeyReceived += (_, e) =>
            e.CanTrust = known is not null && known.HostKeyName == e.HostKeyName && known.Fingerprint == string.Join(':', e.FingerPrint.Select(one => $"{one:x}"));
    }
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
