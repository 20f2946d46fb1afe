namespace PoeOps.Terminal;

/// <summary>A duplex stream that is closed when somebody stops, so that whoever reads or writes comes to an end.</summary>
internal sealed class CutStream : ConnectionStream
{
    private readonly Stream _inner;
    private readonly CancellationTokenRegistration _cut;

    /// <summary>Begins to listen for the stop.</summary>
    /// <param name="inner">The stream, which this one owns from now on.</param>
    /// <param name="stop">Cancelled to close it.</param>
    public CutStream(Stream inner, CancellationToken stop)
    {
        _inner = inner;

        // A stream may block where it is closed, and nobody who stops may wait for it.
        _cut = stop.Register(() => Task.Factory.StartNew(inner.Dispose, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default));
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => _inner.Read(buffer, offset, count);

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => _inner.Write(buffer, offset, count);

    /// <inheritdoc/>
    public override void Flush() => _inner.Flush();

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            // The stop outlives the stream, and would keep it.
            _cut.Dispose();
            _inner.Dispose();
        }

        base.Dispose(disposing);
    }
}
