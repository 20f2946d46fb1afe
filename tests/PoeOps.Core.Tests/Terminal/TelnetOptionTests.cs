namespace PoeOps.Core.Tests.Terminal;

/// <summary>What is answered to each request for an option, by the words of the standards: a row is a dialogue, with what is said and what is answered to it.</summary>
public sealed class TelnetOptionTests
{
    private const string SayWindow = "SB 31 0 200 0 0 SE";
    private const string SayTerminal = "SB 24 0 100 117 109 98 SE";

    [Theory]
    // RFC 854, General Considerations: a request to enter a mode that is on already is not acknowledged, so that there are no endless loops.
    [InlineData("RFC 854", "WILL 1 | WILL 1 | DO 3 | DO 3", "DO 1 | | WILL 3 |")]
    // RFC 854: a request to disable an option must not be refused, and what is off already is not acknowledged.
    [InlineData("RFC 854", "WONT 1 | DONT 3 | WILL 1 | WONT 1 | WONT 1", "| | DO 1 | DONT 1 |")]
    // RFC 854: an option that is not known is refused, each time it is asked for.
    [InlineData("RFC 854", "WILL 200 | WILL 200 | DO 200 | DO 255", "DONT 200 | DONT 200 | WONT 200 | WONT 255")]
    // RFC 856, section 2: binary transmission is refused both ways, so that the rules of the carriage return hold.
    [InlineData("RFC 856", "WILL 0 | DO 0", "DONT 0 | WONT 0")]
    // RFC 857, sections 2 and 5: the far end may echo; were both to echo, each character would go round for ever.
    [InlineData("RFC 857", "WILL 1 | DO 1", "DO 1 | WONT 1")]
    // RFC 858, sections 2 and 5: suppress-go-ahead is an option of each direction by itself.
    [InlineData("RFC 858", "WILL 3 | DO 3 | WONT 3 | DO 3 | DONT 3", "DO 3 | WILL 3 | DONT 3 | | WONT 3")]
    // RFC 1073, section 2: the size is told once it is agreed on, and again where it is asked for again; the far end has no window of its own to tell.
    [InlineData("RFC 1073", "DO 31 | DO 31 | DONT 31 | DO 31 | WILL 31", "WILL 31 " + SayWindow + " | | WONT 31 | WILL 31 " + SayWindow + " | DONT 31")]
    // RFC 1091, section 2: the type is told when it is asked for, after it was agreed on, and not after it was given up; the far end's is not wanted.
    [InlineData("RFC 1091", "SB 24 1 SE | DO 24 | SB 24 1 SE | SB 24 1 SE | DONT 24 | SB 24 1 SE | WILL 24", "| WILL 24 | " + SayTerminal + " | " + SayTerminal + " | WONT 24 | | DONT 24")]
    // RFC 1091, section 2: SEND is the one octet 1 and nothing more; IS is the client's word.
    [InlineData("RFC 1091", "DO 24 | SB 24 SE | SB 24 0 120 SE | SB 24 1 1 SE | SB 24 2 SE | SB SE | SB 31 1 SE", "WILL 24 | | | | | |")]
    // RFC 855, rule 3: what follows SB is of an option that was agreed on; anything else is passed over to its end.
    [InlineData("RFC 855", "SB 39 1 SE | SB 35 1 SE | SB 5 1 SE | SB 200 24 1 SE", "| | |")]
    // RFC 1143, section 7: an option that is turned off by the far end and on again is answered at each change, and at no other time.
    [InlineData("RFC 1143", "WILL 1 | WONT 1 | WILL 1 | WILL 1 | WONT 1 | WONT 1 | WILL 1", "DO 1 | DONT 1 | DO 1 | | DONT 1 | | DO 1")]
    // RFC 1143, section 7: requests that cross our answers; the far end changes its mind before it has heard them, and both ends come to the last one.
    [InlineData("RFC 1143", "WILL 1 WONT 1 WILL 1 WONT 1 | DO 3 DONT 3 DO 3", "DO 1 DONT 1 DO 1 DONT 1 | WILL 3 WONT 3 WILL 3")]
    // RFC 1143, section 1: the two sides of an option are two options.
    [InlineData("RFC 1143", "WILL 3 | DONT 3 | DO 3 | WONT 3 | DONT 3", "DO 3 | | WILL 3 | DONT 3 | WONT 3")]
    public void Each_request_is_answered_as_the_standard_says(string standard, string said, string answered)
    {
        Assert.StartsWith("RFC ", standard, StringComparison.Ordinal);
        string[] requests = said.Split('|');
        string[] answers = answered.Split('|');
        Assert.Equal(requests.Length, answers.Length);
        byte[] octets = [.. requests.SelectMany(TelnetWords.Octets)];
        foreach (int size in new[] { 1, 2, 3, 1000 })
        {
            using CutStream peer = new(octets, size);
            Assert.Equal([], TelnetWords.Read(peer));
            Assert.Equal(string.Join(" ", answers.Select(answer => answer.Trim()).Where(answer => answer.Length > 0)), TelnetWords.Of(peer.Written));
        }
    }

    [Fact]
    public void A_far_end_that_asks_for_one_thing_without_end_is_answered_32_times_and_again_once_the_dialogue_goes_on()
    {
        byte[] storm = [.. Enumerable.Repeat(TelnetWords.Octets("DO 200"), 500).SelectMany(octets => octets)];
        using CutStream peer = new([.. storm, (byte)'a', .. storm], 100);

        Assert.Equal([(byte)'a'], TelnetWords.Read(peer));
        Assert.Equal(64 * 3, peer.Written.Length);
    }

    [Fact]
    public void A_far_end_that_turns_an_option_on_and_off_without_end_is_answered_32_times_and_last_with_off()
    {
        using CutStream peer = new([.. Enumerable.Repeat(TelnetWords.Octets("WILL 1 WONT 1"), 500).SelectMany(octets => octets)], 100);

        Assert.Equal([], TelnetWords.Read(peer));
        Assert.Equal(string.Join(" ", Enumerable.Repeat("DO 1 DONT 1", 32)), TelnetWords.Of(peer.Written));
    }

    // A console that echoes only while no secret is typed says so at each log-in; the dialogue between lets it do so for ever.
    [Fact]
    public void An_option_that_changes_with_each_question_is_answered_at_each()
    {
        byte[] question = [.. TelnetWords.Octets("WILL 1"), (byte)'?', .. TelnetWords.Octets("WONT 1"), (byte)'!'];
        using CutStream peer = new([.. Enumerable.Repeat(question, 200).SelectMany(octets => octets)], 7);

        Assert.Equal(400, TelnetWords.Read(peer).Length);
        Assert.Equal(string.Join(" ", Enumerable.Repeat("DO 1 DONT 1", 200)), TelnetWords.Of(peer.Written));
    }

    [Fact]
    public void A_far_end_that_takes_no_answer_is_read_to_its_end()
    {
        byte[] octets = [(byte)'a', .. TelnetWords.Octets("WILL 1 DO 24"), (byte)'b', .. TelnetWords.Octets("DO 31"), (byte)'c'];
        using CutStream peer = new(octets, 1000) { TakesNothing = true };

        Assert.Equal("abc"u8.ToArray(), TelnetWords.Read(peer));
        Assert.Equal(1, peer.Refused);
    }
}
