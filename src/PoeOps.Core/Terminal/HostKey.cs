using System.Security.Cryptography;
using System.Text;

namespace PoeOps.Terminal;

/// <summary>The key by which an SSH server proves who it is (RFC 4253, section 7), as it was accepted once for an address and port.</summary>
public sealed record HostKey
{
    /// <summary>The host name or IP address, as the estate has it, in lower case.</summary>
    public string Address { get; init; } = string.Empty;

    /// <summary>The TCP port.</summary>
    public int Port { get; init; }

    /// <summary>The kind of key, such as <c>ssh-ed25519</c>.</summary>
    public string Algorithm { get; init; } = string.Empty;

    /// <summary>SHA-256 of the key as OpenSSH shows it: <c>SHA256:</c> and base64 without padding.</summary>
    public string Fingerprint { get; init; } = string.Empty;

    /// <summary>When it was accepted, UTC.</summary>
    public DateTime AcceptedUtc { get; init; }

    /// <summary>Who accepted it, and on which machine.</summary>
    public string AcceptedBy { get; init; } = string.Empty;

    /// <summary>Reads a key as a server sends it; who accepted it and when is left open.</summary>
    /// <param name="address">The host name or IP address.</param>
    /// <param name="port">The TCP port.</param>
    /// <param name="key">The key as it goes over the wire: a length, the kind of key, and the key itself (RFC 4253, section 6.6).</param>
    /// <exception cref="PoeOpsException">The bytes are no key (<see cref="ProblemId.ConnectFailed"/>).</exception>
    public static HostKey Of(string address, int port, byte[] key)
    {
        int length = key.Length < 4 ? 0 : (key[0] << 24) | (key[1] << 16) | (key[2] << 8) | key[3];
        if (length <= 0 || length > key.Length - 4)
        {
            throw new PoeOpsException(new Problem(ProblemId.ConnectFailed, $"What the SSH server at {address} port {HostKeyText.Number(port)} sent is no host key.", "Check address and port: something else than the switch may listen there."));
        }

        using var sha = SHA256.Create();
        return new HostKey
        {
            Address = HostKeyText.Address(address),
            Port = port,
            Algorithm = PlainText.Of(Encoding.ASCII.GetString(key, 4, length)),
            Fingerprint = "SHA256:" + Convert.ToBase64String(sha.ComputeHash(key)).TrimEnd('='),
        };
    }

    /// <summary>True for a key of the same address and port.</summary>
    /// <param name="address">The host name or IP address; case makes no difference.</param>
    /// <param name="port">The TCP port.</param>
    public bool IsOf(string address, int port) => Port == port && Address == HostKeyText.Address(address);

    /// <summary>True where both stand for the same key.</summary>
    internal bool IsSameKey(HostKey other) => Fingerprint == other.Fingerprint && Algorithm == other.Algorithm;
}
