using System.Globalization;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Whatever a console's quirks are, the reading is the same. A case is told by its quirks and its seed, such as <c>pager=2 log=3, seed 7</c>.</summary>
public sealed class QuirkTests
{
    // A device that is about to say more is not to pass for one that waits, however busy the machine is.
    private static readonly TerminalTimes Times = Lantern.Patient with { Settle = TimeSpan.FromMilliseconds(250) };

    public static TheoryData<string> Kinds => [.. Quirks.All.Keys];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_quirk_alone_changes_nothing(string kind) => AllRead(Quirks.Alone(kind).Select(quirks => (quirks, 1)));

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Nor_does_it_with_any_other(string kind) => AllRead(Quirks.Pairs(kind).Select(quirks => (quirks, 2)));

    [Theory]
    [InlineData(1)]
    [InlineData(101)]
    [InlineData(201)]
    [InlineData(301)]
    public void Nor_do_all_together(int seed) => AllRead(Enumerable.Range(seed, 16).Select(one => (Quirks.Mixed(one), one)));

    // As on a real line, where packets end where they like.
    [Theory]
    [InlineData(401)]
    [InlineData(402)]
    public void Nor_do_they_over_TCP_with_a_moment_between_two_bytes(int seed)
    {
        string text = Quirks.Mixed(seed);
        var quirks = Quirks.Of(text);
        using ScriptedConsole console = new(peer =>
        {
            QuirkyConsole quirky = new(quirks, seed);
            void Say(byte[] bytes)
            {
                foreach (byte[] piece in bytes.Chunk(1))
                {
                    peer.Write(piece);
                    _ = peer.Wait(TimeSpan.FromMilliseconds(1));
                }
            }

            quirky.Begin(Say);
            while (true)
            {
                quirky.Hear(peer.ReadByte(), Say);
            }
        });
        using TerminalLink link = Lantern.Link(console, QuirkyConsole.Dialect(quirks), times: Times);

        Assert.Equal(Truth(text, seed), Told(text, seed, link));
    }

    // They wait most of their time, so they do it at once.
    private static void AllRead(IEnumerable<(string Quirks, int Seed)> cases)
    {
        (string Quirks, int Seed)[] all = [.. cases];
        string[] told = new string[all.Length];
        Thread[] threads = [.. all.Select((_, i) => new Thread(() => told[i] = Read(all[i].Quirks, all[i].Seed)) { IsBackground = true })];
        foreach (Thread[] some in threads.Chunk(64))
        {
            Array.ForEach(some, thread => thread.Start());
            Assert.All(some, thread => Assert.True(thread.Join(TimeSpan.FromMinutes(5)), "It hangs."));
        }

        Assert.Equal(all.Select(one => Truth(one.Quirks, one.Seed)), told);
    }

    private static string Read(string text, int seed)
    {
        var quirks = Quirks.Of(text);
        QuirkyConsole console = new(quirks, seed);
        try
        {
            using TerminalLink link = new(console.Connect, QuirkyConsole.Dialect(quirks), Lantern.Secrets, "pier-1", SystemClock.Instance, Times);
            return Told(text, seed, link);
        }
        catch (PoeOpsException exception)
        {
            return $"{Name(text, seed)}: {exception.Problem}";
        }
    }

    private static string Truth(string text, int seed) => $"{Name(text, seed)}: {string.Join("; ", QuirkyConsole.Truth)}";

    private static string Told(string text, int seed, TerminalLink link)
    {
        SwitchReading reading = link.Read();
        IEnumerable<string> told =
        [
            .. reading.Controllers.Select(one => $"{one.UnitId} {one.Release} {one.Model ?? "-"} {one.Firmware ?? "-"} {one.Condition}"),
            .. reading.Controllers.SelectMany(one => one.Ports).Select(port => $"{port.PortId} {port.Status} {port.Priority}"),
            .. reading.Problems.Select(problem => problem.ToString()),
        ];
        return $"{Name(text, seed)}: {string.Join("; ", told)}";
    }

    private static string Name(string text, int seed) => $"{text}, seed {seed.ToString(CultureInfo.InvariantCulture)}";
}
