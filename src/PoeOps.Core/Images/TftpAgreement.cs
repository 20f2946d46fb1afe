using System.Globalization;

namespace PoeOps.Images;

/// <summary>What a client asks of a server, and what of it the server grants: blksize (RFC 2348), timeout and tsize (RFC 2349), windowsize (RFC 7440).</summary>
internal sealed class TftpAgreement
{
    private readonly TftpClientOptions _options;
    private bool _asksNothing;

    /// <summary>Nothing is agreed yet.</summary>
    public TftpAgreement(TftpClientOptions options) => _options = options;

    /// <summary>Octets in a block.</summary>
    public int BlockSize { get; private set; } = TftpOptions.DefaultBlockSize;

    /// <summary>Blocks in a window.</summary>
    public int WindowSize { get; private set; } = 1;

    /// <summary>The file's size, where the server said it.</summary>
    public long? Size { get; private set; }

    private bool AsksWindow => !_asksNothing && _options.WindowSize > 1;

    private bool AsksTimeout => !_asksNothing && _options.AskTimeout;

    private bool AsksSize => !_asksNothing && _options.AskSize;

    private bool AsksBlockSize => !_asksNothing && _options.BlockSize != TftpOptions.DefaultBlockSize;

    /// <summary>From now on nothing is asked for: the server refuses options.</summary>
    public void AskNothing() => _asksNothing = true;

    /// <summary>The options of the request.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Asked()
    {
        List<KeyValuePair<string, string>> asked = [];
        if (AsksBlockSize)
        {
            asked.Add(new KeyValuePair<string, string>("blksize", _options.BlockSize.ToString(CultureInfo.InvariantCulture)));
        }

        if (AsksTimeout)
        {
            asked.Add(new KeyValuePair<string, string>("timeout", _options.TimeoutSeconds.ToString(CultureInfo.InvariantCulture)));
        }

        if (AsksWindow)
        {
            asked.Add(new KeyValuePair<string, string>("windowsize", _options.WindowSize.ToString(CultureInfo.InvariantCulture)));
        }

        if (AsksSize)
        {
            asked.Add(new KeyValuePair<string, string>("tsize", "0"));
        }

        return asked;
    }

    /// <summary>Takes one option of the server's answer; false where it was not asked for so.</summary>
    /// <param name="name">Its name, in lower case.</param>
    /// <param name="text">Its value.</param>
    public bool Take(string name, string text)
    {
        if (!long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out long value))
        {
            return false;
        }

        switch (name)
        {
            case "blksize" when AsksBlockSize && value >= TftpOptions.SmallestBlockSize && value <= _options.BlockSize:
                BlockSize = (int)value;
                return true;
            case "windowsize" when AsksWindow && value >= 1 && value <= _options.WindowSize:
                WindowSize = (int)value;
                return true;
            case "timeout":
                return AsksTimeout && value == _options.TimeoutSeconds;
            case "tsize" when AsksSize:
                Size = value;
                return true;
            default:
                return false;
        }
    }
}
