using System.Collections.Concurrent;
using System.Management.Automation;

namespace SSH.Stores;

/// <summary>Host keys by host, each with its algorithm and its MD5 as text.</summary>
public interface IStore
{
    bool SetKey(string Host, string HostKeyName, string Fingerprint);

    KnownHostValue? GetKey(string Host);
}

public sealed record KnownHostValue(string HostKeyName, string Fingerprint);

public sealed class MemoryStore : IStore
{
    private readonly ConcurrentDictionary<string, KnownHostValue> _keys = new();

    public bool SetKey(string Host, string HostKeyName, string Fingerprint)
    {
        _keys[Host] = new KnownHostValue(HostKeyName, Fingerprint);
        return true;
    }

    public KnownHostValue? GetKey(string Host) => _keys.GetValueOrDefault(Host);
}

[Cmdlet(VerbsCommon.New, "SSHMemoryKnownHost")]
[OutputType(typeof(MemoryStore))]
public sealed class NewSshMemoryKnownHostCommand : PSCmdlet
{
    protected override void ProcessRecord() => WriteObject(new MemoryStore());
}
