using System.Management.Automation;
using Renci.SshNet;
using Renci.SshNet.Common;
using SSH.Stores;

namespace SSH;

/// <summary>Connects to a host: by password and keyboard-interactive, or by a key with the password as its passphrase.</summary>
public abstract class ConnectCommand : PSCmdlet
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

    /// <summary>Makes a client of the kind that is wanted.</summary>
    protected abstract BaseClient Client(ConnectionInfo info);

    /// <summary>Does with a connected client what is wanted.</summary>
    protected abstract void Use(BaseClient client);

    protected override void ProcessRecord()
    {
        foreach (string computer in ComputerName)
        {
            BaseClient client = Client(Info(computer));
            client.KeepAliveInterval = TimeSpan.FromSeconds(10);
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

            Use(client);
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
    private void Hold(BaseClient client, string computer)
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
