using System.Net;
using PoeOps.Baselines;

namespace PoeOps.Images;

/// <summary>What an image server offers, to whom, and where it listens.</summary>
public sealed record ImageServerOptions
{
    /// <summary>The UDP port of TFTP.</summary>
    public const int TftpPort = 69;

    /// <summary>The files to serve, each by its own name. With a baseline: folders, or files that it names.</summary>
    public IReadOnlyList<string> Paths { get; init; } = [];

    /// <summary>The baseline, so that nothing but its approved images is served; null to serve the files as they are.</summary>
    public Baseline? Baseline { get; init; }

    /// <summary>Who may fetch: addresses, or names that stand for one. Nobody else may.</summary>
    public IReadOnlyList<string> Clients { get; init; } = [];

    /// <summary>The local address to listen at; null for the one that reaches the clients.</summary>
    public IPAddress? Address { get; init; }

    /// <summary>The UDP port; 0 takes any that is free.</summary>
    public int Port { get; init; } = TftpPort;

    /// <summary>Says when transfers began and how long they took.</summary>
    public Clock Clock { get; init; } = SystemClock.Instance;
}

/// <summary>What came of starting an image server.</summary>
/// <param name="Server">The server; null where there is nothing to serve.</param>
/// <param name="Problems">A problem for each file that is not served.</param>
public sealed record ImageServerResult(ImageServer? Server, IReadOnlyList<Problem> Problems);
