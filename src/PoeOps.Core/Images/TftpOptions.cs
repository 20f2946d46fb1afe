using System.Globalization;

namespace PoeOps.Images;

/// <summary>What a server makes of the options of a read request: blksize (RFC 2348), timeout and tsize (RFC 2349), windowsize (RFC 7440).</summary>
internal sealed class TftpOptions
{
    /// <summary>The block size where none is agreed (RFC 1350).</summary>
    public const int DefaultBlockSize = 512;

    /// <summary>The smallest block size that may be asked for (RFC 2348).</summary>
    public const int SmallestBlockSize = 8;

    /// <summary>The largest one.</summary>
    public const int LargestBlockSize = 65464;

    /// <summary>The largest window that may be asked for, in blocks (RFC 7440).</summary>
    public const int LargestWindowSize = 65535;

    /// <summary>
    /// The largest window that a server grants, in blocks; the RFC lets it grant less than was asked for. Far below half of the block numbers, so that
    /// an acknowledgement from the past is never taken for one of the window.
    /// </summary>
    public const int LargestGrantedWindow = 1024;

    /// <summary>The most octets in a window that a server grants of more than one block: about what a receiver's port holds.</summary>
    public const int LargestWindowBytes = 1 << 20;

    private readonly List<KeyValuePair<string, string>> _accepted = [];

    private TftpOptions()
    {
    }

    /// <summary>Octets in a block.</summary>
    public int BlockSize { get; private set; } = DefaultBlockSize;

    /// <summary>Blocks in a window; 1 is RFC 1350's lock-step.</summary>
    public int WindowSize { get; private set; } = 1;

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
        var options = new TftpOptions { BlockSize = AskedBlockSize(request) ?? DefaultBlockSize };
        foreach (KeyValuePair<string, string> option in request.Options)
        {
            if (Number(option.Value) is { } value)
            {
                options.Take(option.Key, value, fileBytes);
            }
        }

        return options;
    }

    private void Take(string name, int value, long fileBytes)
    {
        switch (name)
        {
            case "blksize" when value >= SmallestBlockSize:
                Accept(name, BlockSize);
                break;
            case "windowsize" when value >= 1:
                WindowSize = Math.Min(value, Math.Min(LargestGrantedWindow, Math.Max(1, LargestWindowBytes / BlockSize)));
                Accept(name, WindowSize);
                break;
            case "timeout" when value is >= 1 and <= 255:
                Timeout = TimeSpan.FromSeconds(value);
                Accept(name, value);
                break;
            case "tsize" when value == 0 && fileBytes > 0:
                Accept(name, fileBytes);
                break;
            default:
                // Left out of the acknowledgement, which is how a server says no to an option (RFC 2347).
                break;
        }
    }

    // A window is granted by its octets, and blksize may stand behind windowsize.
    private static int? AskedBlockSize(TftpPacket request) =>
        Number(request.Option("blksize")) is { } value && value >= SmallestBlockSize ? Math.Min(value, LargestBlockSize) : null;

    private static int? Number(string? text) => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int value) ? value : null;

    private void Accept(string name, long value) => _accepted.Add(new KeyValuePair<string, string>(name, value.ToString(CultureInfo.InvariantCulture)));
}
