using System.Text;
using PoeOps.Core.Tests.Files;
using PoeOps.Snmp;

namespace PoeOps.Core.Tests.Snmp;

/// <summary>Saved walks as net-snmp 5.9.3 prints them; its forms are those of snmplib/mib.c, tried with snmpbulkwalk on loopback.</summary>
public sealed class WalkFileTests
{
    private static WalkResult Read(params string[] lines) => WalkFile.ReadText(string.Join("\n", lines), "north.walk");

    private static string[] Shown(WalkResult walk) => [.. walk.Rows.Within(Oid.Parse("1")).Select(one => $"{one.Name} {(one.Value.Text() is { Length: > 0 } text && IsWhole(one.Value, text) ? "'" + text + "'" : one.Value)}")];

    private static bool IsWhole(SnmpValue value, string text) => Encoding.UTF8.GetByteCount(text) == value.OctetCount && text.All(c => c is '\n' or >= ' ');

    [Theory]
    [InlineData("INTEGER: 3", "Integer 3")]
    [InlineData("INTEGER: deliveringPower(3)", "Integer 3")]
    [InlineData("INTEGER: -1", "Integer -1")]
    [InlineData("Gauge32: 370", "Gauge32 370")]
    [InlineData("Gauge32: 370 Watts", "Gauge32 370")]
    [InlineData("Counter32: 4294967295", "Counter32 4294967295")]
    [InlineData("Counter64: 18446744073709551615", "Counter64 18446744073709551615")]
    [InlineData("Timeticks: (12345) 0:02:03.45", "TimeTicks 12345")]
    [InlineData("Timeticks: 12345", "TimeTicks 12345")]
    [InlineData("OID: .1.3.6.1.2.1.2.2.1.1.101", "ObjectId 1.3.6.1.2.1.2.2.1.1.101")]
    [InlineData("OID: iso.3.6.1", "ObjectId 1.3.6.1")]
    [InlineData("IpAddress: 192.0.2.7", "IpAddress c0000207")]
    [InlineData("Network Address: C0:00:02:07", "IpAddress c0000207")]
    [InlineData("Hex-STRING: 00 1B 21 FF ", "OctetString 001b21ff")]
    [InlineData("Hex-STRING: 61 62 00  [ab.]", "OctetString 616200")]
    [InlineData("BITS: 14 wlanAccessPoint(3) telephone(5) ", "OctetString 14")]
    [InlineData("BITS: 24 00 bridge(2) telephone(5) ", "OctetString 2400")]
    [InlineData("STRING: \"phone 17\"", "'phone 17'")]
    [InlineData("STRING: phone 17", "'phone 17'")]
    [InlineData("STRING: \"say \\\"no\\\" \\\\ now\"", "'say \"no\" \\ now'")]
    [InlineData("STRING: \"a\"b\"", "'a\"b'")]
    [InlineData("STRING: \"\"", "OctetString")]
    [InlineData("\"\"", "OctetString")]
    [InlineData("STRING: ", "OctetString")]
    [InlineData("", "OctetString")]
    [InlineData("NULL", "Null")]
    [InlineData("Wrong Type (should be INTEGER): Gauge32: 5", "Gauge32 5")]
    [InlineData("Wrong Type (should be INTEGER): STRING: \"5\"", "'5'")]
    [InlineData("Opaque: Float: 1.500000", "Opaque")]
    public void A_value(string printed, string expected)
    {
        WalkResult walk = Read(".1.3.6.1.4.1 = " + printed);
        Assert.Empty(walk.Problems);
        Assert.Equal(["1.3.6.1.4.1 " + expected], Shown(walk));
    }

    [Theory]
    [InlineData("No Such Object available on this agent at this OID")]
    [InlineData("No Such Instance currently exists at this OID")]
    [InlineData("No more variables left in this MIB View (It is past the end of the MIB tree)")]
    public void What_is_not_there_is_read_and_is_no_value(string printed)
    {
        WalkResult walk = Read(".1.3.6.1.4.1 = " + printed);
        Assert.Empty(walk.Problems);
        Assert.Equal(1, walk.Rows.Count);
        Assert.Null(walk.Rows.Find(Oid.Parse("1.3.6.1.4.1")));
    }

    [Fact]
    public void Values_over_several_lines()
    {
        WalkResult walk = Read(
            ".1.3.1 = STRING: \"first line",
            ".1.3.9 = INTEGER: 5",
            "",
            "last line\"",
            "iso.3.2 = Hex-STRING: 00 01 02 03 04 05 06 07 08 09 0A 0B 0C 0D 0E 0F ",
            "10 11 ",
            ".1.3.3 = STRING: unquoted",
            "and on",
            ".1.3.4 = INTEGER: 1\r",
            "",
            ".1.3.5 = INTEGER: 2");
        Assert.Empty(walk.Problems);
        Assert.Equal(
            ["1.3.1 'first line\n.1.3.9 = INTEGER: 5\n\nlast line'", "1.3.2 OctetString 000102030405060708090a0b0c0d0e0f1011", "1.3.3 'unquoted\nand on'", "1.3.4 Integer 1", "1.3.5 Integer 2"],
            Shown(walk));
    }

    [Theory]
    [InlineData("Timeout: No Response from 192.0.2.1", "is no object with a numeric name")]
    [InlineData("Error: OID not increasing: .1.3.6.1", "is no object with a numeric name")]
    [InlineData("SNMPv2-MIB::sysName.0 = STRING: x", "is no object with a numeric name")]
    [InlineData(".1.3.6.1.x = INTEGER: 3", "is no object with a numeric name")]
    [InlineData(".1.3.6.1=INTEGER: 3", "is no object with a numeric name")]
    [InlineData(".1.3.6.1 = INTEGER: three", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = INTEGER: 3000000000000", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = Gauge32: -1", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = INTEGER:", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = STRING: \"cut", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = Hex-STRING: 00 1", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = OID: IF-MIB::ifIndex.1", "has a value that no walk prints, or one that is cut")]
    [InlineData(".1.3.6.1 = 5", "has a value that no walk prints, or one that is cut")]
    public void A_line_that_cannot_be_read_is_told_and_the_rest_is_read(string line, string what)
    {
        WalkResult walk = Read(".1.3.1 = INTEGER: 1", line, ".1.3.9 = INTEGER: 2");
        Problem problem = Assert.Single(walk.Problems);
        Assert.Equal((ProblemId.WalkUnreadable, "north.walk", 2), (problem.Id, problem.File, problem.Line));
        Assert.Equal($"The line {what}: '{line}'.", problem.Sentence);
        Assert.Equal(["1.3.1 Integer 1", "1.3.9 Integer 2"], Shown(walk));
    }

    // Each of them would be followed to the end of the file for its closing quote.
    [Fact]
    public void Many_texts_without_an_end_take_no_more_time_than_others()
    {
        WalkResult walk = Read([.. Enumerable.Repeat(".1.3.6.1 = STRING: \"" + new string('x', 40), 200_000), ".1.3.9 = INTEGER: 2"]);
        Assert.Equal(101, walk.Problems.Count);
        Assert.Equal("199900 more lines are nothing that a walk prints.", walk.Problems[100].Sentence);
        Assert.Equal(["1.3.9 Integer 2"], Shown(walk));
    }

    [Fact]
    public void Many_such_lines_are_counted()
    {
        WalkResult walk = Read([.. Enumerable.Range(0, 250).Select(i => $"IF-MIB::ifIndex.{i} = INTEGER: {i}"), ".1.3.1 = INTEGER: 1"]);
        Assert.Equal(101, walk.Problems.Count);
        Assert.Equal("150 more lines are nothing that a walk prints.", walk.Problems[100].Sentence);
        Assert.Equal(1, walk.Rows.Count);
    }

    [Fact]
    public void An_object_that_stands_twice_keeps_its_first_value_and_is_told_where_they_differ()
    {
        WalkResult walk = Read(".1.3.1 = INTEGER: 1", ".1.3.2 = INTEGER: 7", ".1.3.1 = INTEGER: 1", ".1.3.2 = INTEGER: 8", ".1.3.2 = INTEGER: 9");
        Assert.Equal(
            ["WalkContradicts 4 -: 2 objects stand twice with different values, the first of them here; what stands first was taken. Save one walk to a file, not two behind each other."],
            Told.Of(walk.Problems));
        Assert.Equal(["1.3.1 Integer 1", "1.3.2 Integer 7"], Shown(walk));
    }

    // snmpbulkwalk names the last object again when it comes to the end of everything.
    [Fact]
    public void The_end_of_everything_is_no_second_value()
    {
        WalkResult walk = Read(".1.3.1 = INTEGER: 1", ".1.3.1 = No more variables left in this MIB View (It is past the end of the MIB tree)");
        Assert.Empty(walk.Problems);
        Assert.Equal(["1.3.1 Integer 1"], Shown(walk));
    }

    [Fact]
    public void Files_are_read_as_windows_and_others_save_them()
    {
        using var folder = new ScratchFolder();
        string path = folder.Path("north.walk");
        foreach (Encoding encoding in new Encoding[] { new UTF8Encoding(false), new UTF8Encoding(true), Encoding.Unicode, Encoding.BigEndianUnicode })
        {
            File.WriteAllText(path, ".1.3.1 = STRING: \"Türe\"\r\n.1.3.2 = INTEGER: 2\r\n", encoding);
            WalkResult walk = WalkFile.Read(path);
            Assert.Empty(walk.Problems);
            Assert.Equal(["1.3.1 'Türe'", "1.3.2 Integer 2"], Shown(walk));
        }

        File.WriteAllBytes(path, [.. Encoding.ASCII.GetBytes(".1.3.1 = STRING: \"T"), 0xFC, .. Encoding.ASCII.GetBytes("re\"\n.1.3.2 = INTEGER: 2\n")]);
        WalkResult latin = WalkFile.Read(path);
        Assert.Equal((ProblemId.WalkUnreadable, 1), (Assert.Single(latin.Problems).Id, latin.Problems[0].Line));
        Assert.Equal(["1.3.2 Integer 2"], Shown(latin));
    }

    [Fact]
    public void A_file_that_holds_nothing_is_told()
    {
        using var folder = new ScratchFolder();
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(WalkFile.Read(folder.Path("none.walk")).Problems).Id);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(WalkFile.Read(folder.Write("empty.walk", "")).Problems).Id);
        Assert.Equal(ProblemId.FileEmpty, Assert.Single(WalkFile.Read(folder.Write("blank.walk", "\n\n")).Problems).Id);
    }
}
