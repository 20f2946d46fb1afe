using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Telnet's commands and options by their numbers in RFC 854, 855, 857 (echo 1), 858 (suppress go ahead 3), 1091 (terminal type 24), 1073 (window size 31).</summary>
public sealed class TelnetStreamTests
{
    private const byte Se = 240, Nop = 241, Ga = 249, Sb = 250, Will = 251, Wont = 252, Do = 253, Dont = 254, Iac = 255;

    [Fact]
    public void Every_option_that_the_far_end_offers_or_wants_is_answered_once_and_only_four_are_taken()
    {
        List<byte> offers = [];
        List<byte> wanted = [];
        for (int option = 0; option <= 255; option++)
        {
            byte o = (byte)option;
            offers.AddRange([Iac, Will, o, Iac, Do, o]);
            wanted.AddRange([Iac, o is 1 or 3 ? Do : Dont, o, Iac, o is 3 or 24 or 31 ? Will : Wont, o]);
            if (o == 31)
            {
                wanted.AddRange([Iac, Sb, 31, 0, 200, 0, 0, Iac, Se]);
            }
        }

        Assert.Equal([.. wanted], Answers([.. offers], wanted.Count));
    }

    [Fact]
    public void What_is_so_already_is_not_answered_again()
    {
        byte[] said =
        [
            Iac, Wont, 1, Iac, Dont, 3, Iac, Wont, 200, Iac, Dont, 200,
            Iac, Will, 1, Iac, Will, 1, Iac, Do, 3, Iac, Do, 3,
            Iac, Wont, 1, Iac, Wont, 1, Iac, Dont, 3, Iac, Dont, 3,
        ];

        Assert.Equal([Iac, Do, 1, Iac, Will, 3, Iac, Dont, 1, Iac, Wont, 3], Answers(said, 12));
    }

    [Fact]
    public void A_far_end_that_asks_without_end_is_answered_no_more()
    {
        List<byte> said = [];
        for (int i = 0; i < 500; i++)
        {
            said.AddRange([Iac, Do, 200]);
        }

        byte[] answers = Answers([.. said], 32 * 3);

        Assert.Equal(32, answers.Chunk(3).Count(one => one is [Iac, Wont, 200]));
    }

    [Fact]
    public void Asked_for_its_terminal_type_it_says_dumb() =>
        Assert.Equal(
            [Iac, Will, 24, Iac, Sb, 24, 0, (byte)'d', (byte)'u', (byte)'m', (byte)'b', Iac, Se],
            Answers([Iac, Do, 24, Iac, Sb, 24, 1, Iac, Se], 13));

    [Fact]
    public void A_terminal_type_that_was_not_agreed_on_is_not_told() => Assert.Empty(Answers([Iac, Sb, 24, 1, Iac, Se], 0));

    [Theory]
    [InlineData(new byte[] { (byte)'a', Iac, Iac, (byte)'b' }, new byte[] { (byte)'a', 255, (byte)'b' })]
    [InlineData(new byte[] { (byte)'a', 13, 0, (byte)'b', 13, 10, 0 }, new byte[] { (byte)'a', 13, (byte)'b', 13, 10, 0 })]
    [InlineData(new byte[] { (byte)'a', Iac, Nop, (byte)'b', Iac, Ga, (byte)'c' }, new byte[] { (byte)'a', (byte)'b', (byte)'c' })]
    [InlineData(new byte[] { (byte)'a', Iac, Sb, 99, 1, Iac, Iac, 2, Iac, Se, (byte)'b' }, new byte[] { (byte)'a', (byte)'b' })]
    [InlineData(new byte[] { (byte)'a', Iac, Sb, 99, 1, Iac, Wont, 99, (byte)'b' }, new byte[] { (byte)'a', (byte)'b' })]
    public void Only_the_dialogue_comes_through(byte[] said, byte[] wanted)
    {
        Assert.Equal(wanted, Comes(said, wanted.Length, bytewise: false));
        Assert.Equal(wanted, Comes(said, wanted.Length, bytewise: true));
    }

    [Fact]
    public void A_subnegotiation_that_does_not_end_swallows_no_more_than_it_may()
    {
        byte[] said = [Iac, Sb, 99, .. new byte[1023], (byte)'o', (byte)'n'];

        Assert.Equal([(byte)'o', (byte)'n'], Comes(said, 2, bytewise: false));
    }

    [Fact]
    public void What_is_sent_is_escaped()
    {
        byte[]? heard = null;
        using ManualResetEventSlim read = new();
        using ScriptedConsole console = new(peer =>
        {
            heard = peer.Read(11);
            read.Set();
        });
        using TelnetStream stream = new(console.Connect());

        stream.Write([(byte)'a', 255, (byte)'b', 13, (byte)'c', 13, 10, 13]);

        Assert.True(read.Wait(TimeSpan.FromSeconds(60)));
        Assert.Equal([(byte)'a', 255, 255, (byte)'b', 13, 0, (byte)'c', 13, 10, 13, 0], heard);
    }

    [Fact]
    public void The_end_of_the_connection_is_the_end_of_the_stream()
    {
        using ScriptedConsole console = new(peer => peer.Write([Iac, Nop]));
        using TelnetStream stream = new(console.Connect());

        Assert.Equal(0, stream.Read(new byte[16]));
    }

    /// <summary>What is answered to the bytes; more than was expected would come before the mark at the end.</summary>
    private static byte[] Answers(byte[] said, int count)
    {
        byte[]? answers = null;
        byte mark = 0;
        using ManualResetEventSlim read = new();
        using ScriptedConsole console = new(peer =>
        {
            peer.Write([.. said, (byte)'!']);
            answers = peer.Read(count);
            mark = peer.ReadByte();
            read.Set();
        });
        using TelnetStream stream = new(console.Connect());
        Assert.Equal('!', stream.ReadByte());
        stream.Write([(byte)'?']);

        Assert.True(read.Wait(TimeSpan.FromSeconds(60)), "Less was answered than expected.");
        Assert.Equal((byte)'?', mark);
        return answers!;
    }

    private static byte[] Comes(byte[] said, int count, bool bytewise)
    {
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = bytewise;
            peer.Write([.. said, (byte)'!']);
            peer.Hang();
        });
        using TelnetStream stream = new(console.Connect());
        byte[] came = new byte[count + 1];
        stream.ReadExactly(came);
        Assert.Equal((byte)'!', came[count]);
        return came[..count];
    }
}
