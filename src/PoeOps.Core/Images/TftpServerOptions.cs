using System.Net;

namespace PoeOps.Images;

/// <summary>Where a file server listens.</summary>
public sealed record TftpServerOptions
{
    /// <summary>The local address; loopback unless it is said.</summary>
    public IPAddress Bind { get; init; } = IPAddress.Loopback;

    /// <summary>The UDP port; 0 takes any that is free.</summary>
    public int Port { get; init; }

    /// <summary>Transfers at one time; a request beyond it is refused.</summary>
    public int MostTransfers { get; init; } = 64;

    /// <summary>Says when transfers began and how long they took. How long to wait for an answer is the machine's time: the network is real.</summary>
    public Clock Clock { get; init; } = SystemClock.Instance;
}
