using System.Net;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Keeps account of one transfer of a server.</summary>
internal sealed class TransferAccount
{
    private readonly TftpPacket _request;
    private readonly TftpOptions _options;
    private readonly IPEndPoint _client;
    private readonly Clock _clock;
    private readonly TimeSpan _start;
    private readonly DateTime _startUtc;

    /// <summary>Opens the account.</summary>
    public TransferAccount(TftpPacket request, TftpOptions options, IPEndPoint client, Clock clock)
    {
        _request = request;
        _options = options;
        _client = client;
        _clock = clock;
        _start = clock.Elapsed;
        _startUtc = clock.UtcNow;
    }

    /// <summary>Packets that were sent again.</summary>
    public int Retransmissions { get; set; }

    /// <summary>Closes it.</summary>
    /// <param name="bytes">Octets of the file that were acknowledged.</param>
    /// <param name="blocks">Blocks that were acknowledged.</param>
    /// <param name="problem">Why it did not come whole, or null.</param>
    public TftpTransfer Close(long bytes, long blocks, Problem? problem) => new()
    {
        Client = _client.ToString(),
        File = Excerpt.Of(_request.File),
        Bytes = bytes,
        Blocks = blocks,
        Retransmissions = Retransmissions,
        BlockSize = _options.BlockSize,
        WindowSize = _options.WindowSize,
        Options = string.Join(" ", _options.Accepted.Select(option => $"{option.Key}={option.Value}")),
        StartUtc = _startUtc,
        Duration = _clock.Elapsed - _start,
        Problem = problem,
    };
}
