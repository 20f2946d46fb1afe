using System.Globalization;
using System.Net;
using PoeOps.Baselines;

namespace PoeOps.Images;

/// <summary>Checks the images of a baseline on a TFTP server by fetching them as a unit would.</summary>
public static class ServerCheck
{
    /// <summary>Fetches each image and checks it. A server that does not answer to one image is not asked for the next.</summary>
    /// <param name="address">Where the images stand; its scheme is <c>tftp</c>.</param>
    /// <param name="uses">What the baseline says of them.</param>
    /// <param name="options">The block size to ask for, and how long one image may take at the most.</param>
    /// <param name="cancel">Ends the transfer.</param>
    /// <returns>A verdict for each image; nothing is thrown for one that does not come.</returns>
    /// <exception cref="PoeOpsException">Nobody knows the host (<see cref="ProblemId.ImageServerUnreadable"/>).</exception>
    public static IEnumerable<ImageVerdict> CheckAll(ImageAddress address, IEnumerable<ImageUse> uses, TftpClientOptions options, CancellationToken cancel)
    {
        IPAddress host = HostAddress.Of(address.Host) ?? throw new PoeOpsException(new Problem(
            ProblemId.ImageServerUnreadable, $"Nobody knows the file server '{address.Host}'.", "Correct the name, or give its address."));
        return Each(address, new IPEndPoint(host, address.Port), uses, options, cancel);
    }

    private static IEnumerable<ImageVerdict> Each(ImageAddress address, IPEndPoint server, IEnumerable<ImageUse> uses, TftpClientOptions options, CancellationToken cancel)
    {
        IReadOnlyList<ImageUse> wanted = address.Choose(uses, out ImageVerdict? notNamed);
        if (notNamed is not null)
        {
            yield return notNamed;
        }

        Problem? silence = null;
        foreach (ImageUse use in wanted.TakeWhile(_ => !cancel.IsCancellationRequested))
        {
            string place = address.Of(use.Image.File);
            if (silence is not null)
            {
                yield return ImageCheck.NotFetched(use, place, silence with { Sentence = $"The file server {server} was not asked for '{use.Image.File}', as it did not answer before.", File = place });
                continue;
            }

            ImageVerdict verdict = Check(address, server, use, options, cancel, out bool answered);
            silence = answered ? null : verdict.Problem;
            yield return verdict;
        }
    }

    private static ImageVerdict Check(ImageAddress address, IPEndPoint server, ImageUse use, TftpClientOptions options, CancellationToken cancel, out bool answered)
    {
        string place = address.Of(use.Image.File);
        using HeadStream head = new(ImageHeader.LongestHeader);
        try
        {
            // A byte more than approved is enough to see that it is too large.
            TftpFetch fetch = TftpClient.Fetch(server, address.PathOf(use.Image.File), head, options with { MostBytes = use.Image.Bytes + 1 }, cancel);
            answered = true;
            return ImageJudge.Judge(use, place, new ImageFacts(fetch.Bytes, fetch.Sha256, head.Octets, fetch.BlockSize));
        }
        catch (PoeOpsException exception)
        {
            answered = exception.Problem.Id != ProblemId.TftpTimedOut || head.Length > 0;
            return exception.Problem.Id == ProblemId.TftpFileTooLarge
                ? TooLarge(use, place)
                : ImageCheck.NotFetched(use, place, exception.Problem with { File = place });
        }
    }

    private static ImageVerdict TooLarge(ImageUse use, string place)
    {
        string bytes = use.Image.Bytes.ToString(CultureInfo.InvariantCulture);
        Problem problem = new(ProblemId.ImageWrongSize, $"The image '{use.Image.File}' has more bytes than the {bytes} that the baseline says.", "Copy the approved image again; this one is another.");
        return ImageCheck.NotFetched(use, place, problem with { File = place }) with { Found = true };
    }
}
