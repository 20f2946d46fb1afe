using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using PoeOps.Estate;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A rehearsal begins and ends, or cannot begin.</summary>
[Collection(Alone.Name)]
public sealed class StartStopTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-stage-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void The_rewritten_estate_has_every_switch_on_loopback_and_the_clock_of_the_rehearsal()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();

        EstateMap estate = EstateFile.Read(rehearsal.EstatePath).Estate!;

        Assert.Equal("Mole", estate.Name);
        Assert.Equal("127.0.0.1", estate.FileServer);
        Assert.Equal(
            rehearsal.Switches.Select(one => (one.Name, "127.0.0.1", (int?)one.Port, LinkKind.Tcp)),
            estate.Switches.Select(one => (one.Name, one.Address, one.Port, one.Link)));
        Assert.Equal((Place.Speed, new DateTime(2026, 12, 1, 21, 0, 0, DateTimeKind.Utc)), (estate.Rehearsal!.Speed, estate.Rehearsal.StartUtc));
        TimeSpan apart = estate.Clock().UtcNow - rehearsal.Clock.UtcNow;
        Assert.True(apart.Duration() < TimeSpan.FromSeconds(5 * Place.Speed), $"The two clocks are {apart} apart.");
    }

    [Fact]
    public void Nothing_listens_but_at_loopback()
    {
        using RunningRehearsal rehearsal = Place.Rehearse();

        IPEndPoint[] listeners = IPGlobalProperties.GetIPGlobalProperties().GetActiveTcpListeners();

        Assert.All(rehearsal.Switches, one => Assert.Equal(
            [IPAddress.Loopback], listeners.Where(listener => listener.Port == one.Port && Mine(listener)).Select(listener => listener.Address)));
        Assert.DoesNotContain(listeners, listener => rehearsal.Switches.Any(one => one.Port == listener.Port) && !IPAddress.IsLoopback(listener.Address));
    }

    [Fact]
    public void Its_end_closes_sessions_frees_ports_and_deletes_what_it_wrote()
    {
        RunningRehearsal rehearsal = Place.Rehearse();
        string folder = Path.GetDirectoryName(rehearsal.EstatePath)!;
        using Caller caller = Caller.LogIn(rehearsal, "mole-1");
        Assert.Contains(rehearsal, RunningRehearsal.All);
        Assert.Same(rehearsal, RunningRehearsal.Find(rehearsal.EstatePath));

        rehearsal.Dispose();
        rehearsal.Dispose();

        Assert.Equal(string.Empty, caller.ToEnd());
        Assert.All(rehearsal.Switches, one => Assert.Throws<SocketException>(() => Connect(one.Port)));
        Assert.False(Directory.Exists(folder));
        Assert.True(rehearsal.Ended);
        Assert.DoesNotContain(rehearsal, RunningRehearsal.All);
        Assert.Null(RunningRehearsal.Find(rehearsal.EstatePath));
        Assert.Contains(rehearsal.Log, entry => entry.Kind == DeviceEntryKind.LoggedIn);
    }

    [Fact]
    public void Its_end_in_the_middle_of_a_refresh_ends_the_refresh()
    {
        var night = new Night("mole-1/1:Program:StuckAt40");
        using (Terminal.TerminalLink link = night.Open("mole-1"))
        {
            night.RefreshUpTo(link, "1", night.Serve(Night.Kelp), Refresh.Stage.Program, 40);
        }

        night.Dispose();

        Place.Until("the refresh has ended", () => night.Entries(DeviceEntryKind.InstallFailed).Count == 1);
    }

    [Fact]
    public void All_rehearsals_of_a_process_can_be_ended_at_once()
    {
        RunningRehearsal one = Place.Rehearse();
        RunningRehearsal other = Place.Rehearse();

        RehearsalEstate.StopAll();

        Assert.Empty(RunningRehearsal.All);
        Assert.True(one.Ended && other.Ended);
    }

    [Fact]
    public void A_folder_of_the_callers_keeps_what_is_in_it()
    {
        File.WriteAllText(Path.Combine(_folder, "notes.txt"), "mine");
        RunningRehearsal rehearsal = RehearsalEstate.Start(new RehearsalOptions { EstatePath = Place.Mole, Folder = _folder });
        Assert.Equal(Path.Combine(_folder, "mole.estate.json"), rehearsal.EstatePath);
        Assert.Equal(ProblemId.FileExists, Wrong(new RehearsalOptions { EstatePath = Place.Mole, Folder = _folder }).Id);

        rehearsal.Dispose();

        Assert.Equal(["notes.txt"], Directory.GetFileSystemEntries(_folder).Select(Path.GetFileName));
    }

    [Fact]
    public void A_folder_that_cannot_be_made_is_a_problem_and_leaves_nothing_running()
    {
        string file = Path.Combine(_folder, "file");
        File.WriteAllText(file, string.Empty);
        int running = RunningRehearsal.All.Count;

        Assert.Equal(ProblemId.FileNotWritable, Wrong(new RehearsalOptions { EstatePath = Place.Mole, Folder = Path.Combine(file, "inside") }).Id);
        Assert.Equal(running, RunningRehearsal.All.Count);
    }

    [Fact]
    public void An_estate_without_a_world_cannot_be_rehearsed()
    {
        string estate = Path.Combine(_folder, "lone.estate.json");
        File.Copy(Place.Mole, estate);

        Problem problem = Wrong(new RehearsalOptions { EstatePath = estate });

        Assert.Equal(ProblemId.RehearsalCannotStart, problem.Id);
        Assert.Equal(Path.Combine(_folder, "lone.world.json"), problem.File);
        Assert.Equal(
            $"The rehearsal of '{estate}' cannot start. The estate has no world: the file that says which models, firmware and loads its switches have is not there.",
            problem.Sentence);
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(double.NaN)]
    [InlineData(1e9)]
    public void A_speed_out_of_bounds_is_a_problem(double speed) =>
        Assert.Equal(ProblemId.RehearsalCannotStart, Wrong(new RehearsalOptions { EstatePath = Place.Mole, Speed = speed }).Id);

    [Fact]
    public void An_unknown_mishap_is_said_as_such() =>
        Assert.Equal(ProblemId.MishapUnknown, Wrong(new RehearsalOptions { EstatePath = Place.Mole, Mishaps = ["mole-1/1:Transfer:Explodes"] }).Id);

    [Theory]
    [InlineData("\"name\": \"ferry-2\"", "\"name\": \"ferry-3\"", "The estate has the switch 'ferry-2', and the world does not.", "The world has the switch 'ferry-3', and the estate does not.")]
    [InlineData("\"name\": \"ferry-2\"", "\"name\": \"mole-1\"", "The estate has the switch 'ferry-2', and the world does not.", "The switch 'mole-1' stands twice in the world.")]
    public void Estate_and_world_must_have_the_same_switches(string was, string now, string first, string second) =>
        Assert.Equal([(ProblemId.NotInEstate, first), (ProblemId.NotInEstate, second)], ProblemsWith("world", was, now));

    [Fact]
    public void A_unit_that_the_estate_names_must_be_in_the_world() =>
        Assert.Equal(
            [(ProblemId.NotInEstate, "The estate has the unit '7' of the switch 'mole-1', and the world does not.")],
            ProblemsWith("estate", "\"credential\": \"mole\" },", "\"credential\": \"mole\", \"units\": [ { \"unit\": \"7\" } ] },"));

    private List<(ProblemId, string)> ProblemsWith(string kind, string was, string now)
    {
        foreach (string file in new[] { "estate", "world" })
        {
            string text = File.ReadAllText(file == "estate" ? Place.Mole : Place.Mole.Replace(".estate.", ".world."));
            string changed = file == kind ? ReplaceOnce(text, was, now) : text;
            File.WriteAllText(Path.Combine(_folder, $"mole.{file}.json"), changed);
        }

        return [.. RehearsalEstate.Check(new RehearsalOptions { EstatePath = Path.Combine(_folder, "mole.estate.json") }).Select(problem => (problem.Id, problem.Sentence))];
    }

    private static string ReplaceOnce(string text, string was, string now)
    {
        int at = text.IndexOf(was, StringComparison.Ordinal);
        Assert.True(at >= 0, "Not in the file: " + was);
        return text[..at] + now + text[(at + was.Length)..];
    }

    private static Problem Wrong(RehearsalOptions options) => Assert.Throws<PoeOpsException>(() => RehearsalEstate.Start(options)).Problem;

    private static bool Mine(IPEndPoint listener) => listener.AddressFamily == AddressFamily.InterNetwork;

    private static void Connect(int port)
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        socket.Connect(IPAddress.Loopback, port);
    }
}
