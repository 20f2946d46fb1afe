using System.Net;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>The client against a server that does exactly what the test says.</summary>
public abstract class ClientTests : IDisposable
{
    private protected RawPeer Door { get; } = new();

    private protected RawPeer Server { get; } = new();

    /// <summary>What was fetched.</summary>
    protected MemoryStream Into { get; } = new();

    /// <summary>Ends the transfer.</summary>
    protected CancellationTokenSource Cancel { get; } = new();

    /// <summary>Where the client is.</summary>
    protected IPEndPoint Client { get; private set; } = new(IPAddress.None, 0);

    /// <inheritdoc/>
    public void Dispose()
    {
        Door.Dispose();
        Server.Dispose();
        Into.Dispose();
        Cancel.Dispose();
        GC.SuppressFinalize(this);
    }

    /// <summary>Begins to fetch.</summary>
    protected Task<TftpFetch> Begin(TftpClientOptions options) => Begin(options, out _);

    /// <summary>Begins to fetch, on a thread of its own, so that a small thread pool does not keep it waiting.</summary>
    protected Task<TftpFetch> Begin(TftpClientOptions options, out string asked)
    {
        Task<TftpFetch> fetch = Task.Factory.StartNew(
            () => TftpClient.Fetch(Door.Endpoint, "a.img", Into, options, Cancel.Token), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        asked = Door.Hear();
        Client = Door.From;
        return fetch;
    }

    /// <summary>Sends a packet to the client.</summary>
    protected void Send(byte[] packet) => Server.Send(packet, Client);

    /// <summary>An acknowledgement of options.</summary>
    protected static byte[] Options(params string[] words) => RawPeer.Request(6, words);

    /// <summary>What was wrong with the transfer.</summary>
    protected static async Task<Problem> Problem(Task<TftpFetch> fetch) =>
        (await Assert.ThrowsAsync<PoeOpsException>(() => fetch.WaitAsync(FileBench.Patience))).Problem;

    /// <summary>The same, as far as most tests ask.</summary>
    protected static async Task<(ProblemId Id, string Sentence)> IdAndSentence(Task<TftpFetch> fetch)
    {
        Problem problem = await Problem(fetch);
        return (problem.Id, problem.Sentence);
    }
}
