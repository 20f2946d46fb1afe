using Renci.SshNet;

namespace SSH;

#pragma warning disable CA1051, CA1707 // The fields are public because those of the module that this stands in for are.
/// <summary>An open session.</summary>
public sealed class SshSession
{
    public int SessionId;
    public string Host = "";
    public SshClient Session = null!;

    public bool Connected => Session.IsConnected;
}
#pragma warning restore CA1051, CA1707
