using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Core.Tests.Refresh;

/// <summary>A unit's ports as a record keeps them, and read back.</summary>
public sealed class PortSnapshotTests
{
    [Fact]
    public void Ports_come_back_as_they_were_whatever_they_are_now()
    {
        Controller was = Sample.Unit().With(port => port with { AdminEnabled = false, Priority = null, LimitWatts = 0.125m }, "4")
            .With(port => port with { PdClass = 4, DrawWatts = 6.25m }, "1").With(port => port with { PdClassA = 3, PdClassB = 4, DrawWatts = 0 }, "2");
        IReadOnlyList<string> texts = PortSnapshot.Write(was.Ports);
        Controller now = Sample.Unit("3.0").Dark().With(port => port with { AdminEnabled = null, Priority = PortPriority.Critical, LimitWatts = 1, PdClass = 2, DrawWatts = 1 });

        Controller before = PortSnapshot.Before(texts, now)!;

        Assert.Equal(["1: powered on Low 15.4 4 6.25", "2: powered on Critical - 3+4 0", "3: unpowered on Low - - -", "4: powered off - 0.125 - -"], texts);
        Assert.Equal(was.Ports.Select(Text), before.Ports.Select(Text));
        Assert.Equal(["desk phone", "help point A", null, null], before.Ports.Select(port => port.Load));
        Assert.Equal("3.0", before.Firmware);
    }

    [Fact]
    public void A_port_that_is_not_listed_any_more_is_known_by_its_name()
    {
        Controller before = PortSnapshot.Before(["left: 9: powered on Low -"], Sample.Unit())!;

        Assert.Equal("north-1/2/left: 9", Assert.Single(before.Ports).PortId.ToString());
    }

    [Theory]
    [InlineData("1")]
    [InlineData("1: powered on Low")]
    [InlineData("1: dark on Low -")]
    [InlineData("1: powered maybe Low -")]
    [InlineData("1: powered on Low - 9 -")]
    [InlineData("1: powered on Low - 4")]
    public void A_text_that_is_none_gives_nothing(string text)
    {
        Assert.Null(PortSnapshot.Before(["2: powered on Low -", text], Sample.Unit()));
        Assert.Null(PortSnapshot.Before(null, Sample.Unit()));
    }

    private static string Text(Port port) => $"{port.Name} {port.Delivering} {port.AdminEnabled} {port.Priority} {port.LimitWatts} {port.PdClass} {port.PdClassA} {port.PdClassB} {port.DrawWatts}";
}
