using System.Globalization;
using System.Net;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// A file that a server offers. It is read whole when it is offered: some systems let another program cut or overwrite an open file, and half of
/// one image behind half of another must never go to a unit.
/// </summary>
internal sealed class ServedFile
{
    /// <summary>The largest file that is offered, in octets.</summary>
    public const long MostBytes = 256L << 20;

    private readonly byte[] _octets;
    private readonly IReadOnlyList<IPAddress>? _clients;
    private volatile bool _withdrawn;

    private ServedFile(byte[] octets, IReadOnlyList<IPAddress>? clients)
    {
        _octets = octets;
        _clients = clients;
    }

    /// <summary>Its size in octets.</summary>
    public long Bytes => _octets.Length;

    /// <summary>True once it is offered no longer.</summary>
    public bool IsWithdrawn => _withdrawn;

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">It is not there (<see cref="ProblemId.ImageNotFound"/>) or cannot be read (<see cref="ProblemId.FileUnreadable"/>), or is too large (<see cref="ProblemId.TftpFileTooLarge"/>).</exception>
    public static ServedFile Open(string path, IPAddress? only) => Open(path, only is null ? null : [only]);

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="clients">The addresses that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">As above.</exception>
    public static ServedFile Open(string path, IReadOnlyList<IPAddress>? clients)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return stream.Length <= MostBytes ? new ServedFile(Whole(stream), clients) : throw new PoeOpsException(TooLarge(path, stream.Length));
        }
        catch (Exception exception) when (ImageCheck.IsUnreadable(exception))
        {
            ProblemId id = File.Exists(path) ? ProblemId.FileUnreadable : ProblemId.ImageNotFound;
            string sentence = $"The image '{path}' cannot be opened: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
            throw new PoeOpsException(new Problem(id, sentence, "Check that it is there and may be read.") { File = path }, exception);
        }
    }

    /// <summary>Checks the very octets that are offered.</summary>
    /// <param name="path">Where they were read.</param>
    /// <param name="spec">What the baseline says of them.</param>
    public ImageVerdict Check(string path, ImageSpec spec) => Check(path, new ImageUse(spec, [], []));

    /// <summary>Checks the very octets that are offered, and what they say of themselves.</summary>
    /// <param name="path">Where they were read.</param>
    /// <param name="use">What the baseline says of them.</param>
    public ImageVerdict Check(string path, ImageUse use)
    {
        using var octets = new MemoryStream(_octets, writable: false);
        return ImageCheck.Check(path, octets, use, null);
    }

    /// <summary>True when this address may have it.</summary>
    public bool IsFor(IPAddress client) => _clients is null || _clients.Any(one => IsSameHost(one, client));

    /// <summary>A piece, shorter than asked for only at the end.</summary>
    /// <param name="position">Where it begins, at most the size.</param>
    /// <param name="count">How many octets.</param>
    public ArraySegment<byte> Piece(long position, int count) => new(_octets, (int)position, (int)Math.Min(count, _octets.Length - position));

    /// <summary>Ends the offer; transfers that run are broken off.</summary>
    public void Withdraw() => _withdrawn = true;

    // An IPv4 address may come in the dress of IPv6, and a link-local address with the interface that it came through.
    private static bool IsSameHost(IPAddress wanted, IPAddress found)
    {
        IPAddress one = wanted.IsIPv4MappedToIPv6 ? wanted.MapToIPv4() : wanted;
        IPAddress other = found.IsIPv4MappedToIPv6 ? found.MapToIPv4() : found;
        bool anyInterface = one.AddressFamily == System.Net.Sockets.AddressFamily.InterNetworkV6 && one.ScopeId == 0;
        return anyInterface ? one.GetAddressBytes().SequenceEqual(other.GetAddressBytes()) : one.Equals(other);
    }

    private static byte[] Whole(FileStream stream)
    {
        byte[] octets = new byte[stream.Length];
        int total = 0;
        for (int read = 1; read > 0 && total < octets.Length; total += read)
        {
            read = stream.Read(octets, total, octets.Length - total);
        }

        return total == octets.Length ? octets : throw new IOException("it was cut while it was read");
    }

    private static Problem TooLarge(string path, long bytes) =>
        new(
            ProblemId.TftpFileTooLarge,
            $"The image '{path}' has {bytes.ToString(CultureInfo.InvariantCulture)} bytes, and at most {MostBytes.ToString(CultureInfo.InvariantCulture)} are served.",
            "Check that it is the image that was meant.")
        {
            File = path,
        };
}
