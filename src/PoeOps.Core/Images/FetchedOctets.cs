using System.Globalization;
using System.Security.Cryptography;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Takes the blocks of a fetched file in their order, and checks size and digest while they come.</summary>
internal sealed class FetchedOctets : IDisposable
{
    private readonly TftpClientOptions _options;
    private readonly TftpAgreement _agreement;
    private readonly FetchTrouble _trouble;
    private readonly SHA256 _hash = SHA256.Create();

    /// <summary>Nothing has come yet.</summary>
    public FetchedOctets(TftpClientOptions options, TftpAgreement agreement, FetchTrouble trouble)
    {
        _options = options;
        _agreement = agreement;
        _trouble = trouble;
    }

    /// <summary>Octets so far.</summary>
    public long Total { get; private set; }

    /// <summary>The digest, once all octets have come: 64 lower-case hexadecimal digits.</summary>
    public string Sha256 { get; private set; } = string.Empty;

    /// <inheritdoc/>
    public void Dispose() => _hash.Dispose();

    /// <summary>Takes the next block. All is checked before the last one is acknowledged.</summary>
    /// <param name="block">Its octets.</param>
    /// <param name="into">Where they are written.</param>
    /// <returns>True where it is the last one: it is shorter than agreed (RFC 1350 section 6).</returns>
    /// <exception cref="PoeOpsException">It is too large, or the file is not the one that was announced or expected.</exception>
    public bool Take(ArraySegment<byte> block, Stream into)
    {
        if (block.Count > _agreement.BlockSize)
        {
            throw _trouble.Told(
                TftpErrorCode.IllegalOperation, "block larger than agreed",
                ProblemId.TftpMalformed, $"sent a block of {Text(block.Count)} octets where {Text(_agreement.BlockSize)} were agreed", "Use another file server.");
        }

        Total += block.Count;
        CheckMost(Total);
        _hash.TransformBlock(block.Array!, block.Offset, block.Count, null, 0);
        bool last = block.Count < _agreement.BlockSize;
        if (last)
        {
            CheckWhole();
        }

        into.Write(block.Array!, block.Offset, block.Count);
        _options.Progress?.Invoke(Total, _agreement.Size);
        return last;
    }

    /// <summary>Checks the size that was announced, before the file comes.</summary>
    /// <exception cref="PoeOpsException">The file is too large (<see cref="ProblemId.TftpFileTooLarge"/>) or not the expected one (<see cref="ProblemId.ImageWrongSize"/>).</exception>
    public void CheckAnnounced()
    {
        if (_agreement.Size is { } bytes)
        {
            CheckMost(bytes);
            CheckExpected(bytes);
        }
    }

    private void CheckMost(long bytes)
    {
        if (bytes > _options.MostBytes)
        {
            throw _trouble.Told(
                TftpErrorCode.DiskFull, "file too large",
                ProblemId.TftpFileTooLarge, $"has a file of more than {Text(_options.MostBytes)} octets", "Check the file on the server.");
        }
    }

    private void CheckExpected(long bytes)
    {
        if (_options.ExpectedBytes is { } expected && expected != bytes)
        {
            throw _trouble.Told(
                TftpErrorCode.NotDefined, "not the size that was expected",
                ProblemId.ImageWrongSize, $"has a file of {Text(bytes)} octets, and {Text(expected)} are expected", "Put the approved image on the server.");
        }
    }

    private void CheckWhole()
    {
        if (_agreement.Size is { } size && size != Total)
        {
            throw _trouble.Told(
                TftpErrorCode.NotDefined, "size is not as announced",
                ProblemId.TftpMalformed, $"said the file has {Text(size)} octets and sent {Text(Total)}", "Check the file on the server.");
        }

        CheckExpected(Total);
        _hash.TransformFinalBlock([], 0, 0);
        Sha256 = Hex.Of(_hash.Hash);
        if (_options.ExpectedSha256 is { } digest && !string.Equals(digest, Sha256, StringComparison.OrdinalIgnoreCase))
        {
            throw _trouble.Told(
                TftpErrorCode.NotDefined, "not the digest that was expected",
                ProblemId.ImageWrongDigest, $"has a file with the SHA-256 {Sha256}, and {digest} is expected", "Put the approved image on the server.");
        }
    }

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
