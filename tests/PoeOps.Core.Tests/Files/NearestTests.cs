using PoeOps.Files;

namespace PoeOps.Core.Tests.Files;

public sealed class NearestTests
{
    [Theory]
    [InlineData("zoen", "zone")] // a swap is one edit, so it beats 'open' and 'none'
    [InlineData("ZONE", "zone")]
    [InlineData("opns", "opens")]
    [InlineData("", "open")]
    public void The_word_with_the_fewest_edits_is_the_nearest(string word, string expected) =>
        Assert.Equal(expected, Nearest.To(word, ["open", "none", "zone", "opens", "windows"]));

    [Theory]
    [InlineData("opns", "opens")]
    [InlineData("WIND", "windows")] // a beginning
    [InlineData("win", null)]
    [InlineData("places", null)]
    public void Only_what_is_near_is_close(string word, string? expected) => Assert.Equal(expected, Nearest.Close(word, ["open", "none", "zone", "opens", "windows"]));

    [Fact]
    public void Nothing_known_gives_no_hint() => Assert.Equal("", Nearest.Hint("x", []));

    [Theory]
    [InlineData("Credentail", "; the nearest is 'Credential'")]
    [InlineData("Addr", "; the nearest is 'Address'")]
    [InlineData("switch name", "; the nearest is 'Switch'")]
    [InlineData("Hostname", "")]
    [InlineData("IP", "")]
    [InlineData("Location", "")]
    [InlineData("", "")]
    public void A_hint_is_given_where_a_word_is_near(string word, string hint) =>
        Assert.Equal(hint, Nearest.HintIfNear(word, ["Site", "Zone", "Switch", "Address", "Port", "Link", "Dialect", "Credential", "ClearText"]));
}
