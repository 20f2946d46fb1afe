using System.Globalization;

namespace PoeOps.Images;

/// <summary>What a server makes of the options of a read request: blksize (RFC 2348), timeout and tsize (RFC 2349).</summary>
internal sealed class TftpOptions
{
    /// <summary>The block size where none is agreed (RFC 1350).</summary>
    public const int DefaultBlockSize = 512;

    /// <summary>The smallest block size that may be asked for (RFC 2348).</summary>
    public const int SmallestBlockSize = 8;

    /// <summary>The largest one.</summary>
    public const int LargestBlockSize = 65464;

    private readonly List<KeyValuePair<string, string>> _accepted = [];

    private TftpOptions()
    {
    }

    /// <summary>Octets in a block.</summary>
    public int BlockSize { get; private set; } = DefaultBlockSize;

    /// <summary>The client's time before it sends again, or null where it did not ask.</summary>
    public TimeSpan? Timeout { get; private set; }

    /// <summary>What to acknowledge; empty where no OACK is sent.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Accepted => _accepted;

    /// <summary>Goes through the options of a request. Unknown ones, and values that cannot be, are left out of the acknowledgement (RFC 2347).</summary>
    /// <remarks>The size of an empty file is left out as well, which a server may do with any option: there are clients that give up at a tsize of 0.</remarks>
    /// <param name="request">The request.</param>
    /// <param name="fileBytes">The size of the file.</param>
    public static TftpOptions Of(TftpPacket request, long fileBytes)
    {
        var options = new TftpOptions();
        foreach (KeyValuePair<string, string> option in request.Options)
        {
            if (!int.TryParse(option.Value, NumberStyles.None, CultureInfo.InvariantCulture, out int value))
            {
                continue;
            }

            if (option.Key == "blksize" && value >= SmallestBlockSize)
            {
                options.BlockSize = Math.Min(value, LargestBlockSize);
                options.Accept("blksize", options.BlockSize.ToString(CultureInfo.InvariantCulture));
            }
            else if (option.Key == "timeout" && value is >= 1 and <= 255)
            {
                options.Timeout = TimeSpan.FromSeconds(value);
                options.Accept("timeout", option.Value);
            }
            else if (option.Key == "tsize" && value == 0 && fileBytes > 0)
            {
                options.Accept("tsize", fileBytes.ToString(CultureInfo.InvariantCulture));
            }
        }

        return options;
    }

    private void Accept(string name, string value) => _accepted.Add(new KeyValuePair<string, string>(name, value));
}
