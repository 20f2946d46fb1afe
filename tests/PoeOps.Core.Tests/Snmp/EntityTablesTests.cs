using PoeOps.Core.Tests.Files;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Which entity is a group's, what of it is the PSE controller's, and which interface a port is. Classes of entities from RFC 6933 (IANA-ENTITY-MIB).</summary>
public sealed class EntityTablesTests
{
    private const int Chassis = 3, Container = 5, Module = 9, PortClass = 10, Stack = 11, Other = 1;

    // The tree of a real agent (the project's notes, section 2): a stack of one member, number 3, whose place among its siblings is 0 and whose index is 3001.
    private static SyntheticWalk RealTree()
    {
        SyntheticWalk walk = new SyntheticWalk().Group(3, 370, 1, 20)
            .Physical(1, Stack, 0, -1, "stack").Physical(3001, Chassis, 1, 0, "3").Made(3001, "0.9", "7.4.2", "SN3", "KL-24").Physical(3002, Module, 3001, 1, "3/0");
        foreach (int port in Enumerable.Range(3, 4))
        {
            walk.Port(3, port, port == 5 ? 3 : 2, 4).Physical(3005 + port, PortClass, 3002, port, $"a3/0/{port}").Alias(3005 + port, 10998 + port).Interface(10998 + port, $"a3/0/{port}", $"desk {port}");
        }

        return walk;
    }

    [Fact]
    public void A_member_by_its_name_and_its_ports_by_their_places()
    {
        SnmpReading reading = RealTree().Read();
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(["3 Healthy on budget 370 draw 20 ports 4 powered 1 KL-24 SN3 - 7.4.2 problems 0"], SyntheticWalk.Units(reading));
        Assert.Equal(["3 a3/0/3 desk 3", "4 a3/0/4 desk 4", "5 a3/0/5 desk 5", "6 a3/0/6 desk 6"], reading.Controllers[0].Ports.Select(port => $"{port.Name} {port.Interface} {port.Description}"));
        Assert.All(reading.Controllers[0].Ports, port => Assert.Equal("RFC 3621; no watts drawn; interface by entity position", port.Source));
        Assert.Equal("the agent lists no PSE controller in entity 3001; the revisions of that entity are the switch's own", reading.Controllers[0].FirmwareUnread);
    }

    [Fact]
    public void Another_module_with_ports_at_the_same_places_does_not_mislead()
    {
        SyntheticWalk walk = RealTree().Physical(3100, Module, 3001, 2, "3/1");
        foreach (int port in Enumerable.Range(1, 4))
        {
            walk.Physical(3100 + port, PortClass, 3100, port, $"b3/1/{port}").Alias(3100 + port, 12000 + port).Interface(12000 + port, $"b3/1/{port}");
        }

        Assert.Equal(["a3/0/3", "a3/0/4", "a3/0/5", "a3/0/6"], walk.Read().Controllers[0].Ports.Select(port => port.Interface));
    }

    [Fact]
    public void Members_are_told_apart_by_names_not_by_order()
    {
        SnmpReading reading = new SyntheticWalk().Group(2, 370, 1, 0).Group(5, 740, 1, 0).Port(2, 1, 2).Port(5, 1, 2)
            .Physical(10, Chassis, 1, 2, "Unit 5").Made(10, "", "7.4.2", "SN5", "KL-48").Physical(20, Chassis, 1, 5, "Unit 2").Made(20, "", "7.4.2", "SN2", "KL-24").Physical(1, Stack, 0, -1, "")
            .Read();
        Assert.Equal(["2 SN2", "5 SN5"], reading.Controllers.Select(one => $"{one.Unit} {one.Serial}"));
    }

    [Fact]
    public void Places_count_only_where_every_group_and_every_chassis_find_each_other()
    {
        static SyntheticWalk Of(int first) => new SyntheticWalk().Group(1, 370, 1, 0).Group(2, 740, 1, 0).Port(1, 1, 2).Port(2, 1, 2)
            .Physical(100, Chassis, 1, first, "left").Made(100, "", "", "SN-left", "").Physical(200, Chassis, 1, first + 1, "right").Made(200, "", "", "SN-right", "");
        Assert.Equal(["SN-left", "SN-right"], Of(1).Read().Controllers.Select(one => one.Serial));
        SnmpReading zero = Of(0).Read();
        Assert.Equal([null, null], zero.Controllers.Select(one => one.Serial));
        Assert.Equal("no entity of the agent can be told to be that of group 1", zero.Controllers[0].FirmwareUnread);
    }

    [Fact]
    public void The_only_chassis_is_the_only_groups_and_line_cards_go_by_their_names()
    {
        Assert.Equal("SN1", new SyntheticWalk().Group(1, 370, 1, 0).Port(1, 1, 2).Physical(7, Chassis, 0, -1, "harbour").Made(7, "", "", "SN1", "").Read().Controllers[0].Serial);
        SnmpReading cards = new SyntheticWalk().Group(1, 370, 1, 0).Group(4, 370, 1, 0).Port(1, 1, 2).Port(4, 1, 2)
            .Physical(7, Chassis, 0, -1, "harbour").Physical(8, Module, 7, 1, "Slot 1").Made(8, "", "", "SN-card-1", "").Physical(9, Module, 7, 4, "Slot 4").Made(9, "", "", "SN-card-4", "").Read();
        Assert.Equal(["SN-card-1", "SN-card-4"], cards.Controllers.Select(one => one.Serial));
    }

    [Theory]
    [InlineData(Other, "PoE controller", "3.10.2", "3.10.2", null)]
    [InlineData(12, "PSE 1", "3.10.2", "3.10.2", null)]
    [InlineData(Module, "Power over Ethernet controller firmware", "3.10.2", "3.10.2", null)]
    [InlineData(Module, "48 port PoE line card", "3.10.2", null, "the agent lists no PSE controller in entity 3001; the revisions of that entity are the switch's own")]
    [InlineData(Container, "PoE controller", "3.10.2", null, "the agent lists no PSE controller in entity 3001; the revisions of that entity are the switch's own")]
    [InlineData(Other, "PoE controller", "", null, "the agent says no firmware of entity 3900")]
    [InlineData(Other, "PoE controller", "7.4.2", null, "the agent says of entity 3900 what is the switch's own release")]
    public void Firmware_is_that_of_an_entity_that_is_the_controller(int kind, string name, string firmware, string? expected, string? why)
    {
        SnmpReading reading = RealTree().Physical(3900, kind, 3002, 9, name).Made(3900, firmware, "", "", "").Read();
        Assert.Equal((expected, why), (reading.Controllers[0].Firmware, reading.Controllers[0].FirmwareUnread));
    }

    [Fact]
    public void Two_controllers_that_differ_are_not_chosen_from()
    {
        SnmpReading reading = RealTree().Physical(3900, Other, 3002, 9, "PoE controller 1").Made(3900, "3.10.2", "", "", "").Physical(3901, Other, 3002, 9, "PoE controller 2").Made(3901, "3.9.1", "", "", "").Read();
        Assert.Equal((null, "the agent lists 2 different ones in entity 3001"), (reading.Controllers[0].Firmware, reading.Controllers[0].FirmwareUnread));
    }

    // A fan whose serial number is an empty memory, an alias in Latin-1: told where it is shown, and of the unit that it is of.
    [Fact]
    public void Texts_that_are_none_are_told_only_where_they_are_shown()
    {
        SyntheticWalk walk = RealTree().Physical(3700, 7, 3001, 1, "fan").Line(SyntheticWalk.Entity + ".11.3700 = Hex-STRING: FF FF FF FF ").Line(SyntheticWalk.Entity + ".2.3700 = Hex-STRING: 46 61 6E AE ")
            .Interface(4000, "uplink").Line(".1.3.6.1.2.1.31.1.1.1.18.4001 = Hex-STRING: 42 FC 72 6F ");
        Assert.Empty(Told.Of(walk.Read().Problems));
        SnmpReading reading = new SyntheticWalk().Group(1, 370, 1, 0).Port(1, 1, 2).Number(".1.3.6.1.2.1.2.2.1.3.7", 6).Text(".1.3.6.1.2.1.31.1.1.1.1.7", "e1")
            .Line(".1.3.6.1.2.1.31.1.1.1.18.7 = Hex-STRING: 42 FC 72 6F ").Read();
        Assert.Equal(
            ["ValueUnreadable - -: ifAlias (1.3.6.1.2.1.31.1.1.1.18.7) is OctetString 42fc726f, and a text in UTF-8 was expected. Correct the text on the switch, or tell its maker."], Told.Of(reading.Problems));
        Assert.Equal(("north/1", "e1", null), (reading.Problems[0].Target, reading.Controllers[0].Ports[0].Interface, reading.Controllers[0].Ports[0].Description));
    }

    [Fact]
    public void Entities_that_contain_each_other_come_to_an_end()
    {
        SnmpReading reading = RealTree().Physical(5000, Module, 5001, 1, "a").Physical(5001, Module, 5000, 1, "b").Physical(5002, Chassis, 5002, 1, "7").Read();
        Assert.Equal("SN3", reading.Controllers[0].Serial);
    }

    // Names in natural order: the second rule of the project's notes.
    [Fact]
    public void Without_entities_the_place_among_names_is_taken()
    {
        var walk = new SyntheticWalk().Group(1, 370, 1, 0).Interface(900, "mgmt0").Interface(800, "vlan 7", type: 136);
        foreach (int port in Enumerable.Range(1, 12))
        {
            walk.Port(1, port, 2).Interface(1000 - port, $"ether{port - 1}");
        }

        SnmpReading reading = walk.Read();
        Assert.Equal(Enumerable.Range(0, 12).Select(place => $"ether{place}"), reading.Controllers[0].Ports.Select(port => port.Interface));
        Assert.Equal("RFC 3621; no watts drawn; interface by order of names", reading.Controllers[0].Ports[0].Source);
    }

    [Fact]
    public void In_a_stack_the_first_number_of_a_name_is_the_members()
    {
        var walk = new SyntheticWalk().Group(1, 370, 1, 0).Group(2, 370, 1, 0);
        foreach (int unit in new[] { 1, 2 })
        {
            foreach (int port in Enumerable.Range(1, 3))
            {
                walk.Port(unit, port, 2).Interface((unit * 100) + port, $"e{unit}/0/{port}");
            }
        }

        Assert.Equal(["e1/0/1", "e1/0/2", "e1/0/3", "e2/0/1", "e2/0/2", "e2/0/3"], walk.Read().Controllers.SelectMany(one => one.Ports).Select(port => port.Interface));
    }

    [Fact]
    public void The_only_member_with_a_pse_is_not_the_first_one()
    {
        var walk = new SyntheticWalk().Group(2, 370, 1, 0);
        foreach (int port in Enumerable.Range(1, 3))
        {
            walk.Port(2, port, 2).Interface(100 + port, $"e1/0/{port}").Interface(200 + port, $"e2/0/{port}");
        }

        Assert.Equal(["e2/0/1", "e2/0/2", "e2/0/3"], walk.Read().Controllers[0].Ports.Select(port => port.Interface));
        Assert.Equal([null, null, null, null], walk.Port(2, 4, 2).Read().Controllers[0].Ports.Select(port => port.Interface));
    }

    [Fact]
    public void A_device_of_line_cards_that_is_one_group_goes_through_all_of_them()
    {
        var walk = new SyntheticWalk().Group(1, 370, 1, 0);
        foreach (int port in Enumerable.Range(1, 4))
        {
            walk.Port(1, port, 2).Interface(100 + port, $"e{1 + ((port - 1) / 2)}/{1 + ((port - 1) % 2)}");
        }

        Assert.Equal(["e1/1", "e1/2", "e2/1", "e2/2"], walk.Read().Controllers[0].Ports.Select(port => port.Interface));
    }

    [Fact]
    public void Where_names_leave_it_open_nothing_is_guessed_and_somebodys_word_is_taken()
    {
        var walk = new SyntheticWalk().Group(1, 370, 1, 0).Port(1, 1, 2).Port(1, 2, 2).Interface(1, "a1").Interface(2, "a2").Interface(11, "b1").Interface(12, "b2");
        Assert.Equal([null, null], walk.Read().Controllers[0].Ports.Select(port => port.Interface));
        SnmpReading given = walk.Read(new SnmpContext { Interfaces = new Dictionary<string, uint> { ["1/2"] = 12 } });
        Assert.Equal([null, "b2"], given.Controllers[0].Ports.Select(port => port.Interface));
        Assert.Equal("RFC 3621; no watts drawn; interface as given", given.Controllers[0].Ports[1].Source);
    }
}
