using System.Net;
using System.Text;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A rehearsal of the mole, a real file server, and links to the switches as a run would have them.</summary>
internal sealed class Night : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-night-").FullName;
    private readonly TftpServer _server = new(new TftpServerOptions());

    public Night(params string[] mishaps)
    {
        Rehearsal = Place.Rehearse(mishaps);
        _server.Start();
    }

    public RunningRehearsal Rehearsal { get; }

    public TftpServer Server => _server;

    /// <summary>The image that a unit of the mole takes: kelpline 3.10.2.</summary>
    public static ImageHeader Kelp { get; } = new() { Family = "kelp-pse", Models = ["KL-8", "KL-24"], Version = "3.10.2", LoadsOn = "2.0.4" };

    /// <summary>The image that a unit of the ferry takes: oakum R3-B10p2.</summary>
    public static ImageHeader Oakum { get; } = new() { Family = "oakum-pse", Models = ["OK-16"], Version = "R3-B10p2" };

    public TerminalLink Open(string name, string? elevation = null, string? transcripts = null)
    {
        RehearsalSwitch place = Rehearsal.Switches.Single(one => one.Name == name);
        var secrets = new LogInSecrets(Rehearsal.User, Rehearsal.Password, elevation);
        return new TerminalLink(
            () => TcpConnection.Open("127.0.0.1", place.Port, LinkKind.Tcp, Rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(15))),
            Place.Dialect(place.Family),
            secrets,
            name,
            Rehearsal.Clock,
            transcripts: transcripts is null ? null : () => Transcript.Create(transcripts, name, secrets, Rehearsal.Clock));
    }

    /// <summary>Makes an image and serves it, perhaps spoilt on the way.</summary>
    public string Serve(ImageHeader header, Func<byte[], byte[]>? spoil = null)
    {
        string name = $"image-{Directory.GetFiles(_folder).Length}.img";
        byte[] image = header.Write(Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 400).Select(i => $"plank {i}; "))));
        File.WriteAllBytes(Path.Combine(_folder, name), spoil is null ? image : spoil(image));
        _server.Serve(name, Path.Combine(_folder, name), IPAddress.Loopback);
        return name;
    }

    /// <summary>Starts a refresh, and follows it to its success, its failure, the loss of its link, or a silence of a minute.</summary>
    public IReadOnlyList<LinkEvent> Refresh(TerminalLink link, string unit, string file)
    {
        string name = Rehearsal.Switches.First(one => (one.Family == "kelpline") == char.IsDigit(unit[0])).Name;
        link.Start(new RefreshOrder(unit, "tftp", "127.0.0.1", _server.Endpoint!.Port, file));
        var events = new List<LinkEvent>();
        do
        {
            events.Add(link.Next(Patience()));
        }
        while (events[^1].Kind is LinkEventKind.StageBegan or LinkEventKind.StageEnded or LinkEventKind.Progress or LinkEventKind.Other);

        // A kelpline's prompt comes after its last word; a command that is sent before it would take the prompt for its answer's end.
        if (Rehearsal.Switches.Single(one => one.Name == name).Family == "kelpline" && events[^1].Kind != LinkEventKind.Lost)
        {
            Assert.Equal(LinkEventKind.PromptBack, link.Next(Patience()).Kind);
        }

        return events;
    }

    /// <summary>Starts a refresh, and follows it to a place that it is to stand still at.</summary>
    public void RefreshUpTo(TerminalLink link, string unit, string file, Stage stage, int percent)
    {
        link.Start(new RefreshOrder(unit, "tftp", "127.0.0.1", _server.Endpoint!.Port, file));
        LinkEvent said;
        do
        {
            said = link.Next(Patience());
            Assert.NotEqual(LinkEventKind.Silence, said.Kind);
        }
        while (said.Stage != stage || said.Percent < percent || said.Percent is null);
    }

    /// <summary>What a unit says now.</summary>
    public static Controller Unit(TerminalLink link, string unit) => link.Read().Controllers.Single(one => one.Unit == unit);

    /// <summary>What the devices wrote of one kind.</summary>
    public IReadOnlyList<DeviceEntry> Entries(DeviceEntryKind kind) => [.. Rehearsal.Log.Where(entry => entry.Kind == kind)];

    /// <summary>Waits until the devices have written something of a kind.</summary>
    public void Await(DeviceEntryKind kind, int count = 1) => Place.Until(kind.ToString(), () => Entries(kind).Count >= count);

    public void Dispose()
    {
        Rehearsal.Dispose();
        _server.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    // A minute of the machine, which no stage of the mole comes near.
    private Deadline Patience() => Rehearsal.Clock.DeadlineIn(TimeSpan.FromSeconds(60 * Place.Speed));
}
