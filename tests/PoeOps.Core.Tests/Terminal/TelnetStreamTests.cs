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

    [Theory]
    // RFC 854: a data octet 255 is sent twice.
    [InlineData(new byte[] { (byte)'a', Iac, Iac, (byte)'b' }, new byte[] { (byte)'a', 255, (byte)'b' })]
    // RFC 854, The NVT Printer and Keyboard: CR LF ends a line, CR NUL is a carriage return; another NUL is data here.
    [InlineData(new byte[] { (byte)'a', 13, 0, (byte)'b', 13, 10, 0 }, new byte[] { (byte)'a', 13, (byte)'b', 13, 10, 0 })]
    [InlineData(new byte[] { 13, 0, 0, 13, Iac, Nop, 0, 13, Iac, Iac, 0 }, new byte[] { 13, 0, 13, 13, 255, 0 })]
    // RFC 854, Control Functions: NOP, DM, BRK, IP, AO, AYT, EC, EL, GA have no place in the dialogue; nor has what is no command.
    [InlineData(new byte[] { (byte)'a', Iac, Nop, (byte)'b', Iac, Ga, (byte)'c' }, new byte[] { (byte)'a', (byte)'b', (byte)'c' })]
    [InlineData(new byte[] { Iac, 242, (byte)'a', Iac, 243, Iac, 244, (byte)'b', Iac, 245, Iac, 246, Iac, 247, Iac, 248, (byte)'c', Iac, 239, Iac, 0, Iac, Se, (byte)'d' }, new byte[] { (byte)'a', (byte)'b', (byte)'c', (byte)'d' })]
    // RFC 855, rule 3: what stands between SB and SE is of the option; 255 in it is sent twice.
    [InlineData(new byte[] { (byte)'a', Iac, Sb, 99, 1, Iac, Iac, 2, Iac, Se, (byte)'b' }, new byte[] { (byte)'a', (byte)'b' })]
    // RFC 855 allows no command inside; the dialogue goes on behind it.
    [InlineData(new byte[] { (byte)'a', Iac, Sb, 99, 1, Iac, Wont, 99, (byte)'b' }, new byte[] { (byte)'a', (byte)'b' })]
    [InlineData(new byte[] { (byte)'a', Iac, Sb, 99, 1, Iac, Sb, 98, 2, Iac, Se, (byte)'b' }, new byte[] { (byte)'a', (byte)'b' })]
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

    // RFC 854, Transmission of Data: a carriage return alone is CR NUL; a line feed behind it makes the end of a line.
    [Fact]
    public void A_carriage_return_that_ends_what_is_sent_has_its_NUL_also_where_more_follows_later()
    {
        using CutStream peer = new([], 1);
        using TelnetStream stream = new(peer);

        stream.Write([13]);
        stream.Write([10, 13, 0, 255]);

        Assert.Equal([13, 0, 10, 13, 0, 0, 255, 255], peer.Written);
    }

    [Theory]
    [InlineData(new byte[] { Iac })]
    [InlineData(new byte[] { Iac, Will })]
    [InlineData(new byte[] { Iac, Sb, 24, 1 })]
    [InlineData(new byte[] { Iac, Sb, 24, 1, Iac })]
    public void A_far_end_that_closes_in_the_middle_of_a_command_has_ended(byte[] said)
    {
        using CutStream peer = new([(byte)'a', .. said], 1);

        Assert.Equal([(byte)'a'], TelnetWords.Read(peer));
        Assert.Equal([], peer.Written);
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
        });
        using TelnetStream stream = new(console.Connect());
        byte[] came = new byte[count + 1];
        stream.ReadExactly(came);
        Assert.Equal((byte)'!', came[count]);
        return came[..count];
    }
}
