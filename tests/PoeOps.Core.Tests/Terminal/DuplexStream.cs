namespace PoeOps.Core.Tests.Terminal;

/// <summary>A duplex stream inside the process: what is said comes out in pieces of the sizes that the test wants, and each byte that is written goes to a device.</summary>
internal sealed class DuplexStream(Action<byte, Action<byte[]>> device, Func<int> piece) : Stream
{
    private readonly Queue<byte[]> _said = new();
    private int _taken;
    private bool _closed;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    /// <summary>How many texts nobody has taken yet.</summary>
    public int Waiting
    {
        get
        {
            lock (_said)
            {
                return _said.Count;
            }
        }
    }

    /// <summary>Whoever reads; it ends once the stream has.</summary>
    public Thread? Reader { get; private set; }

    public void Say(byte[] bytes)
    {
        lock (_said)
        {
            if (bytes.Length > 0)
            {
                _said.Enqueue(bytes);
                Monitor.PulseAll(_said);
            }
        }
    }

    /// <summary>The device closes, behind everything that it has said.</summary>
    public void End()
    {
        lock (_said)
        {
            _closed = true;
            Monitor.PulseAll(_said);
        }
    }

    public override int Read(byte[] buffer, int offset, int count)
    {
        Reader = Thread.CurrentThread;
        lock (_said)
        {
            while (_said.Count == 0 && !_closed)
            {
                _ = Monitor.Wait(_said);
            }

            if (_said.Count == 0)
            {
                return 0;
            }

            byte[] first = _said.Peek();
            int size = Math.Min(Math.Min(count, piece()), first.Length - _taken);
            Array.Copy(first, _taken, buffer, offset, size);
            _taken += size;
            if (_taken == first.Length)
            {
                _ = _said.Dequeue();
                _taken = 0;
            }

            return size;
        }
    }

    public override void Write(byte[] buffer, int offset, int count)
    {
        foreach (byte b in buffer.AsSpan(offset, count))
        {
            device(b, Say);
        }
    }

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        End();
        base.Dispose(disposing);
    }
}
