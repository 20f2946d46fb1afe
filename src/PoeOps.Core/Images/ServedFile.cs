using System.Net;

namespace PoeOps.Images;

/// <summary>A file that a server offers. It is opened once, so that what is served is what was checked.</summary>
internal sealed class ServedFile : IDisposable
{
    private readonly object _gate = new();
    private readonly FileStream _stream;

    /// <summary>Opens a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    public ServedFile(string path, IPAddress? only)
    {
        _stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
        Only = only;
    }

    /// <summary>The one address that may have it, or null for any.</summary>
    public IPAddress? Only { get; }

    /// <summary>Its size in octets.</summary>
    public long Bytes => _stream.Length;

    /// <summary>Reads a piece; several transfers may read at once.</summary>
    /// <returns>How many octets were read: fewer than asked for only at the end.</returns>
    public int Read(long position, byte[] into, int offset, int count)
    {
        lock (_gate)
        {
            _stream.Position = position;
            int total = 0;
            for (int read = 1; read > 0 && total < count; total += read)
            {
                read = _stream.Read(into, offset + total, count - total);
            }

            return total;
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _stream.Dispose();
}
