using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A unit comes back whose loads ask for more at turn-on than its budget has.</summary>
public sealed class PowerUpTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-budget-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    // Worked by hand from the rule that ports are decided one after another and one that does not fit waits: classes 6, 5 and 1 ask for 60, 45 and 4 W.
    // With 58 W the first does not fit and the other two do (49 W); with 60 W the first takes it all. More supply, fewer loads.
    [Theory]
    [InlineData(58, new[] { "2", "3" })]
    [InlineData(60, new[] { "1" })]
    [InlineData(109, new[] { "1", "2", "3" })]
    [InlineData(108.999, new[] { "1", "2" })]
    public void A_larger_budget_can_bring_fewer_loads_back(decimal budget, string[] back)
    {
        using RunningRehearsal rehearsal = Rehearse(budget, settleSeconds: 86_400);
        using TerminalLink link = Refresh(rehearsal, decided: 3);

        Assert.Equal(back, Powered(link));
    }

    [Fact]
    public void A_port_that_waits_is_granted_power_when_another_has_settled_for_less()
    {
        using RunningRehearsal rehearsal = Rehearse(60, settleSeconds: 30);
        using TerminalLink link = Refresh(rehearsal, decided: 5);

        Assert.Equal(["1", "2", "3"], Powered(link));
        Assert.Equal(2, rehearsal.Log.Count(entry => entry.Kind == DeviceEntryKind.PortWaits));
    }

    private static IEnumerable<string> Powered(TerminalLink link) => Night.Unit(link, "1").Ports.Where(port => port.Delivering).Select(port => port.Name);

    private static TerminalLink Refresh(RunningRehearsal rehearsal, int decided)
    {
        using var server = new TftpServer(new TftpServerOptions());
        server.Start();
        string path = Path.Combine(Path.GetDirectoryName(rehearsal.EstatePath)!, "tight.img");
        File.WriteAllBytes(path, new ImageHeader { Family = "tight", Models = ["T-3"], Version = "1.0.1" }.Write([1, 2, 3]));
        var link = new TerminalLink(
            () => TcpConnection.Open("127.0.0.1", rehearsal.Switches[0].Port, LinkKind.Tcp, rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(15))),
            Place.Dialect("kelpline"), new LogInSecrets(rehearsal.User, rehearsal.Password), "tight-1", rehearsal.Clock);
        using (server.Serve("tight.img", path, null))
        {
            link.Start(new RefreshOrder("1", "tftp", "127.0.0.1", server.Endpoint!.Port, "tight.img"));
            LinkEventKind said;
            do
            {
                said = link.Next(rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(60 * Place.Speed))).Kind;
            }
            while (said is not (LinkEventKind.Succeeded or LinkEventKind.Failed or LinkEventKind.Lost or LinkEventKind.Silence));
            Assert.Equal(LinkEventKind.Succeeded, said);
        }

        File.Delete(path);
        Place.Until("every port is decided", () => rehearsal.Log.Count(entry => entry.Kind is DeviceEntryKind.PortGranted or DeviceEntryKind.PortWaits) == decided);
        return link;
    }

    private RunningRehearsal Rehearse(decimal budget, int settleSeconds)
    {
        string estate = Path.Combine(_folder, "tight.estate.json");
        File.WriteAllText(estate, """
            { "name": "Tight", "roles": [ { "name": "any", "restartSeconds": 10, "default": true } ],
              "sites": [ { "name": "here", "zone": "Etc/UTC", "switches": [ { "name": "tight-1", "address": "192.0.2.9", "link": "telnet", "dialect": "kelpline" } ] } ] }
            """);
        File.WriteAllText(Path.Combine(_folder, "tight.world.json"), FormattableString.Invariant($$"""
            { "user": "u", "password": "p",
              "models": [ { "model": "T-3", "ports": 3, "budgetWatts": {{budget}}, "imageFamily": "tight", "stageSeconds": { "Transfer": 1, "Erase": 1, "Program": 1, "Reset": 1 } } ],
              "loads": [ { "name": "six", "pdClass": 6, "drawWatts": 3, "negotiatedWatts": 5, "negotiateSeconds": {{settleSeconds}} },
                         { "name": "five", "pdClass": 5, "drawWatts": 3, "negotiatedWatts": 5, "negotiateSeconds": {{settleSeconds}} },
                         { "name": "one", "pdClass": 1, "drawWatts": 3, "negotiateSeconds": {{settleSeconds}} } ],
              "switches": [ { "name": "tight-1", "family": "kelpline", "release": "7.4", "units": [ { "unit": "1", "model": "T-3", "serial": "T1", "firmware": "1.0.0",
                "ports": [ { "ports": "1", "load": "six" }, { "ports": "2", "load": "five" }, { "ports": "3", "load": "one" } ] } ] } ] }
            """));
        return RehearsalEstate.Start(new RehearsalOptions { EstatePath = estate, Speed = Place.Speed });
    }
}
