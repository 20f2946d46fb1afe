using System.Globalization;
using System.Net;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>A file server of somebody else's, from which units fetch their images over TFTP (RFC 1350, address as in RFC 3617).</summary>
public sealed record ExternalServer
{
    private ExternalServer(string host, IPEndPoint endpoint)
    {
        Host = host;
        Endpoint = endpoint;
    }

    /// <summary>The host as it was named, which the units are told.</summary>
    public string Host { get; }

    /// <summary>Where it listens.</summary>
    public IPEndPoint Endpoint { get; }

    /// <summary>Reads an address such as <c>tftp://192.0.2.5</c> or <c>tftp://files.example.org:6969</c>.</summary>
    /// <param name="text">The address.</param>
    /// <exception cref="PoeOpsException">It is none, names a folder, or nobody knows the host (<see cref="ProblemId.ImageServerUnreadable"/>).</exception>
    public static ExternalServer Parse(string text)
    {
        if (!Uri.TryCreate(text, UriKind.Absolute, out Uri? uri) || uri.Scheme != "tftp" || uri.Host.Length == 0 || uri.PathAndQuery.Trim('/').Length > 0 || uri.UserInfo.Length > 0)
        {
            throw Wrong($"'{Excerpt.Of(text)}' is no address of a file server.");
        }

        string host = uri.Host.Trim('[', ']');
        IPAddress address = HostAddress.Of(host) ?? throw Wrong($"Nobody knows the file server '{Excerpt.Of(host)}'.");
        return new ExternalServer(host, new IPEndPoint(address, uri.Port > 0 ? uri.Port : 69));
    }

    /// <summary>Fetches an image as a unit would, and compares it with the approved one.</summary>
    /// <param name="image">The approved image.</param>
    /// <param name="cancel">Ends the transfer.</param>
    /// <returns>What is wrong; null where the server gives that very image.</returns>
    public Problem? Check(ImageSpec image, CancellationToken cancel)
    {
        string place = $"tftp://{Host}:{Endpoint.Port.ToString(CultureInfo.InvariantCulture)}/{image.File}";
        try
        {
            TftpFetch fetch = TftpClient.Fetch(Endpoint, image.File, Stream.Null, new TftpClientOptions { MostBytes = image.Bytes + 1 }, cancel);
            return fetch.Bytes != image.Bytes
                ? Different(ProblemId.ImageWrongSize, FormattableString.Invariant($"{place} has {fetch.Bytes} bytes, and {image.Bytes} are approved."))
                : !string.Equals(fetch.Sha256, image.Sha256, StringComparison.OrdinalIgnoreCase)
                    ? Different(ProblemId.ImageWrongDigest, $"{place} has the SHA-256 {fetch.Sha256}, and {image.Sha256} is approved.")
                    : null;
        }
        catch (PoeOpsException exception)
        {
            return exception.Problem;
        }
    }

    private static Problem Different(ProblemId id, string sentence) => new(id, sentence, "Put the approved image on the server; no unit is sent for another one.");

    private static PoeOpsException Wrong(string sentence) => new(new Problem(ProblemId.ImageServerUnreadable, sentence, "Write it such as tftp://192.0.2.5 or tftp://files.example.org:6969; the images stand in its root."));
}
