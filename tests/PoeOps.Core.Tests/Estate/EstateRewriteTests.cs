using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>The copy of an estate that a rehearsal works on.</summary>
public sealed class EstateRewriteTests : IDisposable
{
    private static readonly DateTime MachineStart = new(2026, 1, 2, 3, 4, 5, DateTimeKind.Utc);
    private static readonly DateTime Start = new(2026, 12, 25, 21, 0, 0, DateTimeKind.Utc);

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Switches_move_to_loopback_and_each_site_has_the_one_window()
    {
        EstateMap copy = Rewritten();
        Assert.Equal(["quay-1 127.0.0.1 40000 Tcp 127.0.0.1", "quay-2 127.0.0.1 40001 Tcp 127.0.0.1", "islet-1 127.0.0.1 40002 Tcp 127.0.0.1"],
            copy.Switches.Select(s => $"{s.Name} {s.Address} {s.Port} {s.Link} {s.FileServer}"));
        Assert.All(copy.Sites, site =>
        {
            Assert.Empty(site.Windows);
            Assert.Empty(site.Freezes);
            Assert.Equal(new ExtraWindow { Opens = site.Name == "quay" ? "2026-12-25T21:00" : "2026-12-25T20:00", Length = TimeSpan.FromHours(8), Attended = true }, Assert.Single(site.ExtraWindows));
        });
        Assert.Equal(new RehearsalClock { Speed = 120, MachineStartUtc = MachineStart, StartUtc = Start, FileServer = "127.0.0.1" }, copy.Rehearsal);
    }

    [Fact]
    public void Everything_else_stays()
    {
        EstateMap source = EstateFile.Read(Source()).Estate!;
        EstateMap copy = Rewritten();
        Assert.Equal(source.Name, copy.Name);
        Assert.Equal(source.Roles, copy.Roles);
        Assert.Equal(source.DialectPaths, copy.DialectPaths);
        Assert.Equal(source.RolePatterns.Select(one => one.Pattern.ToString()), copy.RolePatterns.Select(one => one.Pattern.ToString()));
        Assert.Equal(source.Sites.Select(site => site.Zone), copy.Sites.Select(site => site.Zone));
        foreach ((Switch before, Switch after) in source.Switches.Zip(copy.Switches))
        {
            Assert.Equal((before.Dialect, before.Credential), (after.Dialect, after.Credential));
            Assert.Equal(before.Units.Select(unit => unit with { OnlyWindows = [], NotWindows = [], Line = null }), after.Units.Select(unit => unit with { Line = null }));
            Assert.Equal(before.Loads.Select(load => load with { Line = null }), after.Loads.Select(load => load with { Line = null }));
        }
    }

    [Fact]
    public void A_relative_schema_is_still_found_from_the_copys_folder()
    {
        Rewritten();
        Assert.Contains(System.Text.Json.JsonSerializer.Serialize(Path.Combine(_folder.Path("schemas"), "poeops.estate.schema.json")), File.ReadAllText(Target));
    }

    [Fact]
    public void An_estate_with_mistakes_is_not_rewritten()
    {
        string source = _folder.Write("bad.estate.json", SampleEstate.Text.Replace("\"zone\"", "\"zoen\""));
        PoeOpsException thrown = Assert.Throws<PoeOpsException>(() => EstateFile.Rewrite(source, Target, Change()));
        Assert.Equal(ProblemId.JsonMissingKey, thrown.Problem.Id);
        Assert.False(File.Exists(Target));
    }

    private string Target
    {
        get
        {
            Directory.CreateDirectory(_folder.Path("run"));
            return Path.Combine(_folder.Path("run"), "copy.estate.json");
        }
    }

    private string Source() => _folder.Write("lagoon.estate.json", SampleEstate.Text);

    private EstateMap Rewritten()
    {
        EstateFile.Rewrite(Source(), Target, Change());
        EstateResult result = EstateFile.Read(Target);
        Assert.Empty(Told.Of(result.Problems));
        return result.Estate!;
    }

    private static EstateChange Change()
    {
        int port = 40000;
        return new EstateChange(
            _ => new SwitchEndpoint("127.0.0.1", port++, LinkKind.Tcp),
            site => new ExtraWindow { Opens = site.Zone == "Europe/Lisbon" ? "2026-12-25T21:00" : "2026-12-25T20:00", Length = TimeSpan.FromHours(8), Attended = true },
            new RehearsalClock { Speed = 120, MachineStartUtc = MachineStart, StartUtc = Start },
            "127.0.0.1");
    }
}
