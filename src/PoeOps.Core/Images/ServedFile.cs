using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// A file that a server offers. It is read once when it is offered. A small one is held from then on; of a larger one the digest of each piece is kept, and a
/// piece that is another one when it is asked for is never sent. So whatever another program does to the file, half of one image behind half of another
/// never goes to a unit. Safe to use from any thread.
/// </summary>
internal sealed class ServedFile : IDisposable
{
    /// <summary>Octets in a piece; the last one may be shorter.</summary>
    public const int PieceSize = 1 << 16;

    /// <summary>The largest file that is offered, in octets: 16 GiB.</summary>
    public const long MostBytes = 1L << 34;

    /// <summary>The largest file that is held in memory, in octets, where nobody says otherwise: 32 MiB.</summary>
    public const int UsualHeldBytes = 32 << 20;

    private const int DigestSize = 32;

    private readonly string _path;
    private readonly FileStream _stream;
    private readonly IReadOnlyList<IPAddress>? _clients;
    private readonly byte[]? _held;
    private readonly object _gate = new();
    private readonly byte[] _digests;
    private bool _withdrawn;

    private ServedFile(string path, FileStream stream, IReadOnlyList<IPAddress>? clients, int mostHeld)
    {
        _path = path;
        _stream = stream;
        _clients = clients;
        Bytes = stream.Length;
        _held = Bytes <= mostHeld ? new byte[Bytes] : null;
        Head = new byte[Math.Min(ImageHeader.LongestHeader, Bytes)];
        _digests = new byte[DigestSize * ((Bytes + PieceSize - 1) / PieceSize)];
        Sha256 = Measure();
    }

    /// <summary>Its size in octets, when it was offered.</summary>
    public long Bytes { get; }

    /// <summary>Its SHA-256 when it was offered, 64 lower-case hexadecimal digits.</summary>
    public string Sha256 { get; }

    /// <summary>Its beginning, as long as the longest header.</summary>
    private byte[] Head { get; }

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
    /// <param name="clients">The addresses that may have it, or null for any.</param>
    /// <param name="mostHeld">The largest file that is held in memory, in octets.</param>
    /// <exception cref="PoeOpsException">
    /// It is not there (<see cref="ProblemId.ImageNotFound"/>), cannot be read (<see cref="ProblemId.FileUnreadable"/>), is too large
    /// (<see cref="ProblemId.TftpFileTooLarge"/>), or is a link or has the name of a device (<see cref="ProblemId.ImageNotServable"/>).
    /// </exception>
    public static ServedFile Open(string path, IReadOnlyList<IPAddress>? clients, int mostHeld = UsualHeldBytes)
    {
        FileStream? stream = null;
        try
        {
            ServedName.CheckFile(path);
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            CheckSize(path, stream);
            var file = new ServedFile(path, stream, clients, mostHeld);
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
    public ImageVerdict Check(ImageSpec spec) => Check(new ImageUse(spec, [], []));

    /// <summary>Compares what is offered, and what it says of itself, with what the baseline says.</summary>
    public ImageVerdict Check(ImageUse use) => ImageJudge.Judge(use, _path, new ImageFacts(Bytes, Sha256, Head, null));

    /// <summary>True when this address may have it.</summary>
    public bool IsFor(IPAddress client) => _clients is null || _clients.Any(one => HostAddress.IsSame(one, client));

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

            if (_held is not null)
            {
                Buffer.BlockCopy(_held, (int)position, into, 0, count);
                return true;
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

            Keep(piece, at, count);
            whole.TransformBlock(piece, 0, count, null, 0);
            Array.Copy(one.ComputeHash(piece, 0, count), 0, _digests, at / PieceSize * DigestSize, DigestSize);
        }

        whole.TransformFinalBlock([], 0, 0);
        return Hex.Of(whole.Hash);
    }

    private void Keep(byte[] piece, long at, int count)
    {
        if (_held is not null)
        {
            Buffer.BlockCopy(piece, 0, _held, (int)at, count);
        }

        if (at < Head.Length)
        {
            Buffer.BlockCopy(piece, 0, Head, (int)at, (int)Math.Min(count, Head.Length - at));
        }
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
