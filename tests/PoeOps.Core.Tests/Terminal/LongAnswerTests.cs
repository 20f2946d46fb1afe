using System.Text;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>Answers of four million bytes and more.</summary>
public sealed class LongAnswerTests
{
    private const int Bound = 8 * 1024 * 1024;

    // Ⓐ is three bytes of UTF-8, so that a piece may end in it.
    private static readonly string FourMillion = string.Concat(Enumerable.Range(0, 62_500).Select(i => $"{i,9} " + new string('x', 48) + "Ⓐ z\r\n"));

    [Theory]
    [InlineData(int.MaxValue)]
    [InlineData(1)]
    [InlineData(1447)]
    public void One_of_four_million_bytes_is_whole_whatever_the_pieces_it_comes_in(int piece)
    {
        Assert.Equal(FourMillion, Answer(FourMillion, piece));
    }

    // The prompt, its blank and the echo count as well.
    [Theory]
    [InlineData(0, "")]
    [InlineData(1, "The device sent more than 8388608 characters without a prompt.")]
    public void One_at_the_bound_is_taken_and_one_above_it_is_not(int more, string told)
    {
        const string Echo = "tell all\r\n";
        string line = new string('y', 62) + "\r\n";
        string answer = string.Concat(Enumerable.Repeat(line, (Bound / line.Length) - 1));
        answer += new string('z', Bound - answer.Length - Echo.Length - Lantern.Prompt.Length - 2 + more) + "\r\n";
        string found = "";
        if (more == 0)
        {
            Assert.Equal(answer, Answer(answer, int.MaxValue));
        }
        else
        {
            found = Lantern.Fails(() => Answer(answer, int.MaxValue)).Sentence;
        }

        Assert.Equal(told, found);
    }

    // What the dialogue holds is bounded, and so is what waits to be looked at.
    [Fact]
    public void A_console_that_pours_for_ever_is_cut_and_takes_no_more_memory_than_that()
    {
        byte[] text = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("and more and more\r\n", 800)));
        long before = GC.GetTotalMemory(forceFullCollection: true);
        using ScriptedConsole console = new(peer =>
        {
            peer.ReadLine();
            while (!peer.Wait(TimeSpan.Zero))
            {
                peer.Write(text);
            }
        });
        using Dialogue dialogue = Lantern.Talk(console);

        Assert.Equal(ProblemId.AnswerTooLong, Lantern.Fails(() => dialogue.Ask("tell all")).Id);
        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, 0, 200_000_000);
    }

    private static string Answer(string text, int piece)
    {
        DuplexStream stream = new(
            (b, say) =>
            {
                if (b == '\r')
                {
                    say(Encoding.UTF8.GetBytes("tell all\r\n" + text + Lantern.Prompt));
                }
            },
            () => piece);
        using Dialogue dialogue = new(stream, Lantern.Dialect(), SystemClock.Instance, Lantern.Patient, null);
        return dialogue.Ask("tell all");
    }
}
