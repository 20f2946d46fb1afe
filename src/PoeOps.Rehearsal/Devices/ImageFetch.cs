using System.Net;
using System.Net.Sockets;
using PoeOps.Images;

namespace PoeOps.Rehearsal.Devices;

/// <summary>Fetches an image from a file server over TFTP, as a unit does.</summary>
internal static class ImageFetch
{
    private const long MostBytes = 64L << 20;

    // What a unit waits for at the most, and on a fast clock still long enough for a loaded machine.
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);
    private static readonly TimeSpan ShortestPatience = TimeSpan.FromSeconds(12);

    /// <summary>Fetches what was ordered.</summary>
    /// <exception cref="OperationCanceledException">The rehearsal ended.</exception>
    public static FetchedImage Fetch(InstallOrder order, Scene scene)
    {
        if (Find(order.Server) is not { } address || order.ServerPort is < 1 or > IPEndPoint.MaxPort)
        {
            return new FetchedImage([], RefreshFailure.ServerSilent);
        }

        TimeSpan patience = scene.Clock.MachineTime(Patience);
        var options = new TftpClientOptions { Bind = IPAddress.Loopback, MostBytes = MostBytes, Deadline = patience > ShortestPatience ? patience : ShortestPatience };
        using var image = new MemoryStream();
        try
        {
            TftpClient.Fetch(new IPEndPoint(address, order.ServerPort), order.File, image, options, scene.Ended);
            return new FetchedImage(image.ToArray(), null);
        }
        catch (PoeOpsException failed)
        {
            scene.Ended.ThrowIfCancellationRequested();
            return new FetchedImage([], Meaning(failed.Problem));
        }
        catch (SocketException)
        {
            return new FetchedImage([], RefreshFailure.ServerSilent);
        }
    }

    // RFC 1350: error 1 is 'file not found'. The client says the code in its sentence.
    private static RefreshFailure Meaning(Problem problem) => problem.Id switch
    {
        ProblemId.TftpRefused when problem.Sentence.Contains("error 1 ") => RefreshFailure.FileNotFound,
        ProblemId.TftpRefused => RefreshFailure.ServerRefused,
        ProblemId.TftpTimedOut => RefreshFailure.ServerSilent,
        _ => RefreshFailure.WrongSize,
    };

    private static IPAddress? Find(string server)
    {
        if (IPAddress.TryParse(server, out IPAddress? address))
        {
            return address;
        }

        try
        {
            return Dns.GetHostAddresses(server).FirstOrDefault(found => found.AddressFamily == AddressFamily.InterNetwork);
        }
        catch (SocketException)
        {
            // A unit that cannot find its server's name is left without a server.
            return null;
        }
    }
}

/// <summary>What a fetch brought.</summary>
/// <param name="Bytes">The image; empty where it failed.</param>
/// <param name="Failure">Why it failed, or null.</param>
internal sealed record FetchedImage(byte[] Bytes, RefreshFailure? Failure);
