using System.Collections.Concurrent;
using System.Diagnostics.CodeAnalysis;

namespace PoeOps.Terminal;

/// <summary>
/// Puts deadlines on a stream that has none. One thread reads; writes and the end run on threads of their own: a read may block for ever, and so
/// may a write or a dispose when the peer is silent.
/// </summary>
internal sealed class StreamPump : IDisposable
{
    private const int ChunkBytes = 16384;
    private const int MostChunks = 1024;
    private static readonly TimeSpan DisposeTime = TimeSpan.FromSeconds(2);

#pragma warning disable CA2213 // The stream is disposed on another thread, which may never come back; the reader may still hold the queue then.
    private readonly Stream _stream;
    private readonly BlockingCollection<byte[]> _chunks = new(MostChunks);
#pragma warning restore CA2213
    private volatile bool _ended;
    private volatile bool _disposed;
    private Task? _writing;

    /// <summary>Begins to read.</summary>
    public StreamPump(Stream stream)
    {
        _stream = stream;
        new Thread(Pump) { IsBackground = true, Name = "PoeOps console reader" }.Start();
    }

    /// <summary>True once the far end has closed and everything that it said has been taken.</summary>
    public bool HasEnded => _ended && _chunks.Count == 0;

    /// <summary>The next bytes.</summary>
    /// <param name="most">The machine's time to wait at the most.</param>
    /// <returns>At least one byte; or null where none came in time, or none will come.</returns>
    public byte[]? Read(TimeSpan most)
    {
        if (!_chunks.TryTake(out byte[]? first, Milliseconds(most)))
        {
            return null;
        }

        // A line that gives a byte at a time is not looked at byte by byte.
        List<byte> bytes = [.. first];
        while (bytes.Count < ChunkBytes && _chunks.TryTake(out byte[]? more))
        {
            bytes.AddRange(more);
        }

        return [.. bytes];
    }

    /// <summary>Sends bytes. After one write that was not taken in time, none is tried again: it would come behind the other, or mix with it.</summary>
    /// <param name="bytes">What to send.</param>
    /// <param name="most">The machine's time to wait at the most.</param>
    /// <returns>Null when they were taken; else the kind of problem.</returns>
    public ProblemId? Write(byte[] bytes, TimeSpan most)
    {
        if (_writing is { IsCompleted: false })
        {
            return ProblemId.LinkBlocked;
        }

        _writing = Apart(() =>
        {
            _stream.Write(bytes, 0, bytes.Length);
            _stream.Flush();
        });
        return Ended(_writing, most) ? (_writing.IsFaulted ? ProblemId.LinkClosed : null) : ProblemId.LinkBlocked;
    }

    /// <summary>Ends the reading and closes the stream, without waiting long for either.</summary>
    public void Dispose()
    {
        if (_disposed)
        {
            return;
        }

        _disposed = true;

        // A stream that cannot be closed is left to its thread: there is nothing more that could be done about it.
        _ = Ended(Apart(_stream.Dispose), DisposeTime);

        // Makes room, so that a reader that waits to hand over its bytes sees the end.
        while (_chunks.TryTake(out _))
        {
        }
    }

    // On a thread that is nobody else's: a blocked one must not starve the pool.
    private static Task Apart(Action work) => Task.Factory.StartNew(work, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    private static bool Ended(Task task, TimeSpan most) => Task.WhenAny(task).Wait(Milliseconds(most));

    private static int Milliseconds(TimeSpan span) => (int)Math.Min(Math.Max(0, Math.Ceiling(span.TotalMilliseconds)), int.MaxValue);

    [SuppressMessage("Design", "CA1031", Justification = "A stream that is handed in may throw anything; on this thread nobody could catch it, and the process would end.")]
    private void Pump()
    {
        byte[] buffer = new byte[ChunkBytes];
        try
        {
            int count;
            while (!_disposed && (count = _stream.Read(buffer, 0, buffer.Length)) > 0)
            {
                byte[] chunk = new byte[count];
                Buffer.BlockCopy(buffer, 0, chunk, 0, count);
                while (!_disposed && !_chunks.TryAdd(chunk, 250))
                {
                }
            }
        }
        catch (Exception)
        {
            // A connection that broke has ended; whoever waits for the next bytes is told so.
            _ended = true;
        }

        _ended = true;
        _chunks.CompleteAdding();
    }
}
