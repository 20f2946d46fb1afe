using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A server on loopback that negotiates every option there is, demands a subnegotiation of each, takes all back, begins again, and then shows a console.</summary>
public sealed class TelnetServerTests
{
    private const byte Se = 240, Sb = 250, Will = 251, Wont = 252, Do = 253, Dont = 254, Iac = 255;

    // By their numbers in RFC 857, 858, 1091 and 1073.
    private static readonly byte[] TheirsTaken = [1, 3];
    private static readonly byte[] OursTaken = [3, 24, 31];

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_console_behind_every_option_is_read(bool bytewise)
    {
        Dictionary<string, string> answers = new() { ["tell pier"] = "pier pier-1 sails 7.2\r\n", ["tell berths"] = "berth hull firmware state\r\n 1 H-8 3.9 sound\r\n-- berths\r\n", ["tell lamps"] = "lamps of berth 1\r\n 1 lit burns first\r\n-- lamps\r\n" };
        using ScriptedConsole console = new(peer =>
        {
            peer.Bytewise = bytewise;
            Round(peer);
            Subnegotiate(peer, isAgreed: true);
            TakeBack(peer);
            Subnegotiate(peer, isAgreed: false);
            Round(peer);
            Repeat(peer);
            LogIn(peer);
            Serve(peer, answers);
        });
        using TerminalLink link = new(
            () => TcpConnection.Open("127.0.0.1", console.Port, LinkKind.Telnet, SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(60))),
            Lantern.Dialect(Lantern.LogIn, """ "ask": { "release": ["tell pier"], "controllers": ["tell berths"], "ports": ["tell lamps"] } """), Lantern.Secrets, "pier-1", SystemClock.Instance, Lantern.Patient);

        SwitchReading reading = link.Read();

        Assert.Equal([], reading.Problems.Select(problem => problem.ToString()));
        Assert.Equal(["pier-1/1/1 Critical"], reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.PortId} {port.Priority}"));
        Assert.Equal("7.2", Assert.Single(reading.Controllers).Release);
    }

    // Each side of each option is asked for, and each is answered: taken where it is one of ours, refused where it is not.
    private static void Round(ConsolePeer peer)
    {
        for (int option = 0; option <= 255; option++)
        {
            byte o = (byte)option;
            peer.Write([Iac, Do, o, Iac, Will, o]);
            Expect(peer, Iac, OursTaken.Contains(o) ? Will : Wont, o);
            if (o == 31)
            {
                // RFC 1073: 200 columns, and 0 for no height.
                Expect(peer, Iac, Sb, 31, 0, 200, 0, 0, Iac, Se);
            }

            Expect(peer, Iac, TheirsTaken.Contains(o) ? Do : Dont, o);
        }
    }

    // RFC 1143: what was taken is given up, and said to be; what was refused was never on.
    private static void TakeBack(ConsolePeer peer)
    {
        for (int option = 0; option <= 255; option++)
        {
            byte o = (byte)option;
            peer.Write([Iac, Dont, o, Iac, Wont, o]);
            if (OursTaken.Contains(o))
            {
                Expect(peer, Iac, Wont, o);
            }

            if (TheirsTaken.Contains(o))
            {
                Expect(peer, Iac, Dont, o);
            }
        }
    }

    // What is on is asked for once more and not answered: the next answer is the one to an option that is refused.
    private static void Repeat(ConsolePeer peer)
    {
        peer.Write([.. OursTaken.SelectMany(o => new byte[] { Iac, Do, o }), .. TheirsTaken.SelectMany(o => new byte[] { Iac, Will, o }), Iac, Do, 200]);
        Expect(peer, Iac, Wont, 200);
    }

    // RFC 1091: only the terminal type has something to tell when it is asked to SEND, and only while it is agreed on.
    private static void Subnegotiate(ConsolePeer peer, bool isAgreed)
    {
        for (int option = 0; option <= 255; option++)
        {
            byte[] o = option == 255 ? [Iac, Iac] : [(byte)option];
            peer.Write([Iac, Sb, .. o, 1, Iac, Se]);
            peer.Write([Iac, Sb, .. o, 0, .. "x"u8, Iac, Se, Iac, Sb, .. o, Iac, Se, Iac, Sb, .. o, 1, Iac, Iac, 1, Iac, Se]);
            if (option == 24 && isAgreed)
            {
                Expect(peer, [Iac, Sb, 24, 0, .. "dumb"u8, Iac, Se]);
            }
        }

        // Whatever else was answered would stand before this.
        peer.Write([Iac, Do, 201]);
        Expect(peer, Iac, Wont, 201);
    }

    private static void LogIn(ConsolePeer peer)
    {
        peer.Write("Name? ");
        Expect(peer, [.. "mate"u8, 13, 0]);
        peer.Write([Iac, Wont, 1, .. "\r\nWord? "u8]);
        Expect(peer, [Iac, Dont, 1, .. "Tide\\77"u8, 13, 0]);
        peer.Write([Iac, Will, 1, .. "\r\n"u8, .. "pier-1 awaits: "u8, Iac, 249]);
        Expect(peer, Iac, Do, 1);
    }

    // Echoes as agreed, and ends a line with CR NUL LF, as a terminal's driver does that was told nothing of Telnet.
    private static void Serve(ConsolePeer peer, Dictionary<string, string> answers)
    {
        while (true)
        {
            string command = peer.ReadLine();
            Assert.Equal(0, peer.ReadByte());
            peer.Write(command + "\r\0\n" + answers[command].Replace("\r\n", "\r\0\n", StringComparison.Ordinal) + "pier-1 awaits: ");
        }
    }

    private static void Expect(ConsolePeer peer, params byte[] octets) => Assert.Equal(TelnetWords.Of(octets), TelnetWords.Of(peer.Read(octets.Length)));
}
