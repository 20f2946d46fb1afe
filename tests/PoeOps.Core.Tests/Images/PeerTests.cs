using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The file server against a client that does exactly what the test says.</summary>
public abstract class PeerTests : IDisposable
{
    /// <summary>Starts both.</summary>
    protected PeerTests(TftpServerOptions? options = null) => Bench = new FileBench(options);

    private protected FileBench Bench { get; }

    private protected RawPeer Peer { get; } = new();

    /// <inheritdoc/>
    public void Dispose()
    {
        Peer.Dispose();
        Bench.Dispose();
        GC.SuppressFinalize(this);
    }
}
