using System.Diagnostics;
using System.Text;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

public sealed class WatchedStreamTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    [Fact]
    public void A_read_that_would_block_for_ever_ends_when_the_session_is_lost()
    {
        using DeafStream inner = new();
        bool lives = true;
        int over = 0;
        using WatchedStream stream = new(inner, () => Volatile.Read(ref lives), () => Interlocked.Increment(ref over));
        int count = -1;
        Thread reader = new(() => count = stream.Read(new byte[8], 0, 8)) { IsBackground = true };
        reader.Start();
        Assert.False(reader.Join(TimeSpan.FromSeconds(1)));

        var watch = Stopwatch.StartNew();
        Volatile.Write(ref lives, false);

        Assert.True(reader.Join(Patience));
        Assert.Equal(0, count);
        Assert.True(watch.Elapsed < TimeSpan.FromSeconds(10), $"{watch.Elapsed}");
        SpinWait.SpinUntil(() => Volatile.Read(ref over) == 1, Patience);
        stream.Dispose();
        Assert.Equal((1, 1), (over, inner.Disposals));
    }

    [Fact]
    public void Whoever_cannot_say_whether_it_lives_says_no()
    {
        using DeafStream inner = new();
        using WatchedStream stream = new(inner, () => throw new InvalidOperationException("gone"), () => { });

        Assert.Equal(0, stream.Read(new byte[8], 0, 8));
    }

    [Fact]
    public void Whoever_takes_for_ever_to_say_is_asked_by_one_thread_alone()
    {
        using DeafStream inner = new();
        using ManualResetEventSlim never = new();
        int asked = 0;
        using (WatchedStream stream = new(inner, () => { Interlocked.Increment(ref asked); never.Wait(Patience); return true; }, () => { }))
        {
            Thread.Sleep(1500);
            Assert.Equal(1, Volatile.Read(ref asked));
        }

        never.Set();
        Assert.Equal(1, inner.Disposals);
    }

    [Fact]
    public void What_came_before_the_loss_is_read()
    {
        using DeafStream inner = new("refit done\r\n");
        using WatchedStream stream = new(inner, () => false, () => { });
        byte[] buffer = new byte[64];

        int count = stream.Read(buffer, 0, 64);

        Assert.Equal("refit done\r\n", Encoding.ASCII.GetString(buffer, 0, count));
        Assert.Equal(0, stream.Read(buffer, 0, 64));
    }

    [Fact]
    public void Where_a_read_gives_0_for_nothing_yet_it_is_read_on_until_the_stream_is_closed()
    {
        using HastyStream inner = new();
        using WatchedStream stream = new(inner, () => true, () => { }, zeroIsNothingYet: true);
        byte[] buffer = new byte[64];
        new Thread(() =>
        {
            Thread.Sleep(300);
            inner.Say("hall-1 :: ready :: ");
        }) { IsBackground = true }.Start();

        Assert.Equal(19, stream.Read(buffer, 0, 64));

        inner.Say("ashore");
        inner.Dispose();
        Assert.Equal(6, stream.Read(buffer, 0, 64));
        Assert.Equal(0, stream.Read(buffer, 0, 64));
    }

    [Fact]
    public void Elsewhere_0_is_the_end()
    {
        using HastyStream inner = new();
        using WatchedStream stream = new(inner, () => true, () => { });

        Assert.Equal(0, stream.Read(new byte[64], 0, 64));
    }

    [Fact]
    public void A_stream_that_throws_when_it_is_closed_is_closed_all_the_same()
    {
        using DeafStream inner = new() { ThrowsAtTheEnd = true };
        int over = 0;
        WatchedStream stream = new(inner, () => true, () => over++);

        stream.Dispose();
        stream.Dispose();

        Assert.Equal((1, 1), (over, inner.Disposals));
    }

    // As the stream of a shell in older libraries: a read never blocks, and what came before the end can be read after it.
    private sealed class HastyStream : MemoryStream
    {
        private readonly Queue<byte> _said = new();
        private bool _disposed;

        public void Say(string text)
        {
            lock (_said)
            {
                Encoding.ASCII.GetBytes(text).ToList().ForEach(_said.Enqueue);
            }
        }

        public override int Read(byte[] buffer, int offset, int count)
        {
            lock (_said)
            {
                int read = 0;
                for (; read < count && _said.Count > 0; read++)
                {
                    buffer[offset + read] = _said.Dequeue();
                }

                return read;
            }
        }

        public override void Flush() => ObjectDisposedException.ThrowIf(_disposed, this);

        protected override void Dispose(bool disposing)
        {
            _disposed = true;
            base.Dispose(disposing);
        }
    }

    // As the stream of a shell whose session was lost: a read blocks until the stream is disposed, and then gives 0.
    private sealed class DeafStream(string said = "") : Stream
    {
        private readonly ManualResetEventSlim _disposed = new();
        private byte[] _said = Encoding.ASCII.GetBytes(said);

        public int Disposals { get; private set; }

        public bool ThrowsAtTheEnd { get; init; }

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => true;

        public override long Length => throw new NotSupportedException();

        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count)
        {
            byte[] said = _said;
            _said = [];
            said.CopyTo(buffer, offset);
            if (said.Length == 0)
            {
                Assert.True(_disposed.Wait(Patience), "Nobody closed the stream.");
            }

            return said.Length;
        }

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override void Flush() => throw new NotSupportedException();

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        protected override void Dispose(bool disposing)
        {
            if (!_disposed.IsSet)
            {
                Disposals++;
                _disposed.Set();
                if (ThrowsAtTheEnd)
                {
                    throw new IOException("The peer does not take it.");
                }
            }

            base.Dispose(disposing);
        }
    }
}
