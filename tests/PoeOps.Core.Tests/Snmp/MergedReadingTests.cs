using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Power;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Two readings of one switch put together: SNMP for power, the console for firmware.</summary>
public sealed class MergedReadingTests
{
    private static readonly Controller Console = new()
    {
        Switch = "north", Unit = "A", Model = "OK-16", Serial = "SN1", Firmware = "3.10.2", Release = "24-07", Condition = ControllerCondition.Healthy, ConditionText = "fit",
        BudgetWatts = 370, AllocatedWatts = 61, DrawWatts = 12, GuardBandWatts = 10, Dialect = "oakum", Source = "console", ReadUtc = SyntheticWalk.ReadUtc, ReadingProblems = 1,
        Ports =
        [
            new Port { Switch = "north", Unit = "A", Name = "1", Status = DetectionStatus.DeliveringPower, PdClass = 4, AllocatedWatts = 30, LimitWatts = 30, DrawWatts = 12.1m, Neighbour = "radio-1", Load = "radio-1" },
            new Port { Switch = "north", Unit = "A", Name = "9", Status = DetectionStatus.Searching },
        ],
    };

    private static readonly Controller Snmp = new()
    {
        Switch = "north", Unit = "1", Model = "OK-16", Serial = "sn1", FirmwareUnread = "nobody says", Release = "24-07 r1", Condition = ControllerCondition.Healthy, ConditionText = "on",
        BudgetWatts = 369, DrawWatts = 13, Source = "snmp", ReadUtc = SyntheticWalk.ReadUtc.AddSeconds(5), ReadingProblems = 2,
        Ports =
        [
            new Port { Switch = "north", Unit = "1", Name = "1", Interface = "e1", Status = DetectionStatus.DeliveringPower, PdClass = 3, Priority = PortPriority.High, AllocatedPdWatts = 6.5m, AllocatedBy = AllocationSource.Neighbour, Source = "RFC 3621" },
            new Port { Switch = "north", Unit = "1", Name = "2", Status = DetectionStatus.Searching, Source = "RFC 3621" },
        ],
    };

    [Fact]
    public void A_unit_is_one_by_its_serial_number()
    {
        List<Problem> problems = [];
        Controller one = Assert.Single(MergedReading.Of([Console], [Snmp], problems));
        Assert.Empty(problems);
        Assert.Equal(
            ("A", "3.10.2", null, "24-07", "fit", 369m, 13m, 61m, 10m, "oakum", "console, snmp", 3, 1, SyntheticWalk.ReadUtc),
            (one.Unit, one.Firmware, one.FirmwareUnread, one.Release, one.ConditionText, one.BudgetWatts!.Value, one.DrawWatts!.Value, one.AllocatedWatts!.Value, one.GuardBandWatts!.Value, one.Dialect, one.Source, one.ReadingProblems, one.SwitchUnits, one.ReadUtc));
        Assert.Equal(
            ["north/A/1 3 High e1 30 30 12.1 6.5 radio-1 console, RFC 3621", "north/A/2 - - - - - - - - RFC 3621", "north/A/9 - - - - - - - - "],
            one.Ports.Select(port => FormattableString.Invariant($"{port.PortId} {Say(port.PdClass)} {port.Priority?.ToString() ?? "-"} {port.Interface ?? "-"} {Say(port.AllocatedWatts)} {Say(port.LimitWatts)} {Say(port.DrawWatts)} {Say(port.AllocatedPdWatts)} {port.Neighbour ?? "-"} {port.Source}")));
    }

    [Fact]
    public void Without_serial_numbers_by_its_name()
    {
        Controller one = Assert.Single(MergedReading.Of([Console with { Unit = "1", Serial = null }], [Snmp], []));
        Assert.Equal(("1", "sn1", "3.10.2"), (one.Unit, one.Serial, one.Firmware));
    }

    [Fact]
    public void One_name_with_two_serial_numbers_is_told_and_the_console_stands()
    {
        List<Problem> problems = [];
        Controller one = Assert.Single(MergedReading.Of([Console with { Unit = "1", Serial = "SN7" }], [Snmp], problems));
        Assert.Equal(
            ["ReadingsDisagree - -: Unit north/1 has the serial number 'SN7' on the console and 'sn1' over SNMP, so the two readings were not put together. Check that both addresses are of the same switch."],
            Told.Of(problems));
        Assert.Equal((370m, 2, "console"), (one.BudgetWatts!.Value, one.ReadingProblems, one.Source));
    }

    [Fact]
    public void What_only_one_of_them_has_is_kept()
    {
        Assert.Equal(["1", "A"], MergedReading.Of([Console with { Serial = "SN5" }], [Snmp], []).Select(one => one.Unit));
        Assert.Equal(["snmp"], MergedReading.Of([], [Snmp], []).Select(one => one.Source));
        Assert.Equal("nobody says", MergedReading.Of([Console with { Firmware = null }], [Snmp], [])[0].FirmwareUnread);
    }

    private static string Say(decimal? watts) => watts?.ToString(System.Globalization.CultureInfo.InvariantCulture) ?? "-";
}
