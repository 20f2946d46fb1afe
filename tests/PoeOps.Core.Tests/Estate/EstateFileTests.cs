using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class EstateFileTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Every_key_of_an_estate_is_read()
    {
        EstateMap estate = Read(SampleEstate.Text);
        Assert.Equal(("Lagoon", "192.0.2.5"), (estate.Name, estate.FileServer));
        Assert.Equal([_folder.Path("dialects"), Path.Combine(_folder.Path("more"), "reef.dialect.json")], estate.DialectPaths);
        Assert.Equal(
            [
                new Role("phone") { RestartSeconds = 90, NegotiateSeconds = 20.5 },
                new Role("help point") { RestartSeconds = 45, NegotiateSeconds = 45, LifeSafety = true, Weight = 10 },
                new Role("other") { RestartSeconds = 60, NegotiateSeconds = 60 },
            ],
            estate.Roles);
        Assert.Same(estate.Roles[2], estate.DefaultRole);
        Assert.Equal(["^tel- phone", "handset phone", "^help help point"], estate.RolePatterns.Select(pattern => $"{pattern.Pattern} {pattern.Role.Name}"));

        Site quay = estate.Sites[0];
        Assert.Equal(("quay", "Europe/Lisbon", LocalTimeChoice.Second), (quay.Name, quay.Zone, quay.LocalTime));
        Assert.Equal(["Tuesday,Thursday  1   22:30 05:00:00 True", "Friday 1,-1 1 2026-12-01 2027-06-30 21:00 1.01:00:00 False", "Monday  2 2026-12-01  20:00 00:45:00 False"], quay.Windows.Select(Words));
        Assert.Equal(new ExtraWindow { Opens = "2026-12-04T22:00", Length = TimeSpan.FromHours(6) }, Assert.Single(quay.ExtraWindows));
        Assert.Equal(new Freeze { From = "2026-12-20", Until = "2027-01-06", Because = "holiday sailings" }, Assert.Single(quay.Freezes));
        Assert.Empty(estate.Sites[1].Windows);
        Assert.Equal(LocalTimeChoice.First, estate.Sites[1].LocalTime);
    }

    [Fact]
    public void Every_key_of_a_switch_is_read()
    {
        EstateMap estate = Read(SampleEstate.Text);
        Switch one = estate.FindSwitch("QUAY-1")!;
        Assert.Equal(("quay-1", "quay", "127.0.0.11", 2323, LinkKind.Telnet), (one.Name, one.Site, one.Address, one.TcpPort, one.Link));
        Assert.Equal(("reef", "quay", "192.0.2.6"), (one.Dialect, one.Credential, one.FileServer));
        Assert.Equal(new UnitSetting { Unit = "1", Line = 21, CoverageGroup = "radios", HoldsManagement = true, GuardBandWatts = 10.5m }, Assert.Single(one.Units) with { Power = null, OnlyWindows = [], NotWindows = [] });
        Assert.Equal(["2026-12-04", "2026-12-08T22:30"], one.Units[0].OnlyWindows);
        Assert.Equal(["2026-12-10"], one.Units[0].NotWindows);
        Assert.Equal("Type2 ByDraw 0.5  370,715.5 0.2:0.88,1:0.92 5", Power(one.Power!));
        Assert.Equal("Type4 ByLimit 0.5 True 370,715.5 1:0.9 5", Power(one.Units[0].Power!));
        Assert.Equal("Type2     0.2:0.88,1:0.92 5", Power(estate.FindSwitch("quay-2")!.Power!));
        Assert.Equal(
            [new LoadSetting { Unit = "1", Ports = "1-8,12", Load = "ticket hall", Role = "Phone" }, new LoadSetting { Unit = "1", Ports = "20", Role = "help point" }], one.Loads.Select(load => load with { Line = null }));
        Assert.All(one.Loads, load => Assert.NotNull(load.Line));

        Switch two = estate.FindSwitch("quay-2")!;
        Assert.Equal((null, 22, LinkKind.Ssh, "", "192.0.2.5"), (two.Port, two.TcpPort, two.Link, two.Credential, two.FileServer));
        Assert.Equal("::1 4001 Tcp", $"{estate.FindSwitch("islet-1")!.Address} {estate.FindSwitch("islet-1")!.TcpPort} {estate.FindSwitch("islet-1")!.Link}");
        Assert.Equal("quay-1 True False, quay-2 False False, islet-1 True True", string.Join(", ", estate.Switches.Select(s => $"{s.Name} {s.IsInClear} {s.ClearText}")));
        Assert.Equal(["quay-1", "quay-2", "islet-1"], estate.Switches.Select(s => s.Name));
        Assert.Null(estate.FindSwitch("quay-3"));
    }

    [Fact]
    public void The_clock_is_the_rehearsals_where_a_rehearsal_wrote_the_estate()
    {
        EstateMap estate = Read(SampleEstate.Text);
        Assert.Equal(new DateTime(2026, 12, 4, 21, 30, 0, 500, DateTimeKind.Utc), estate.Rehearsal!.StartUtc);
        Assert.Equal(60, Assert.IsType<ScaledClock>(estate.Clock()).Speed);
        Assert.Same(SystemClock.Instance, (estate with { Rehearsal = null }).Clock());
    }

    [Theory]
    [InlineData("192.0.2.1", true)]
    [InlineData("2001:db8::1", true)]
    [InlineData("fe80::1%eth0", true)]
    [InlineData("north-1", true)]
    [InlineData("n.1.example.org", true)]
    [InlineData("256.0.2.1", false)]
    [InlineData("192.0.2", false)]
    [InlineData("192.0.02.1", false)]
    [InlineData("1", false)]
    [InlineData("", false)]
    [InlineData("-a.example.org", false)]
    [InlineData("a..example.org", false)]
    [InlineData("a_b", false)]
    [InlineData("a b", false)]
    [InlineData("host:23", false)]
    [InlineData("host;reboot", false)]
    [InlineData("http://host", false)]
    public void An_address_is_a_host_alone(string address, bool good)
    {
        EstateResult result = EstateFile.Read(_folder.Write("a.estate.json", SampleEstate.Real.Replace("127.0.0.11", address)));
        Assert.Equal(good ? [] : [ProblemId.JsonBadValue], result.Problems.Select(problem => problem.Id));
    }

    private EstateMap Read(string text)
    {
        EstateResult result = EstateFile.Read(_folder.Write("lagoon.estate.json", text));
        Assert.Empty(Told.Of(result.Problems));
        return result.Estate!;
    }

    private static string Words(WindowRule rule) =>
        $"{string.Join(",", rule.Days)} {string.Join(",", rule.Weeks)} {rule.EveryWeeks} {rule.From} {rule.Until} {rule.Opens} {rule.Length} {rule.Attended}";

    private static string Power(PowerSettings power) => FormattableString.Invariant(
        $"{power.PseType} {power.Policy} {power.StaggerSeconds} {power.Demotes} {string.Join(",", power.Supplies?.Watts.Select(watts => FormattableString.Invariant($"{watts}")) ?? [])} {string.Join(",", power.Efficiency?.Points.Select(point => FormattableString.Invariant($"{point.Load}:{point.Figure}")) ?? [])} {power.GuardBandPercent}");
}
