using PoeOps.Estate;

namespace PoeOps.Core.Tests.Examples;

public class HarbourEstateTests
{
    [Fact]
    public void It_has_three_sites_in_two_time_zones()
    {
        Assert.Equal(["ferry hall", "cold-store quay", "pilot station"], Harbour.Objects(Harbour.Estate, "sites").Select(site => (string)site["name"]!));
        Assert.Equal(2, Harbour.Objects(Harbour.Estate, "sites").Select(site => (string)site["zone"]!).Distinct().Count());
    }

    [Fact]
    public void It_has_nine_switches_and_twenty_one_units_of_two_families()
    {
        Assert.Equal(9, Harbour.Switches.Count);
        Assert.Equal(21, Harbour.Units.Count);
        Assert.Equal(["kelpline", "oakum"], Harbour.Units.Select(unit => unit.Family).Distinct());
    }

    [Fact]
    public void It_feeds_more_than_four_hundred_ports() => Assert.Equal(425, Harbour.Units.Sum(unit => unit.Powered.Count));

    [Theory]
    [InlineData("phone", 186)]
    [InlineData("camera", 93)]
    [InlineData("door reader", 45)]
    [InlineData("radio", 42)]
    [InlineData("gate intercom", 14)]
    [InlineData("sensor", 12)]
    [InlineData("lamp", 12)]
    [InlineData("help point", 7)]
    [InlineData("ticket kiosk", 6)]
    [InlineData("clock", 5)]
    [InlineData("cold-room alarm", 3)]
    [InlineData("other", 0)]
    public void Every_role_but_the_default_occurs(string role, int ports) =>
        Assert.Equal(ports, Harbour.Units.Sum(unit => unit.Powered.Count(port => port.Role == role)));

    [Fact]
    public void Help_points_and_cold_room_alarms_are_life_safety_and_nothing_else() =>
        Assert.Equal(["help point", "cold-room alarm"], Harbour.Objects(Harbour.Estate, "roles").Where(role => (bool?)role["lifeSafety"] ?? false).Select(role => (string)role["name"]!));

    [Fact]
    public void Windows_freezes_and_an_extra_window_inside_a_freeze_occur()
    {
        Assert.All(Harbour.Objects(Harbour.Estate, "sites"), site => Assert.NotEmpty(Harbour.Objects(site, "windows")));
        Assert.All(Harbour.Objects(Harbour.Estate, "sites"), site => Assert.NotEmpty(Harbour.Objects(site, "freezes")));
        Assert.Contains(Harbour.Objects(Harbour.Estate, "sites"), site => Harbour.Objects(site, "extraWindows").Any(extra =>
            Harbour.Objects(site, "freezes").Any(freeze => Date(freeze, "from") <= Day(extra) && Day(extra) <= Date(freeze, "until"))));
    }

    [Fact]
    public void Estate_and_world_have_the_same_switches_and_dialects() =>
        Assert.Equal(
            Harbour.Switches.Select(one => ((string)one["name"]!, (string)one["dialect"]!)),
            Harbour.Objects(Harbour.World, "switches").Select(one => ((string)one["name"]!, (string)one["family"]!)));

    [Fact]
    public void Every_setting_of_the_estate_is_about_a_unit_of_the_world()
    {
        HashSet<string> ids = [.. Harbour.Units.Select(unit => unit.Id)];
        Assert.All(
            Harbour.Switches.SelectMany(one => new[] { "units", "loads" }.SelectMany(key => Harbour.Objects(one, key)).Select(setting => $"{(string)one["name"]!}/{(string)setting["unit"]!}")),
            id => Assert.Contains(id, ids));
    }

    [Fact]
    public void Addresses_are_those_set_aside_for_documentation() =>
        // RFC 5737, section 3.
        Assert.All(
            Harbour.Switches.Select(one => (string)one["address"]!).Concat(Harbour.Switches.Select(one => (string?)one["fileServer"]).OfType<string>()).Append((string)Harbour.Estate["fileServer"]!),
            address => Assert.Matches(@"^(192\.0\.2|198\.51\.100|203\.0\.113)\.[0-9]+$", address));

    [Fact]
    public void The_reader_takes_it_without_a_problem() => Assert.Empty(EstateFile.Read(Harbour.PathOf("harbour.estate.json")).Problems);

    [Fact]
    public void The_list_of_switches_as_csv_says_the_same() =>
        Assert.Equal(
            Harbour.Objects(Harbour.Estate, "sites").SelectMany(site => Harbour.Objects(site, "switches").Select(one =>
                $"{(string)site["name"]!},{(string)site["zone"]!},{(string)one["name"]!},{(string)one["address"]!},{PortOf((int?)one["port"], (string)one["link"]!)},{(string)one["link"]!},{(string)one["dialect"]!},{(string)one["credential"]!}"))
                .Prepend("Site,Zone,Switch,Address,Port,Link,Dialect,Credential"),
            File.ReadLines(Harbour.PathOf("switches.csv")));

    [Fact]
    public void The_reader_takes_the_list_without_a_problem() => Assert.Empty(EstateFile.ReadCsv(Harbour.PathOf("switches.csv"), defaultRestartSeconds: 120).Problems);

    private static int PortOf(int? port, string link) => port ?? (link == "ssh" ? 22 : 23);

    private static DateOnly Day(System.Text.Json.Nodes.JsonObject extra) => DateOnly.ParseExact(((string)extra["opens"]!)[..10], "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);

    private static DateOnly Date(System.Text.Json.Nodes.JsonObject freeze, string key) => DateOnly.ParseExact((string)freeze[key]!, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
}
