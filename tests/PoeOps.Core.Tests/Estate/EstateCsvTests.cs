using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class EstateCsvTests : IDisposable
{
    private const string Header = "Site,Zone,Switch,Address,Port,Link,Dialect,Credential\n";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_list_of_switches_becomes_an_estate()
    {
        string text = "switch,SITE,zone,address,link,dialect,port\r\nquay-1,quay,Europe/Lisbon,192.0.2.11,telnet,reef,\r\n\r\n\"islet, east\",Islet,Atlantic/Azores,islet.example.org,tcp,kelp,4001\r\nquay-2,QUAY,Europe/Lisbon,192.0.2.12,ssh,reef,2222";
        EstateResult result = EstateFile.ReadCsv(_folder.Write("lagoon.csv", text), 75);
        Assert.Empty(Told.Of(result.Problems));
        EstateMap estate = result.Estate!;
        Assert.Equal("lagoon", estate.Name);
        Assert.Equal(
            [
                "quay Europe/Lisbon quay-1 192.0.2.11 23 Telnet reef",
                "quay Europe/Lisbon quay-2 192.0.2.12 2222 Ssh reef",
                "Islet Atlantic/Azores islet, east islet.example.org 4001 Tcp kelp",
            ],
            estate.Sites.SelectMany(site => site.Switches.Select(s => $"{s.Site} {site.Zone} {s.Name} {s.Address} {s.TcpPort} {s.Link} {s.Dialect}")));
        Assert.Equal(new Role("load") { RestartSeconds = 75, NegotiateSeconds = 75 }, estate.DefaultRole);
        Assert.Same(SystemClock.Instance, estate.Clock());
    }

    [Fact]
    public void A_switch_may_be_reached_in_clear_where_its_row_says_so()
    {
        const string Rows = "Site,Zone,Switch,Address,Link,Dialect,ClearText\nquay,Etc/UTC,q-1,192.0.2.1,telnet,reef,true\nquay,Etc/UTC,q-2,192.0.2.2,telnet,reef,FALSE\nquay,Etc/UTC,q-3,192.0.2.3,telnet,reef,\nquay,Etc/UTC,q-4,192.0.2.4,ssh,reef, True\n";
        Assert.Equal(["q-1 True", "q-2 False", "q-3 False", "q-4 True"], EstateFile.ReadCsv(_folder.Write("a.csv", Rows), 60).Estate!.Switches.Select(one => $"{one.Name} {one.ClearText}"));
        Assert.Equal(
            ["CsvUnreadable 2 ClearText: 'yes' is neither true nor false. Write true or false, or leave the field empty for false."],
            Told.Of(EstateFile.ReadCsv(_folder.Write("bad.csv", Rows.Replace(",true", ",yes")), 60).Problems));
    }

    [Fact]
    public void A_switch_that_is_reached_by_snmp_alone_needs_no_dialect()
    {
        EstateResult result = EstateFile.ReadCsv(_folder.Write("a.csv", Header + "quay,Europe/Lisbon,quay-1,192.0.2.11,1161,snmp,,\n"), 60);
        Assert.Empty(Told.Of(result.Problems));
        Switch one = result.Estate!.Switches.Single();
        Assert.Equal((LinkKind.Snmp, 1161, ""), (one.Link, one.SnmpPort, one.Dialect));
    }

    // RFC 4180, section 2, rules 5 to 7: quoted fields, line ends in them, doubled quotes.
    [Fact]
    public void Quotes_are_those_of_RFC_4180()
    {
        string text = Header + "\"The \"\"old\"\" quay\",Europe/Lisbon,\"quay-1\",192.0.2.11,,telnet,reef,\"a,b\"\n";
        Switch one = EstateFile.ReadCsv(_folder.Write("a.csv", text), 60).Estate!.Switches.Single();
        Assert.Equal(("The \"old\" quay", "a,b"), (one.Site, one.Credential));
    }

    [Theory]
    [InlineData("Site,Zone,Switch,Link,Dialect\n", new[] { "CsvUnreadable 1 -: The column 'Address' is missing. Let the first row name the columns Site, Zone, Switch, Address, Link, Dialect, and where wanted Port, Credential and ClearText; Get-Help about_PoeOps_Estate shows how to give the columns of a list other names." })]
    [InlineData("Hostname,IP,Location\nq-1,192.0.2.1,quay\n", new[] { "CsvUnreadable 1 -: The columns 'Site', 'Zone', 'Switch', 'Address', 'Link' and 'Dialect' are missing; not known are 'Hostname', 'IP' and 'Location'. Let the first row name the columns Site, Zone, Switch, Address, Link, Dialect, and where wanted Port, Credential and ClearText; Get-Help about_PoeOps_Estate shows how to give the columns of a list other names." })]
    [InlineData("Site,Zone,Switch,Adress,Link,Dialect\n", new[] { "CsvUnreadable 1 -: The column 'Adress' is not known here; the nearest is 'Address'. The columns known here are Site, Zone, Switch, Address, Port, Link, Dialect, Credential, ClearText." })]
    [InlineData("Site;Zone;Switch;Address;Link;Dialect\nquay;Europe/Lisbon;\"q\"1;192.0.2.1;ssh;reef\n", new[] { "CsvUnreadable 2 -: The row cannot be taken apart: something stands between the closing double quote of a field and the next semicolon. Put fields that hold semicolons, line ends or double quotes into double quotes, and write a double quote in them twice." })]
    [InlineData("Site,Zone,Switch,Address,Link,Dialect,Credentail\n", new[] { "CsvUnreadable 1 -: The column 'Credentail' is not known here; the nearest is 'Credential'. The columns known here are Site, Zone, Switch, Address, Port, Link, Dialect, Credential, ClearText." })]
    [InlineData("Site,Zone,Switch,Address,Link,Dialect,link\n", new[] { "CsvUnreadable 1 -: The column 'Link' stands twice. Keep one of them." })]
    [InlineData(Header + "quay,Europe/Lisbon,quay-1,192.0.2.11\n", new[] { "CsvUnreadable 2 -: The row has 4 fields, and the header names 8 columns. Give every row as many fields as the header." })]
    [InlineData(Header + "quay,Europe/Lisbon,\"quay-1,192.0.2.11\n", new[] { "CsvUnreadable 3 -: The row cannot be taken apart: a field that begins with a double quote has no closing one. Put fields that hold commas, line ends or double quotes into double quotes, and write a double quote in them twice." })]
    [InlineData(Header + "quay,Europe/Lisbon,q\"1,192.0.2.11,,telnet,reef,\n", new[] { "CsvUnreadable 2 -: The row cannot be taken apart: a double quote stands inside a field that does not begin with one. Put fields that hold commas, line ends or double quotes into double quotes, and write a double quote in them twice." })]
    [InlineData(Header + "quay,Europe/Lisbon,\"q\"1,192.0.2.11,,telnet,reef,\n", new[] { "CsvUnreadable 2 -: The row cannot be taken apart: something stands between the closing double quote of a field and the next comma. Put fields that hold commas, line ends or double quotes into double quotes, and write a double quote in them twice." })]
    [InlineData(Header + "quay,Europe/Lisbon,q/1,192.0.2.300,99999,telent,,\n", new[]
    {
        "CsvUnreadable 2 Link: 'telent' is no kind of link; the nearest is 'telnet'. Write one of telnet, tcp, ssh, snmp.",
        "CsvUnreadable 2 Switch: 'q/1' cannot be a name: a name has a slash in it. Names have no slash and no control character, and 200 characters at the most.",
        "CsvUnreadable 2 Address: '192.0.2.300' is no host name or IP address: it ends in a number and is no IPv4 address of four numbers from 0 to 255. Write the host alone, without port or protocol, such as 192.0.2.11 or north-1.example.org.",
        "CsvUnreadable 2 Port: '99999' is no TCP port, which is a number from 1 to 65535. Write the port, or leave the field empty for the link's own.",
        "CsvUnreadable 2 Dialect: The field of the column 'Dialect' is empty. Write what it stands for.",
    })]
    [InlineData(Header + "quay,Europe/Lisbon,q-1,192.0.2.1,,tcp,reef,\n", new[] { "CsvUnreadable 2 Port: The field of the column 'Port' is empty, and a link by 'tcp' has no port of its own. Write the TCP port." })]
    [InlineData(Header + "quay,Europe/Lisbon,q-1,192.0.2.1,,ssh,reef,\nquay,Europe/Madrid,Q-1,192.0.2.1,22,ssh,reef,\n", new[]
    {
        "CsvUnreadable 3 Zone: The site 'quay' is in zone 'Europe/Madrid' here and in zone 'Europe/Lisbon' in line 2. Give every row of a site the same zone.",
        "SwitchTwice 3 Switch: The switch 'Q-1' stands twice; the first is in line 2. Give every switch a name of its own; case makes no difference.",
        "SwitchTwice 3 Address: The switches 'q-1' (line 2) and 'Q-1' have the same address 192.0.2.1, port 22. Give every switch an address and port of its own.",
    })]
    public void A_mistake_is_told_whole(string text, string[] told)
    {
        EstateResult result = EstateFile.ReadCsv(_folder.Write("bad.csv", text), 60);
        Assert.Null(result.Estate);
        Assert.Equal(told, Told.Of(result.Problems));
    }

    [Theory]
    [InlineData(',')]
    [InlineData(';')]
    [InlineData('\t')]
    public void What_stands_between_the_fields_is_what_the_header_has(char mark)
    {
        string text = "Site,Zone,Switch,Address,Link,Dialect\r\nPLACE,Europe/Berlin,q-1,192.0.2.1,ssh,reef\r\n".Replace(',', mark).Replace("PLACE", "\"Kai; Nord, 1\"", StringComparison.Ordinal);
        EstateResult result = EstateFile.ReadCsv(_folder.Write("a.csv", text), 60);
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal(["Kai; Nord, 1 q-1 192.0.2.1"], result.Estate!.Switches.Select(one => $"{one.Site} {one.Name} {one.Address}"));
    }

    [Fact]
    public void Marks_inside_quotes_of_the_header_do_not_count() =>
        Assert.Equal(
            ["The column 'a;b;c;d;e;f;g;h' is not known in a list of switches and was not read."],
            EstateFile.ReadCsv(_folder.Write("a.csv", "Site,Zone,Switch,Address,Link,Dialect,\"a;b;c;d;e;f;g;h\"\nquay,Etc/UTC,q-1,192.0.2.1,ssh,reef,\n"), 60).Remarks);

    // RFC 2781: UTF-16 with a mark, the bytes of each unit in either order.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_list_may_be_UTF_16_with_a_mark(bool bigEndian)
    {
        var encoding = new System.Text.UnicodeEncoding(bigEndian, byteOrderMark: true);
        byte[] bytes = [.. encoding.GetPreamble(), .. encoding.GetBytes(Header + "Kühlhaus 💡,Europe/Lisbon,quay-1,192.0.2.11,,telnet,reef,\n")];
        EstateResult result = EstateFile.ReadCsv(_folder.Write("a.csv", bytes), 60);
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal("Kühlhaus 💡", result.Estate!.Sites.Single().Name);
    }

    [Theory]
    [InlineData(new byte[] { 0xFF, 0xFE, 0x53 })] // half a unit
    [InlineData(new byte[] { 0xFE, 0xFF, 0xD8, 0x3D, 0x00, 0x41 })] // half a pair
    [InlineData(new byte[] { 0xFF, 0xFE, 0x00, 0x00, 0x53, 0x00, 0x00, 0x00 })] // UTF-32
    public void What_only_begins_like_UTF_16_is_told(byte[] bytes) =>
        Assert.Equal(
            ["FileNotUtf8 1 -: The file starts with the byte-order mark of UTF-16, and what follows is none. Save it as UTF-8."],
            Told.Of(EstateFile.ReadCsv(_folder.Write("a.csv", bytes), 60).Problems));

    [Fact]
    public void Rows_without_any_content_are_passed_over_and_lines_are_counted_on()
    {
        EstateResult result = EstateFile.ReadCsv(_folder.Write("a.csv", Header + ",,,,,,,\n , ,\n;;;\nquay,Europe/Lisbon,q-1,192.0.2.1,,carrier,reef,\n,,,,,,,\n"), 60);
        Assert.Equal(["4 -", "5 Link"], result.Problems.Select(problem => $"{problem.Line} {problem.Path ?? "-"}"));
    }

    [Fact]
    public void Columns_that_are_not_read_are_told_and_do_no_harm()
    {
        const string Rows = "Site,Zone,Switch,Address,Link,Dialect,Remark,,Rack,\nquay,Etc/UTC,q-1,192.0.2.1,ssh,reef,new,,7,x\n";
        EstateResult result = EstateFile.ReadCsv(_folder.Write("a.csv", Rows), 60);
        Assert.Empty(Told.Of(result.Problems));
        Assert.Equal("q-1", result.Estate!.Switches.Single().Name);
        Assert.Equal(["The columns 'Remark' and 'Rack' are not known in a list of switches and were not read.", "Column 10 has no name and was not read."], result.Remarks);
        Assert.Empty(EstateFile.ReadCsv(_folder.Write("b.csv", "Site,Zone,Switch,Address,Link,Dialect,,\nquay,Etc/UTC,q-1,192.0.2.1,ssh,reef,,\n"), 60).Remarks);
    }

    // What Export-Csv of Windows PowerShell 5.1 writes first, unless -NoTypeInformation is said.
    [Theory]
    [InlineData("#TYPE Selected.System.Management.Automation.PSCustomObject\r\n\"Site\";\"Zone\";\"Switch\";\"Address\";\"Link\";\"Dialect\"\r\n\"quay\";\"Etc/UTC\";\"q-1\";\"192.0.2.1\";\"carrier\";\"reef\"\r\n", "3 Link")]
    [InlineData("#TYPE Selected.System.Management.Automation.PSCustomObject", "1 ")]
    public void The_line_of_a_type_is_passed_over(string text, string told)
    {
        Problem problem = Assert.Single(EstateFile.ReadCsv(_folder.Write("a.csv", text), 60).Problems);
        Assert.Equal(told, $"{problem.Line} {problem.Path}");
    }

    [Fact]
    public void A_list_of_blank_rows_is_told() =>
        Assert.Equal(
            ["CsvUnreadable 1 -: The list has no row with content. Let the first row name the columns, and each other row say one switch."],
            Told.Of(EstateFile.ReadCsv(_folder.Write("a.csv", ",,,\n,,,\n"), 60).Problems));

    [Fact]
    public void A_field_may_hold_line_ends_and_lines_are_counted_on()
    {
        string text = Header + "\"a\nb\",Europe/Lisbon,q-1,192.0.2.1,,ssh,reef,\nquay,Europe/Lisbon,q-2,x y,,ssh,reef,\n";
        Assert.Equal(
            ["2 Site", "4 Address"], EstateFile.ReadCsv(_folder.Write("lines.csv", text), 60).Problems.Select(problem => $"{problem.Line} {problem.Path}"));
    }

    [Fact]
    public void A_list_that_is_not_there_is_told_like_any_file() =>
        Assert.Equal(ProblemId.FileNotFound, Assert.Single(EstateFile.ReadCsv(_folder.Path("none.csv"), 60).Problems).Id);
}
