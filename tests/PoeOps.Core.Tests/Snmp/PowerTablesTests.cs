using PoeOps.Baselines;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>POWER-ETHERNET-MIB and its successor to controllers and ports. Codings from RFC 3621.</summary>
public sealed class PowerTablesTests
{
    private const string NoWatts = "RFC 3621; no watts drawn; interface not known";

    [Fact]
    public void A_stack_of_three_groups()
    {
        SnmpReading reading = new SyntheticWalk()
            .Group(1, 370, 1, 18).Group(2, 740, 3, 0).Group(3, 370, 2, 0)
            .Port(1, 1, 3, 5, 1).Port(1, 2, 2).Port(2, 1, 4, 1, 2).Port(3, 1, 1, 1, 3, 2)
            .Read();
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(
            [
                "1 Healthy on budget 370 draw 18 ports 2 powered 1 - - - - problems 0",
                "2 Faulted faulty budget 740 draw 0 ports 1 powered 0 - - - - problems 0",
                "3 Unknown off budget 370 draw 0 ports 1 powered 0 - - - - problems 0",
            ],
            SyntheticWalk.Units(reading));
        Assert.Equal(
            [
                "north/1/1 DeliveringPower class 4 Critical admin True draw - pd - - '-'",
                "north/1/2 Searching class - Low admin True draw - pd - - '-'",
                "north/2/1 Fault class - High admin True draw - pd - - '-'",
                "north/3/1 Disabled class - Low admin False draw - pd - - '-'",
            ],
            SyntheticWalk.Ports(reading));
        Assert.All(reading.Controllers, one => Assert.Equal((3, "north.walk", SyntheticWalk.ReadUtc), (one.SwitchUnits, one.Source, one.ReadUtc)));
        Assert.All(reading.Controllers.SelectMany(one => one.Ports), port => Assert.Equal((NoWatts, null), (port.Source, port.DrawWatts)));
    }

    // As seen on a real agent (the project's notes, section 1): the only member is number 3, its ports are 3 to 26 and 29 to 52, its threshold is 0, and idle ports say class0.
    [Fact]
    public void A_group_whose_index_is_no_position_with_holes_between_its_ports()
    {
        var walk = new SyntheticWalk().Group(3, 370, 1, 30, threshold: 0);
        foreach (int port in Enumerable.Range(3, 24).Concat(Enumerable.Range(29, 24)))
        {
            walk.Port(3, port, port is 5 or 46 ? 3 : 2, port == 5 ? 5 : port == 46 ? 4 : 1);
        }

        SnmpReading reading = walk.Read();
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(["3 Healthy on budget 370 draw 30 ports 48 powered 2 - - - - problems 0"], SyntheticWalk.Units(reading));
        Assert.Equal(["5 4", "46 3"], reading.Controllers[0].Ports.Where(port => port.Delivering).Select(port => $"{port.Name} {port.PdClass}"));
        Assert.Equal(["3", "26", "29", "52"], ((int[])[0, 23, 24, 47]).Select(at => reading.Controllers[0].Ports[at].Name));
    }

    // RFC 3621: class + 1, and only while delivering; classes 5 to 8 as 6 to 9, as the YANG of IEEE 802.3.2 numbers them.
    [Theory]
    [InlineData(1, 0)]
    [InlineData(5, 4)]
    [InlineData(6, 5)]
    [InlineData(9, 8)]
    public void A_class_is_coded_one_higher(int coded, int expected)
    {
        Assert.Equal(expected, new SyntheticWalk().Group(1, 370, 1, 20).Port(1, 1, 3, coded).Read().Controllers[0].Ports[0].PdClass);
        Assert.Null(new SyntheticWalk().Group(1, 370, 1, 20).Port(1, 1, 2, coded).Read().Controllers[0].Ports[0].PdClass);
    }

    [Fact]
    public void Values_that_cannot_be_are_told_and_null()
    {
        SnmpReading reading = new SyntheticWalk().Group(1, 370, 1, 20).Port(1, 1, 3, 10, 4, 3).Port(1, 2, 7).Port(1, 3, 2, 99).Read();
        Assert.Equal(
            [
                "ValueUnreadable - -: pethPsePortAdminEnable (1.3.6.1.2.1.105.1.1.1.3.1.1) is Integer 3, and a number from 1 to 2 was expected. Tell the maker of the switch; the rest was read.",
                "ValueUnreadable - -: pethPsePortPowerPriority (1.3.6.1.2.1.105.1.1.1.7.1.1) is Integer 4, and a number from 1 to 3 was expected. Tell the maker of the switch; the rest was read.",
                "ValueUnreadable - -: pethPsePortPowerClassifications (1.3.6.1.2.1.105.1.1.1.10.1.1) is Integer 10, and a number from 1 to 9 was expected. Tell the maker of the switch; the rest was read.",
                "ValueUnreadable - -: pethPsePortDetectionStatus (1.3.6.1.2.1.105.1.1.1.6.1.2) is Integer 7, and a number from 1 to 6 was expected. Tell the maker of the switch; the rest was read.",
            ],
            Told.Of(reading.Problems));
        Assert.All(reading.Problems, problem => Assert.Equal("north/1", problem.Target));
        Assert.Equal(
            ["north/1/1 DeliveringPower class - - admin - draw - pd - - '-'", "north/1/3 Searching class - Low admin True draw - pd - - '-'"],
            SyntheticWalk.Ports(reading));
        Assert.Equal(4, reading.Controllers[0].ReadingProblems);
    }

    [Fact]
    public void Rows_need_not_be_whole()
    {
        SnmpReading reading = new SyntheticWalk()
            .Number(SyntheticWalk.Peth + ".3.1.1.2.1", 370, "Gauge32")
            .Number(SyntheticWalk.Peth + ".1.1.6.1.1", 3)
            .Number(SyntheticWalk.Peth + ".1.1.7.1.2", 1)
            .Number(SyntheticWalk.Peth + ".1.1.6.2.1", 2)
            .Number(SyntheticWalk.Peth + ".1.1.6.2.1.9", 2)
            .Read();
        Assert.Equal(
            [
                "RowIncomplete - -: The object 1.3.6.1.2.1.105.1.1.1.6.2.1.9 has an index of 3 numbers, and 2 were expected; it was left out. Tell the maker of the switch; the rest was read.",
                "RowIncomplete - -: Port 2 of group 1 has no pethPsePortDetectionStatus and was left out. Read the agent again; if it stays so, tell the maker of the switch.",
                "RowIncomplete - -: The ports of group 2 have no row in pethMainPseTable, so that neither budget nor state of their controller is known. Read the agent again; if it stays so, tell the maker of the switch.",
            ],
            Told.Of(reading.Problems));
        Assert.Equal(
            ["1 Unknown - budget 370 draw - ports 1 powered 1 - - - - problems 2", "2 Unknown - budget - draw - ports 1 powered 0 - - - - problems 2"],
            SyntheticWalk.Units(reading));
        Assert.Equal(
            ["north/1/1 DeliveringPower class - - admin - draw - pd - - '-'", "north/2/1 Searching class - - admin - draw - pd - - '-'"],
            SyntheticWalk.Ports(reading));
    }

    [Fact]
    public void A_group_without_ports_or_watts_is_told_unless_it_is_off()
    {
        SnmpReading reading = new SyntheticWalk().Group(1, 0, 1, 0).Group(2, 0, 2, 0).Read();
        Assert.Equal(
            ["PortsMissing Group 1 has no row in pethPsePortTable.", "ValueUnreadable pethMainPsePower of group 1 is 0, and 1 to 65535 W were expected."],
            reading.Problems.Select(problem => $"{problem.Id} {problem.Sentence}"));
        Assert.Equal(
            ["1 Healthy on budget - draw 0 ports 0 powered 0 - - - - problems 2", "2 Unknown off budget - draw 0 ports 0 powered 0 - - - - problems 0"], SyntheticWalk.Units(reading));
    }

    // IEEE 802.3.1: columns 15 and 17 in mW and mJ, as the YANG of IEEE 802.3.2 states for the same managed objects.
    [Fact]
    public void The_successor_says_what_a_port_draws()
    {
        SnmpReading reading = new SyntheticWalk()
            .Number(SyntheticWalk.Peth8023 + ".3.1.1.2.1", 370, "Gauge32").Number(SyntheticWalk.Peth8023 + ".3.1.1.3.1", 1).Number(SyntheticWalk.Peth8023 + ".3.1.1.4.1", 7, "Gauge32")
            .Number(SyntheticWalk.Peth8023 + ".1.1.6.1.1", 3).Number(SyntheticWalk.Peth8023 + ".1.1.10.1.1", 9).Number(SyntheticWalk.Peth8023 + ".1.1.15.1.1", 6543)
            .Number(SyntheticWalk.Peth8023 + ".1.1.17.1.1", 3_600_000, "Counter32")
            .Number(SyntheticWalk.Peth8023 + ".1.1.6.1.2", 2).Number(SyntheticWalk.Peth8023 + ".1.1.15.1.2", 0)
            .Read();
        Assert.Empty(Told.Of(reading.Problems));
        Assert.Equal(["1 Healthy on budget 370 draw 7 ports 2 powered 1 - - - - problems 0"], SyntheticWalk.Units(reading));
        Assert.Equal(
            ["north/1/1 DeliveringPower class 8 - admin - draw 6.543 pd - - '-'", "north/1/2 Searching class - - admin - draw 0 pd - - '-'"], SyntheticWalk.Ports(reading));
        Assert.Equal((1m, "IEEE 802.3.1; watts drawn by IEEE 802.3.1; interface not known"), (reading.Controllers[0].Ports[0].EnergyWattHours, reading.Controllers[0].Ports[0].Source));
    }

    [Fact]
    public void Both_modules_make_one_row()
    {
        SnmpReading reading = new SyntheticWalk().Group(1, 370, 1, 7).Port(1, 1, 3, 3)
            .Number(SyntheticWalk.Peth8023 + ".1.1.6.1.1", 3).Number(SyntheticWalk.Peth8023 + ".1.1.15.1.1", 6500).Read();
        Assert.Equal(["north/1/1 DeliveringPower class 2 Low admin True draw 6.5 pd - - '-'"], SyntheticWalk.Ports(reading));
        Assert.Equal("RFC 3621; watts drawn by IEEE 802.3.1; interface not known", reading.Controllers[0].Ports[0].Source);
    }

    [Fact]
    public void An_agent_without_the_tables_is_told()
    {
        SnmpReading reading = new SyntheticWalk().Interface(1, "a1").Read();
        Assert.Empty(reading.Controllers);
        Assert.Equal(
            ["PowerTablesMissing - -: The agent of 'north' has neither POWER-ETHERNET-MIB (RFC 3621) nor its successor of IEEE 802.3.1. Check that it feeds PDs, and that the community or user may see 1.3.6.1.2.1.105; or read its console."],
            Told.Of(reading.Problems));
    }

    // By the project's notes some agents say 1300 where 130 W are meant. Eight ports take 720 W at most (eight of class 8).
    [Fact]
    public void More_watts_than_the_ports_can_take_are_told_in_both_readings()
    {
        var walk = new SyntheticWalk().Group(1, 1300, 1, 154).Group(2, 3700, 1, 0);
        foreach (int port in Enumerable.Range(1, 8))
        {
            walk.Port(1, port, port == 1 ? 3 : 2, 4);
        }

        foreach (int port in Enumerable.Range(1, 48))
        {
            walk.Port(2, port, 2);
        }

        SnmpReading reading = walk.Read();
        Assert.Equal(
            [
                "WattsImplausible - -: Group 1 says a power of 1300 W (130 W if it counts in tenths) and a consumption of 154 W (15.4 W if it counts in tenths): as watts that is more than 8 ports can take, which is 720 W. Neither was taken. Look at the switch's console which it is, and say so in the estate: \"mainPower\": \"watts\" or \"tenths\" under \"snmp\" of the switch.",
                "WattsImplausible - -: Group 2 says a power of 3700 W (370 W if it counts in tenths) and a consumption of 0 W (0 W if it counts in tenths): the agent does not count group 1 in watts either. Neither was taken. Look at the switch's console which it is, and say so in the estate: \"mainPower\": \"watts\" or \"tenths\" under \"snmp\" of the switch.",
            ],
            Told.Of(reading.Problems));
        Assert.Equal([null, null], reading.Controllers.Select(one => one.BudgetWatts ?? one.DrawWatts));
        Assert.Equal(
            ["130 15.4", "370 0"],
            walk.Read(new SnmpContext { MainPower = MainPowerUnit.Tenths }).Controllers.Select(one => FormattableString.Invariant($"{one.BudgetWatts:0.#} {one.DrawWatts:0.#}")));
        SnmpReading said = walk.Read(new SnmpContext { MainPower = MainPowerUnit.Watts });
        Assert.Empty(said.Problems);
        Assert.Equal([1300m, 3700m], said.Controllers.Select(one => one.BudgetWatts));
    }

    [Fact]
    public void A_consumption_above_the_classes_of_its_loads_is_told()
    {
        SnmpReading reading = new SyntheticWalk().Group(1, 370, 1, 300).Port(1, 1, 3, 5).Port(1, 2, 3, 4).Port(1, 3, 2).Port(1, 4, 2).Port(1, 5, 2).Read();
        Assert.Equal(
            "Group 1 says a power of 370 W (37 W if it counts in tenths) and a consumption of 300 W (30 W if it counts in tenths): as watts that is more than the classes of its loads take together, which is 45.4 W. Neither was taken.",
            Assert.Single(reading.Problems).Sentence);
        Assert.Null(reading.Controllers[0].BudgetWatts);
    }

    [Fact]
    public void Firmware_that_no_agent_publishes_makes_a_controller_unreadable_and_says_why()
    {
        SnmpReading reading = new SyntheticWalk().Group(1, 370, 1, 20).Port(1, 1, 2)
            .Physical(1, 3, 0, -1, "1").Made(1, "7.4.2", "7.4.2", "SN1", "KL-24").Read();
        Drift drift = Comparison.Compare(reading.Controllers[0], new Baseline(), null);
        Assert.Equal(
            (Verdict.Unreadable, "No firmware version was read: the agent lists no PSE controller in entity 1; the revisions of that entity are the switch's own."), (drift.Verdict, drift.Reason));
    }
}
