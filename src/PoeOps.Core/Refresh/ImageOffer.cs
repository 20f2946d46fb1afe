using PoeOps.Images;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>The image of one unit, offered to that unit alone from before its command until its version was read back.</summary>
internal sealed class ImageOffer : IDisposable
{
    private readonly TftpServer? _server;
    private readonly UnitRecord _record;
    private int _noted;
    private bool _closed;

    private ImageOffer(TftpServer? server, int port, UnitRecord record)
    {
        _server = server;
        Port = port;
        _record = record;
    }

    /// <summary>The server's UDP port.</summary>
    public int Port { get; }

    /// <summary>True once anybody has asked for anything; somebody else's server does not say.</summary>
    public bool WasAsked => _server?.Transfers.Count > 0;

    /// <summary>Begins to offer. What the server sends is what it has read and checked here; what becomes of the file afterwards changes nothing.</summary>
    /// <exception cref="PoeOpsException">The server cannot listen, the image is not the approved one any more, or the unit's address is not known.</exception>
    public static ImageOffer Open(RunOptions options, PlannedUnit unit, UnitRecord record)
    {
        if (options.Serving.External is { } external)
        {
            // Fetched a second time: what it gave at its gate may have been replaced while a question was open.
            return external.Check(unit.Image, CancellationToken.None) is { } problem ? throw new PoeOpsException(problem) : new ImageOffer(null, external.Endpoint.Port, record);
        }

        TftpServer server = new(new TftpServerOptions { Bind = options.Serving.Bind, Port = options.Serving.Port, Clock = options.Clock });
        ImageOffer? offer = null;
        try
        {
            server.Start();
            _ = server.Serve(unit.Image, options.ImageFolder, options.Serving.Only(unit));
            offer = new ImageOffer(server, server.Endpoint!.Port, record);
            return offer;
        }
        finally
        {
            if (offer is null)
            {
                server.Dispose();
            }
        }
    }

    /// <summary>Writes down the transfers that have ended since the last time.</summary>
    public void Note()
    {
        foreach (TftpTransfer transfer in _server?.Transfers.Skip(_noted) ?? [])
        {
            _noted++;
            _record.Write(
                RunEntryKind.Served, ("client", transfer.Client), ("file", transfer.File), ("bytes", transfer.Bytes), ("blocks", transfer.Blocks),
                ("retransmissions", transfer.Retransmissions), ("complete", transfer.Complete), ("outcome", transfer.Outcome));
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (_closed)
        {
            return;
        }

        _closed = true;
        _server?.Dispose();
        Note();
    }
}
