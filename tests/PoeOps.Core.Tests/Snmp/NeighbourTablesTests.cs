using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Power;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Who hangs on a port. Codings from IEEE 802.1AB, ANSI/TIA-1057 and, for columns 7 to 11 of the 802.3 table, from lldpd (the project's notes, section 3).</summary>
public sealed class NeighbourTablesTests
{
    private const string Med = SyntheticWalk.Lldp + ".5.4795.1.3";
    private const string Dot3 = SyntheticWalk.Lldp + ".5.4623.1.3.2.1";

    // Two ports, whose interfaces are 101 and 102 and whose bridge ports are 1 and 2.
    private static SyntheticWalk TwoPorts(bool bridge = true)
    {
        SyntheticWalk walk = new SyntheticWalk().Group(1, 370, 1, 20).Port(1, 1, 3, 4).Port(1, 2, 3, 4).Interface(101, "e1").Interface(102, "e2");
        return bridge ? walk.BridgePort(1, 101).BridgePort(2, 102) : walk;
    }

    private static Port[] Ports(SyntheticWalk walk)
    {
        SnmpReading reading = walk.Read();
        Assert.Empty(Told.Of(reading.Problems));
        return [.. reading.Controllers[0].Ports];
    }

    [Fact]
    public void A_local_port_is_a_bridge_port()
    {
        Port[] ports = Ports(TwoPorts().Heard(0, 2, 7, "phone-2", "24"));
        Assert.Equal([null, "phone-2"], ports.Select(port => port.Neighbour));
        Assert.Equal([null, "bridge, telephone"], ports.Select(port => port.NeighbourCapabilities));
        Assert.Equal("RFC 3621; no watts drawn; interface by order of names; neighbour by LLDP", ports[1].Source);
    }

    [Fact]
    public void Without_bridge_ports_it_is_an_interface() => Assert.Equal(["phone-1", null], Ports(TwoPorts(bridge: false).Heard(0, 101, 7, "phone-1", "04")).Select(port => port.Neighbour));

    [Fact]
    public void Or_what_the_agent_calls_it()
    {
        SyntheticWalk walk = TwoPorts(bridge: false).Heard(0, 9, 7, "phone-2", "04").Number(SyntheticWalk.Lldp + ".3.7.1.2.9", 5).Text(SyntheticWalk.Lldp + ".3.7.1.3.9", "e2");
        Assert.Equal([null, "phone-2"], Ports(walk).Select(port => port.Neighbour));
    }

    [Fact]
    public void Number_and_name_that_disagree_are_told_and_nobody_hangs_there()
    {
        SnmpReading reading = TwoPorts().Heard(0, 1, 7, "phone", "04").Number(SyntheticWalk.Lldp + ".3.7.1.2.1", 5).Text(SyntheticWalk.Lldp + ".3.7.1.3.1", "e2").Read();
        Assert.Equal(
            ["ReadingsDisagree - -: LLDP's local port 1 is interface 101 by its number and interface 102 by its name, so that nobody knows whose neighbours were heard on it. Compare lldpLocPortTable with dot1dBasePortTable on the switch."],
            Told.Of(reading.Problems));
        Assert.Equal([null, null], reading.Controllers[0].Ports.Select(port => port.Neighbour));
        Assert.Equal(1, reading.Controllers[0].ReadingProblems);
    }

    // BITS count from the high end (RFC 3417 section 8): 10 is a WLAN access point, 04 a telephone; 24 would be the same from either end.
    [Theory]
    [InlineData("10", "wlanAccessPoint")]
    [InlineData("04", "telephone")]
    [InlineData("08", "router")]
    [InlineData("14", "wlanAccessPoint, telephone")]
    [InlineData("80", "other")]
    [InlineData("01", "stationOnly")]
    [InlineData("00", null)]
    public void Capabilities_are_bits_from_the_high_end(string octets, string? expected) => Assert.Equal(expected, Ports(TwoPorts().Heard(0, 1, 7, "x", octets))[0].NeighbourCapabilities);

    [Fact]
    public void Under_rising_marks_the_newest_row_is_taken() =>
        Assert.Equal("new", Ports(TwoPorts().Heard(0, 1, 7, "old", "04").Heard(900, 1, 7, "new", "04").Heard(30, 1, 7, "older", "04"))[0].Neighbour);

    [Fact]
    public void Of_several_the_pd_is_taken_and_of_two_alike_both_are_named()
    {
        Port[] ports = Ports(TwoPorts()
            .Heard(0, 1, 7, "computer", "01").Heard(0, 1, 8, "phone", "24")
            .Heard(0, 2, 3, "b", "01").Heard(0, 2, 2, "a", "01").Heard(0, 2, 9, "uplink", "28"));
        Assert.Equal(["phone", "a, b"], ports.Select(port => port.Neighbour));
    }

    [Theory]
    [InlineData(4, "Hex-STRING: 00 1B 21 00 00 07 ", "00:1b:21:00:00:07")]
    [InlineData(5, "Hex-STRING: 01 C0 00 02 07 ", "192.0.2.7")]
    [InlineData(5, "Hex-STRING: 02 20 01 0D B8 00 00 00 00 00 00 00 00 00 00 00 07 ", "2001:db8::7")]
    [InlineData(7, "STRING: \"locker 7\"", "locker 7")]
    public void Without_a_name_the_chassis_id_is_taken(int subtype, string value, string expected)
    {
        SyntheticWalk walk = TwoPorts().Number(SyntheticWalk.Lldp + ".4.1.1.4.0.1.7", subtype).Line(SyntheticWalk.Lldp + ".4.1.1.5.0.1.7 = " + value);
        Assert.Equal(expected, Ports(walk)[0].Neighbour);
    }

    // Tenths of a watt, at the PD.
    [Fact]
    public void What_802_3_agreed_on_comes_before_what_med_asks_for()
    {
        SyntheticWalk walk = TwoPorts().Heard(0, 1, 7, "radio", "10").Heard(0, 2, 8, "phone", "04")
            .Number(Med + ".1.1.3.0.1.7", 3).Number(Med + ".7.1.1.0.1.7", 65, "Gauge32").Number(Med + ".7.1.1.0.2.8", 65, "Gauge32").Number(Med + ".1.1.3.0.2.8", 3)
            .Number(Dot3 + ".1.0.1.7", 2).Number(Dot3 + ".11.0.1.7", 255);
        Port[] ports = Ports(walk);
        Assert.Equal([25.5m, 6.5m], ports.Select(port => port.AllocatedPdWatts));
        Assert.Equal([AllocationSource.Neighbour, AllocationSource.Neighbour], ports.Select(port => port.AllocatedBy!.Value));
        Assert.Equal(["LLDP, LLDP-MED, LLDP 802.3", "LLDP, LLDP-MED"], ports.Select(port => port.Source.Split("neighbour by ")[1]));
    }

    [Fact]
    public void What_our_side_says_it_allocated_comes_first_and_nothing_is_no_watts()
    {
        SyntheticWalk walk = TwoPorts().Heard(0, 1, 7, "radio", "10").Heard(0, 2, 8, "phone", "04")
            .Number(Dot3 + ".1.0.1.7", 2).Number(Dot3 + ".11.0.1.7", 255).Number(SyntheticWalk.Lldp + ".5.4623.1.2.2.1.11.1", 200)
            .Number(Dot3 + ".1.0.2.8", 2).Number(Dot3 + ".11.0.2.8", 0);
        Assert.Equal([20m, null], Ports(walk).Select(port => port.AllocatedPdWatts));
    }

    [Fact]
    public void A_power_that_is_none_is_told()
    {
        SnmpReading reading = TwoPorts().Heard(0, 1, 7, "radio", "10").Number(Med + ".7.1.1.0.1.7", 1024, "Gauge32").Read();
        Assert.Equal(["NeighbourPowerUnreadable north/1"], reading.Problems.Select(problem => $"{problem.Id} {problem.Target}"));
        Assert.Null(reading.Controllers[0].Ports[0].AllocatedPdWatts);
    }

    // Four codings: RFC 3621 critical 1, high 2, low 3; MED MIB unknown 1, critical 2, high 3, low 4; 802.3 MIB low 1, high 2, critical 3, unknown 4.
    [Theory]
    [InlineData(Dot3 + ".9.0.1.7", 3, "Critical")]
    [InlineData(Dot3 + ".9.0.1.7", 1, "Low")]
    [InlineData(Dot3 + ".9.0.1.7", 4, null)]
    [InlineData(Med + ".7.1.3.0.1.7", 2, "Critical")]
    [InlineData(Med + ".7.1.3.0.1.7", 4, "Low")]
    [InlineData(Med + ".7.1.3.0.1.7", 1, null)]
    [InlineData(SyntheticWalk.Lldp + ".5.4795.1.2.11.1.2.1", 3, "High")]
    public void Priorities_in_their_codings(string oid, int number, string? expected)
    {
        SyntheticWalk walk = new SyntheticWalk().Group(1, 370, 1, 15).Interface(101, "e1").BridgePort(1, 101).Heard(0, 1, 7, "x", "04").Number(SyntheticWalk.Peth + ".1.1.6.1.1", 3)
            .Number(Dot3 + ".1.0.1.7", 2).Number(Med + ".1.1.3.0.1.7", 3).Number(oid, number);
        Assert.Equal(expected, Ports(walk)[0].Priority?.ToString());
    }

    [Fact]
    public void A_priority_that_is_none_is_told_and_the_ports_own_stays()
    {
        SnmpReading reading = TwoPorts().Heard(0, 1, 7, "x", "04").Number(Dot3 + ".1.0.1.7", 2).Number(Dot3 + ".9.0.1.7", 5).Read();
        Assert.Equal(
            "lldpXdot3RemPowerPriority (1.0.8802.1.1.2.1.5.4623.1.3.2.1.9.0.1.7): 5 is no priority of the 802.3 LLDP MIB, which has 1 to 4.", Assert.Single(reading.Problems).Sentence);
        Assert.Equal((ProblemId.PriorityUnknown, PortPriority.Low), (reading.Problems[0].Id, reading.Controllers[0].Ports[0].Priority));
    }

    // LLDP-V2-MIB: the index holds the interface itself, and the columns are one further.
    [Fact]
    public void The_newer_module_says_the_interface()
    {
        const string Remote = ".1.3.111.2.802.1.1.13.1.4.1.1";
        SyntheticWalk walk = TwoPorts(bridge: false).Text(Remote + ".10.5.102.1.7", "radio-2").Line(Remote + ".13.5.102.1.7 = BITS: 10 00 00");
        Assert.Equal(["-", "radio-2 wlanAccessPoint"], Ports(walk).Select(port => port.Neighbour is null ? "-" : $"{port.Neighbour} {port.NeighbourCapabilities}"));
    }

    [Fact]
    public void A_port_that_feeds_nothing_has_nothing_agreed() =>
        Assert.Null(Ports(new SyntheticWalk().Group(1, 370, 1, 0).Port(1, 1, 2).Interface(101, "e1").BridgePort(1, 101).Heard(0, 1, 7, "x", "04").Number(Dot3 + ".1.0.1.7", 2).Number(Dot3 + ".11.0.1.7", 65))[0].AllocatedPdWatts);
}
