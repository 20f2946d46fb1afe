using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Streams that block or throw in any of their calls, or give a byte just before silence would be told: every wait comes to an end, and so does the dialogue.</summary>
public sealed class StreamTroubleTests
{
    private static readonly TerminalTimes Hasty = new()
    {
        Silence = TimeSpan.FromSeconds(2), Write = TimeSpan.FromSeconds(2), Command = TimeSpan.FromSeconds(4), LogIn = TimeSpan.FromSeconds(4),
    };

    public static TheoryData<string, string, string> Troubles => new()
    {
        { "Read", "blocks", "LinkSilent" }, { "Write", "blocks", "LinkBlocked" }, { "Flush", "blocks", "LinkBlocked" }, { "Dispose", "blocks", "" },
        { "Read Dispose", "blocks", "LinkSilent" }, { "Read Write Flush Dispose", "blocks", "LinkBlocked" },
        { "Read", "throws", "LinkClosed SessionEnded" }, { "Write", "throws", "LinkClosed" }, { "Flush", "throws", "LinkClosed" }, { "Dispose", "throws", "" },
        { "Read Write Flush Dispose", "throws", "LinkClosed SessionEnded" },
    };

    [Theory]
    [MemberData(nameof(Troubles))]
    public void No_trouble_of_a_stream_keeps_anybody_waiting(string calls, string how, string ids)
    {
        using ManualResetEventSlim never = new();
        foreach (Exception thrown in how == "throws" ? new Exception[] { new IOException(), new ObjectDisposedException("x"), new NotSupportedException(), new ArithmeticException(), new KeyNotFoundException() } : [new IOException()])
        {
            string? told = null;
            Thread thread = new(() => told = Told(new TroubledStream(calls.Split(' '), how == "blocks" ? never : null, thrown))) { IsBackground = true };
            thread.Start();

            Assert.True(thread.Join(TimeSpan.FromSeconds(120)), "It hangs.");
            Assert.Contains(told, ids.Split(' '));
        }

        never.Set();
    }

    [Theory]
    [InlineData("\n", null)]
    [InlineData("x", null)]
    [InlineData("\n", "")]
    [InlineData("x", "")]
    [InlineData("\0", "")]
    public void A_byte_before_each_silence_is_bounded_by_the_time_of_a_log_in(string said, string? wake)
    {
        using ScriptedConsole console = new(peer => Drip(peer, said));
        string manners = Lantern.LogIn + (wake is null ? "" : ", \"wake\": \"\"");
        TerminalTimes times = Hasty with { LogIn = TimeSpan.FromSeconds(6) };

        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device did not come to an end within 6 s while a prompt after log-in was awaited."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(manners), times: times)));
    }

    [Theory]
    [InlineData("\n")]
    [InlineData("x")]
    public void And_by_the_time_of_an_answer(string said)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            Drip(peer, said);
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Hasty);

        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device did not come to an end within 4 s while the answer to 'tell berths' was awaited."), Lantern.Fails(() => dialogue.Ask("tell berths")));
    }

    [Fact]
    public void A_device_that_pours_without_being_asked_is_not_waited_for()
    {
        byte[] text = new byte[16 * 1024];
        Array.Fill(text, (byte)'\n');
        DuplexStream stream = new((_, _) => { }, () => int.MaxValue);
        using CancellationTokenSource over = new();
        Thread pouring = new(() =>
        {
            while (!over.IsCancellationRequested)
            {
                if (stream.Waiting < 100)
                {
                    stream.Say(text);
                }
            }
        }) { IsBackground = true };
        using Dialogue dialogue = new(stream, Lantern.Dialect(), SystemClock.Instance, Hasty, null);
        pouring.Start();

        ProblemId id = Lantern.Fails(() => dialogue.Ask("tell berths")).Id;
        over.Cancel();
        Assert.Contains(id, new[] { ProblemId.PromptNotSeen, ProblemId.AnswerTooLong });
    }

    private static void Drip(ConsolePeer peer, string said)
    {
        while (!peer.Wait(TimeSpan.FromSeconds(0.5)))
        {
            peer.Write(said);
        }
    }

    // The id that a question ends with, and nothing where it is answered.
    private static string Told(Stream stream)
    {
        Dialogue dialogue = new(stream, Lantern.Dialect("\"goodBye\": \"farewell\""), SystemClock.Instance, Hasty, null);
        try
        {
            _ = dialogue.Ask("tell berths");
            return "";
        }
        catch (PoeOpsException exception)
        {
            return exception.Problem.Id.ToString();
        }
        finally
        {
            dialogue.Dispose();
        }
    }

    /// <summary>Answers each line with a prompt; some of its calls block or throw.</summary>
    private sealed class TroubledStream(string[] calls, ManualResetEventSlim? never, Exception thrown) : Stream
    {
        private readonly DuplexStream _well = new(
            (b, say) =>
            {
                if (b == '\r')
                {
                    say("\r\npier-1 awaits: "u8.ToArray());
                }
            },
            () => int.MaxValue);

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => true;

        public override long Length => 0;

        public override long Position { get; set; }

        public override int Read(byte[] buffer, int offset, int count)
        {
            Trouble("Read");
            return _well.Read(buffer, offset, count);
        }

        public override void Write(byte[] buffer, int offset, int count)
        {
            Trouble("Write");
            _well.Write(buffer, offset, count);
        }

        public override void Flush() => Trouble("Flush");

        public override long Seek(long offset, SeekOrigin origin) => 0;

        public override void SetLength(long value)
        {
        }

        protected override void Dispose(bool disposing)
        {
            if (disposing)
            {
                Trouble("Dispose");
                _well.Dispose();
            }

            base.Dispose(disposing);
        }

        private void Trouble(string call)
        {
            if (!calls.Contains(call))
            {
                return;
            }

            if (never is null)
            {
                throw thrown;
            }

            never.Wait();
        }
    }
}
