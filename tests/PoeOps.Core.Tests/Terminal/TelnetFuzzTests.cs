namespace PoeOps.Core.Tests.Terminal;

/// <summary>Whatever a peer says, the dialogue in it comes through whole, nothing else does, and nothing is answered that was not asked.</summary>
public sealed class TelnetFuzzTests
{
    [Fact]
    public void No_octets_throw_hang_or_lose_the_dialogue()
    {
        for (int number = 1; number <= 3000; number++)
        {
            string? fault = TelnetAccount.Fault(number);
            Assert.True(fault is null, $"Case {number}: {fault}");
        }
    }

    // The account itself, by octets whose reading RFC 854 and 855 say.
    [Theory]
    [InlineData("97 IAC 255 98", "97 255 98")]
    [InlineData("97 NOP 98 DM 99 GA 100 AYT 101", "97 98 99 100 101")]
    [InlineData("13 0 13 10 0 13 NOP 0 13 13", "13 13 10 0 13 13 13")]
    [InlineData("97 SB 99 1 255 255 2 SE 98", "97 98")]
    [InlineData("97 SB 99 1 WONT 99 98", "97 98")]
    [InlineData("97 WILL", "97")]
    [InlineData("97 SB 24 255", "97")]
    public void The_account_knows_the_dialogue(string said, string dialogue) =>
        Assert.Equal(TelnetWords.Octets(dialogue), TelnetAccount.Dialogue(TelnetWords.Octets(said.Replace("IAC 255", "255 255", StringComparison.Ordinal))));
}
