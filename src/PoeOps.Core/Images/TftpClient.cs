using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Fetches files over TFTP (RFC 1350, 2347, 2348, 2349, 7440), octet mode.</summary>
public static class TftpClient
{
    /// <summary>Fetches a file.</summary>
    /// <param name="server">The server's address and port.</param>
    /// <param name="file">The name to ask for.</param>
    /// <param name="into">Where its octets are written.</param>
    /// <param name="options">What to ask for, and what is expected.</param>
    /// <param name="cancel">Ends the transfer.</param>
    /// <exception cref="PoeOpsException">
    /// The server refused (<see cref="ProblemId.TftpRefused"/>), fell silent (<see cref="ProblemId.TftpTimedOut"/>), or said what cannot be
    /// (<see cref="ProblemId.TftpMalformed"/>); the file is too large (<see cref="ProblemId.TftpFileTooLarge"/>), or not of the size
    /// (<see cref="ProblemId.ImageWrongSize"/>) or digest (<see cref="ProblemId.ImageWrongDigest"/>) that was expected.
    /// </exception>
    /// <exception cref="ArgumentOutOfRangeException">The options ask for a block size, a window or a time that the RFCs do not have.</exception>
    public static TftpFetch Fetch(IPEndPoint server, string file, Stream into, TftpClientOptions options, CancellationToken cancel)
    {
        if (options.BlockSize is < TftpOptions.SmallestBlockSize or > TftpOptions.LargestBlockSize
            || options.WindowSize is < 1 or > TftpOptions.LargestWindowSize || options.TimeoutSeconds is < 1 or > 255)
        {
            throw new ArgumentOutOfRangeException(
                nameof(options), "A block has 8 to 65464 octets (RFC 2348), a window 1 to 65535 blocks (RFC 7440), a timeout 1 to 255 seconds (RFC 2349).");
        }

        var trouble = new FetchTrouble(server, file);
        TftpReceiving? receiving = null;
        bool lingers = false;
        try
        {
            receiving = new TftpReceiving(server, file, options, trouble, cancel);
            TftpFetch fetch = receiving.Run(into);
            new Thread(receiving.Linger) { IsBackground = true, Name = "PoeOps file fetched" }.Start();
            lingers = true;
            return fetch;
        }
        catch (SocketException exception)
        {
            string what = $"cannot be reached: {Excerpt.Line(exception.Message).TrimEnd('.')}";
            throw new PoeOpsException(trouble.Of(ProblemId.TftpTimedOut, what, "Check the address and the network between.").Problem, exception);
        }
        finally
        {
            if (!lingers)
            {
                receiving?.Dispose();
            }
        }
    }
}
