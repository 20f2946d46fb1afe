using System.Diagnostics.CodeAnalysis;

namespace PoeOps.Terminal;

/// <summary>
/// A duplex stream whose reads may block for ever when its session is lost: somebody else knows whether the session lives and is asked now and then.
/// Once it does not, the stream is closed, which ends the read. Safe for one reader and one writer beside each other.
/// </summary>
public sealed class WatchedStream : ConnectionStream
{
    private static readonly TimeSpan Interval = TimeSpan.FromMilliseconds(200);
    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(20);

#pragma warning disable CA2213 // Disposed in Close, on whichever thread comes first.
    private readonly Stream _inner;
#pragma warning restore CA2213
    private readonly Func<bool> _lives;
    private readonly Action _over;
    private readonly bool _zeroIsNothingYet;
    private readonly Timer _timer;
    private int _asking;
    private int _dead;
    private int _closed;

    /// <summary>Begins to watch.</summary>
    /// <param name="inner">The stream, which this one owns from now on.</param>
    /// <param name="lives">Says whether the session lives; called on threads of the pool, by one at a time. What it throws counts as no.</param>
    /// <param name="over">Called once, after the stream was closed, on the thread that closed it.</param>
    /// <param name="zeroIsNothingYet">
    /// True for a stream whose read does not block, and gives 0 where nothing has come yet; it throws at a flush once it is closed.
    /// </param>
    public WatchedStream(Stream inner, Func<bool> lives, Action over, bool zeroIsNothingYet = false)
    {
        _zeroIsNothingYet = zeroIsNothingYet;
        _inner = inner;
        _lives = lives;
        _over = over;
        _timer = new Timer(_ => Look(), null, Interval, Interval);
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count)
    {
        int read = _inner.Read(buffer, offset, count);
        while (read == 0 && _zeroIsNothingYet)
        {
            bool open = IsOpen();
            read = _inner.Read(buffer, offset, count);
            if (!open)
            {
                break;
            }

            _ = read == 0 && SystemClock.Instance.Wait(Moment, CancellationToken.None);
        }

        return read;
    }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => _inner.Write(buffer, offset, count);

    /// <inheritdoc/>
    public override void Flush() => _inner.Flush();

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            CloseOnce();
        }

        base.Dispose(disposing);
    }

    private bool IsOpen()
    {
        try
        {
            _inner.Flush();
            return Volatile.Read(ref _closed) == 0;
        }
        catch (Exception exception) when (exception is ObjectDisposedException or IOException or InvalidOperationException)
        {
            return false;
        }
    }

    private void Look()
    {
        // A session that takes long to say whether it lives is asked by one thread alone.
        if (Interlocked.Exchange(ref _asking, 1) == 1)
        {
            return;
        }

        // What came last is given one more interval to be read.
        _dead = Lives() ? 0 : _dead + 1;
        if (_dead > 1)
        {
            CloseOnce();
        }

        Volatile.Write(ref _asking, 0);
    }

    [SuppressMessage("Design", "CA1031", Justification = "Whoever knows may throw anything; on this thread nobody could catch it, and the process would end.")]
    private bool Lives()
    {
        try
        {
            return _lives();
        }
        catch (Exception)
        {
            return false;
        }
    }

    [SuppressMessage("Design", "CA1031", Justification = "As above: a session that is lost may throw anything while it is closed, and it is closed all the same.")]
    private void CloseOnce()
    {
        if (Interlocked.Exchange(ref _closed, 1) == 1)
        {
            return;
        }

        _timer.Dispose();
        try
        {
            _inner.Dispose();
        }
        catch (Exception exception)
        {
            // It is lost, and that is what was to come about.
            _ = exception;
        }

        _over();
    }
}
