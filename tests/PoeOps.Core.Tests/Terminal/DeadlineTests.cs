using System.Net.Sockets;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Consoles that hang, close or block: nothing waits for ever, and each is told as what it is.</summary>
public sealed class DeadlineTests
{
    private static readonly TerminalTimes Hasty = Lantern.Patient with { Silence = TimeSpan.FromSeconds(1.5), Write = TimeSpan.FromSeconds(1.5) };

    [Fact]
    public void A_console_that_hangs_after_the_connection_is_silent()
    {
        using ScriptedConsole console = new(peer => peer.Hang());

        Assert.Equal(
            (ProblemId.LinkSilent, "The device said nothing for 1.5 s while a prompt after log-in was awaited."),
            Lantern.Fails(() => Lantern.Link(console, Lantern.Dialect(Lantern.LogIn), times: Hasty)));
    }

    [Fact]
    public void A_console_that_hangs_in_the_middle_of_an_answer_is_told_with_its_last_line()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            peer.Write("one\r\ntw");
            peer.Hang();
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Hasty);

        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device stopped at 'tw' for 1.5 s while the answer to 'tell berths' was awaited."), Lantern.Fails(() => dialogue.Ask("tell berths")));
    }

    [Fact]
    public void A_console_that_goes_on_talking_is_stopped_by_the_deadline_of_the_whole_answer()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            while (!peer.Wait(TimeSpan.FromMilliseconds(10)))
            {
                peer.Write("and more\r\n");
            }
        });
        using Dialogue dialogue = Lantern.Talk(console, times: Lantern.Patient with { Command = TimeSpan.FromSeconds(5) });

        Assert.Equal(
            (ProblemId.PromptNotSeen, "The device did not come to an end within 5 s while the answer to 'tell berths' was awaited."),
            Lantern.Fails(() => dialogue.Ask("tell berths")));
    }

    [Fact]
    public void A_console_that_closes_in_the_middle_of_an_answer_is_told_so()
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            peer.Write("one\r\ntw");
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(
            (ProblemId.LinkClosed, "The device closed the connection while the answer to 'tell berths' was awaited; its last words: 'one', 'tw'."), Lantern.Fails(() => dialogue.Ask("tell berths")));
    }

    [Fact]
    public void An_answer_without_end_is_bounded()
    {
        byte[] text = new byte[64 * 1024];
        Array.Fill(text, (byte)'x');
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            while (!peer.Wait(TimeSpan.Zero))
            {
                peer.Write(text);
            }
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal((ProblemId.AnswerTooLong, "The device sent more than 8388608 characters without a prompt."), Lantern.Fails(() => dialogue.Ask("tell all")));
    }

    [Fact]
    public void A_console_that_takes_nothing_is_blocked_and_nothing_more_is_tried()
    {
        using ScriptedConsole console = new(peer => peer.Hang());
        NetworkStream stream = (NetworkStream)console.Connect();
        stream.Socket.SendBufferSize = 4096;
        using Dialogue dialogue = new(stream, Lantern.Dialect(), SystemClock.Instance, Hasty, null);
        string much = new('x', 32 * 1024 * 1024);
        (ProblemId, string) blocked = (ProblemId.LinkBlocked, "The device did not take what was sent to it within 1.5 s.");

        Assert.Equal(blocked, Lantern.Fails(() => dialogue.Ask(much)));
        Assert.Equal(blocked, Lantern.Fails(() => dialogue.Ask("short")));
    }

    [Fact]
    public void A_stream_whose_write_and_dispose_block_for_ever_keeps_nobody_waiting()
    {
        using StuckStream stream = new();
        Dialogue dialogue = new(stream, Lantern.Dialect("\"goodBye\": \"farewell\""), SystemClock.Instance, Hasty, null);
        try
        {
            Assert.Equal(ProblemId.LinkBlocked, Lantern.Fails(() => dialogue.Ask("tell berths")).Id);
        }
        finally
        {
            dialogue.Dispose();
        }

        // Here at all: dispose came back although the stream's never does.
        Assert.True(stream.DisposeIsStuck);
    }

    [Fact]
    public void A_stream_that_throws_something_of_its_own_is_a_closed_link_and_no_crash()
    {
        using Dialogue dialogue = new(new BrokenStream(), Lantern.Dialect(), SystemClock.Instance, Lantern.Patient, null);

        // Its first read may have failed before anything was sent, or after.
        ProblemId id = Lantern.Fails(() => dialogue.Ask("tell berths")).Id;
        Assert.Contains(id, new[] { ProblemId.LinkClosed, ProblemId.SessionEnded });
    }

    /// <summary>A stream as of a link whose far end has died: nothing ever comes back from it.</summary>
    private sealed class StuckStream : MemoryStream
    {
        private readonly ManualResetEventSlim _never = new();
        private int _disposals;

        public bool DisposeIsStuck => SpinWait.SpinUntil(() => _disposals > 0, TimeSpan.FromSeconds(30));

        public override int Read(byte[] buffer, int offset, int count)
        {
            _never.Wait();
            return 0;
        }

        public override void Write(byte[] buffer, int offset, int count) => _never.Wait();

        protected override void Dispose(bool disposing)
        {
            if (Interlocked.Increment(ref _disposals) == 1)
            {
                _never.Wait();
            }

            _never.Set();
            base.Dispose(disposing);
        }
    }

    private sealed class BrokenStream : MemoryStream
    {
        public override int Read(byte[] buffer, int offset, int count) => throw new TimeoutException("The session is gone.");

        public override void Write(byte[] buffer, int offset, int count) => throw new TimeoutException("The session is gone.");
    }
}
