using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>Our server and our client over a network that loses, doubles, delays and reorders.</summary>
public sealed class TftpLossTests : IDisposable
{
    private static readonly TimeSpan Deadline = TimeSpan.FromMinutes(2);

    private readonly FileBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData(2, 60_000)]
    [InlineData(10, 30_000)]
    [InlineData(30, 12_000)]
    public void A_transfer_ends_with_the_right_digest_or_with_a_sentence(int percent, int count)
    {
        byte[] octets = _bench.Offer("a.img", count);
        var weather = new Weather(percent / 100.0, percent / 100.0, TimeSpan.FromMilliseconds(20), TimeSpan.FromMilliseconds(10));
        string[] ends = new string[4];
        int[] windows = [1, 1, 4, 16];

        // Each on a thread of its own: they spend their time waiting.
        Thread[] threads = [.. Enumerable.Range(0, ends.Length).Select(number => new Thread(() => ends[number] = Fetch(weather, windows[number], number)))];
        Array.ForEach(threads, thread => thread.Start());
        Array.ForEach(threads, thread => thread.Join());
        foreach (string end in ends)
        {
            // A few in a hundred lost are nothing: no transfer may fail of that.
            Assert.True(end == FileBench.Digest(octets) || (percent > 10 && end.StartsWith("TftpTimedOut The file server ", StringComparison.Ordinal)), end);
        }
    }

    private string Fetch(Weather weather, int window, int seed)
    {
        using var relay = new LossyRelay(_bench.Endpoint, weather, seed);
        var options = new TftpClientOptions { BlockSize = 1428, WindowSize = window, Deadline = Deadline };
        try
        {
            return TftpClient.Fetch(relay.Endpoint, "a.img", Stream.Null, options, CancellationToken.None).Sha256;
        }
        catch (PoeOpsException failed)
        {
            return $"{failed.Problem.Id} {failed.Problem.Sentence}";
        }
    }
}
