namespace PoeOps.Terminal;

/// <summary>
/// Keeps a session open in which nothing is asked for a while. Everything that is asked goes through <see cref="Busy{T}"/>, so that two threads are
/// never at the console at once.
/// </summary>
internal sealed class KeepAlive : IDisposable
{
    private readonly object _gate = new();
    private readonly Clock _clock;
    private readonly TimeSpan _idle;
    private readonly Func<bool> _send;
#pragma warning disable CA2213 // The thread may be waiting on it; without a timer it holds nothing that must be released.
    private readonly CancellationTokenSource _over = new();
#pragma warning restore CA2213
    private TimeSpan _last;
    private bool _given;

    /// <summary>Begins to watch for idleness.</summary>
    /// <param name="clock">Counts it.</param>
    /// <param name="idle">How long a session may be idle.</param>
    /// <param name="send">Sends what keeps it open, where that is allowed now; false where it was not.</param>
    public KeepAlive(Clock clock, TimeSpan idle, Func<bool> send)
    {
        _clock = clock;
        _idle = idle;
        _send = send;
        _last = clock.Elapsed;
        new Thread(Watch) { IsBackground = true, Name = "PoeOps keep-alive" }.Start();
    }

    /// <summary>Asks something of the device.</summary>
    public T Busy<T>(Func<T> work)
    {
        lock (_gate)
        {
            try
            {
                return work();
            }
            finally
            {
                _last = _clock.Elapsed;
                _given = false;
            }
        }
    }

    /// <summary>Sends nothing more. The thread ends at its next look.</summary>
    public void Dispose() => _over.Cancel();

    private void Watch()
    {
        TimeSpan left = _idle;
        while (_clock.Wait(left, _over.Token))
        {
            left = _idle;
            if (Monitor.TryEnter(_gate))
            {
                try
                {
                    left = Look();
                }
                finally
                {
                    Monitor.Exit(_gate);
                }
            }
        }
    }

    // Gives how long to wait for the next look.
    private TimeSpan Look()
    {
        TimeSpan left = _idle - (_clock.Elapsed - _last);
        if (left > TimeSpan.Zero || _given || _over.IsCancellationRequested)
        {
            return left > TimeSpan.Zero ? left : _idle;
        }

        try
        {
            _last = _send() ? _clock.Elapsed : _last;
        }
        catch (PoeOpsException)
        {
            // A session that is lost is told to whoever asks next, in the sentence that this would be; until then it is left alone.
            _given = true;
        }

        return _idle;
    }
}
