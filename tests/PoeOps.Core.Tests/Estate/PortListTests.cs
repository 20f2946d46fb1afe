using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class PortListTests
{
    [Theory]
    [InlineData("1-8,12,A3", "1 8 12 A3 a3 08 012", "0 9 11 13 A2 B3", 10)]
    [InlineData("A1-A4", "A1 a4 A02", "1 A5 B1", 4)]
    [InlineData("0/1-4", "0/1 0/4", "1/1 0/5 1", 4)]
    [InlineData("left-3", "left-3 LEFT-3", "left-2 left-1 3", 1)]
    [InlineData("left-3-left-5", "left-3 left-4 left-5", "left-6", 3)]
    [InlineData("uplink, 7 - 9", "uplink Uplink 7 8 9", "uplink1 10", 4)]
    public void Names_and_ranges_are_read(string text, string inside, string outside, int count)
    {
        PortList ports = PortList.Read(text, out string? wrong)!;
        Assert.Null(wrong);
        Assert.Equal(count, ports.Count);
        Assert.All(inside.Split(' '), port => Assert.True(ports.Contains(port), port));
        Assert.All(outside.Split(' '), port => Assert.False(ports.Contains(port), port));
    }

    [Theory]
    [InlineData("", "a name is empty or has space around it")]
    [InlineData("1,,2", "a name is empty or has space around it")]
    [InlineData("8-1", "the range '8-1' ends before it begins")]
    [InlineData("1-999999", "the range '1-999999' has more than 4096 ports")]
    [InlineData("1-8,4", "'4' names a port that the list has already")]
    [InlineData("a,A", "'A' names a port that the list has already")]
    [InlineData("1..3", "'1..3' is no range; 1-3 is")]
    [InlineData("A1 \u2013 A3", "'A1 \u2013 A3' is no range; A1-A3 is")]
    [InlineData("4,1\u20263", "'1\u20263' is no range; 1-3 is")]
    [InlineData("1\t2", "a name has a control character in it")]
    public void What_is_no_list_is_told_why(string text, string reason)
    {
        Assert.Null(PortList.Read(text, out string? wrong));
        Assert.Equal(reason, wrong);
    }

    [Fact]
    public void The_first_port_in_common_is_found()
    {
        PortList left = PortList.Read("1-8,A1-A4", out _)!;
        Assert.Equal("A3", left.FirstInCommon(PortList.Read("9-12,A3-A9", out _)!));
        Assert.Equal("6", left.FirstInCommon(PortList.Read("6-12", out _)!));
        Assert.Null(left.FirstInCommon(PortList.Read("9,B1", out _)!));
    }
}
