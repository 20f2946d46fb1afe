namespace PoeOps.Images;

/// <summary>Takes octets and keeps the first of them.</summary>
internal sealed class HeadStream : Stream
{
    private readonly MemoryStream _head = new();
    private readonly int _most;
    private long _length;

    /// <summary>Makes one.</summary>
    /// <param name="most">How many octets are kept.</param>
    public HeadStream(int most) => _most = most;

    /// <summary>The octets that were kept.</summary>
    public byte[] Octets => _head.ToArray();

    /// <inheritdoc/>
    public override bool CanRead => false;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <summary>How many octets were taken.</summary>
    public override long Length => _length;

    /// <inheritdoc/>
    public override long Position { get => _length; set => throw new NotSupportedException(); }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count)
    {
        _head.Write(buffer, offset, (int)Math.Min(count, _most - _head.Length));
        _length += count;
    }

    /// <inheritdoc/>
    public override void Flush() => _head.Flush();

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _head.Dispose();
        }

        base.Dispose(disposing);
    }
}
