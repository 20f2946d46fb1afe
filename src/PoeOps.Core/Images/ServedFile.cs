using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// A file that a server offers, read piece by piece when it is asked for. When it is offered it is read once, and the digest of each piece is kept;
/// a piece that is another one later is never sent. So whatever another program does to the file, half of one image behind half of another never
/// goes to a unit. Safe to use from any thread.
/// </summary>
internal sealed class ServedFile : IDisposable
{
    /// <summary>Octets in a piece; the last one may be shorter.</summary>
    public const int PieceSize = 1 << 16;

    /// <summary>The largest file that is offered, in octets: 16 GiB.</summary>
    public const long MostBytes = 1L << 34;

    private const int DigestSize = 32;

    private readonly string _path;
    private readonly FileStream _stream;
    private readonly IPAddress? _only;
    private readonly object _gate = new();
    private readonly byte[] _digests;
    private bool _withdrawn;

    private ServedFile(string path, FileStream stream, IPAddress? only)
    {
        _path = path;
        _stream = stream;
        _only = only;
        Bytes = stream.Length;
        _digests = new byte[DigestSize * ((Bytes + PieceSize - 1) / PieceSize)];
        Sha256 = Measure();
    }

    /// <summary>Its size in octets, when it was offered.</summary>
    public long Bytes { get; }

    /// <summary>Its SHA-256 when it was offered, 64 lower-case hexadecimal digits.</summary>
    public string Sha256 { get; }

    /// <summary>True once it is offered no longer.</summary>
    public bool IsWithdrawn
    {
        get
        {
            lock (_gate)
            {
                return _withdrawn;
            }
        }
    }

    /// <summary>Opens and measures a file. It stays open: systems that can do so keep others from writing to it.</summary>
    /// <param name="path">The file.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// It is not there (<see cref="ProblemId.ImageNotFound"/>), cannot be read (<see cref="ProblemId.FileUnreadable"/>), is too large
    /// (<see cref="ProblemId.TftpFileTooLarge"/>), or is a link or has the name of a device (<see cref="ProblemId.ImageNotServable"/>).
    /// </exception>
    public static ServedFile Open(string path, IPAddress? only)
    {
        FileStream? stream = null;
        try
        {
            ServedName.CheckFile(path);
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            CheckSize(path, stream);
            var file = new ServedFile(path, stream, only);
            stream = null;
            return file;
        }
        catch (Exception exception) when (ImageCheck.IsUnreadable(exception))
        {
            ProblemId id = File.Exists(path) ? ProblemId.FileUnreadable : ProblemId.ImageNotFound;
            string sentence = $"The image '{path}' cannot be opened: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
            throw new PoeOpsException(new Problem(id, sentence, "Check that it is there and may be read.") { File = path }, exception);
        }
        finally
        {
            stream?.Dispose();
        }
    }

    /// <summary>Compares what is offered with what the baseline says of it.</summary>
    public ImageVerdict Check(ImageSpec spec) => ImageCheck.Compare(_path, Bytes, Sha256, spec);

    /// <summary>True when this address may have it.</summary>
    public bool IsFor(IPAddress client) => _only is null || HostAddress.IsSame(_only, client);

    /// <summary>Reads a piece, and checks that it is the one that was offered.</summary>
    /// <param name="index">Which; the first is 0.</param>
    /// <param name="into">Takes it; as long as the longest piece.</param>
    /// <param name="hash">Works out its SHA-256.</param>
    /// <returns>False where the file is offered no longer.</returns>
    /// <exception cref="PoeOpsException">It is another one now (<see cref="ProblemId.ImageChanged"/>), or cannot be read (<see cref="ProblemId.FileUnreadable"/>).</exception>
    public bool TryRead(long index, byte[] into, SHA256 hash)
    {
        long position = index * PieceSize;
        int count = (int)Math.Min(PieceSize, Bytes - position);
        lock (_gate)
        {
            if (_withdrawn)
            {
                return false;
            }

            try
            {
                _stream.Position = position;
                if (Fill(into, count) < count)
                {
                    throw Changed($"ends before octet {Text(position + count)}");
                }
            }
            catch (Exception exception) when (ImageCheck.IsUnreadable(exception))
            {
                string sentence = $"The image '{_path}' cannot be read any more: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
                throw new PoeOpsException(new Problem(ProblemId.FileUnreadable, sentence, "Check the disk or the share that holds it.") { File = _path }, exception);
            }
        }

        bool same = hash.ComputeHash(into, 0, count).SequenceEqual(new ArraySegment<byte>(_digests, (int)index * DigestSize, DigestSize));
        return same ? true : throw Changed($"is another one in the octets from {Text(position)} to {Text(position + count - 1)}");
    }

    /// <summary>Ends the offer; transfers that run are broken off.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            _withdrawn = true;
            _stream.Dispose();
        }
    }

    private string Measure()
    {
        using var whole = SHA256.Create();
        using var one = SHA256.Create();
        byte[] piece = new byte[PieceSize];
        for (long at = 0; at < Bytes; at += PieceSize)
        {
            int count = (int)Math.Min(PieceSize, Bytes - at);
            if (Fill(piece, count) < count)
            {
                throw new IOException("it was cut while it was read");
            }

            whole.TransformBlock(piece, 0, count, null, 0);
            Array.Copy(one.ComputeHash(piece, 0, count), 0, _digests, at / PieceSize * DigestSize, DigestSize);
        }

        whole.TransformFinalBlock([], 0, 0);
        return string.Concat(whole.Hash.Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture)));
    }

    // The octets that are there, at most so many.
    private int Fill(byte[] into, int count)
    {
        int total = 0;
        for (int read = 1; read > 0 && total < count; total += read)
        {
            read = _stream.Read(into, total, count - total);
        }

        return total;
    }

    private static void CheckSize(string path, FileStream stream)
    {
        if (stream.Length > MostBytes)
        {
            string sentence = $"The image '{path}' has {Text(stream.Length)} bytes, and at most {Text(MostBytes)} are served.";
            throw new PoeOpsException(new Problem(ProblemId.TftpFileTooLarge, sentence, "Check that it is the image that was meant.") { File = path });
        }
    }

    private PoeOpsException Changed(string how) =>
        new(new Problem(ProblemId.ImageChanged, $"The image '{_path}' {how}, since it was offered.", "Put the checked file back and offer it again; nothing of another one is sent.") { File = _path });

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
