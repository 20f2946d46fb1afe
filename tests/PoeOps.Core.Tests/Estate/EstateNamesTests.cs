using PoeOps.Calendar;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Journal;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Estate;

public sealed class EstateNamesTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void An_estate_names_sites_switches_units_and_dialects()
    {
        EstateNames names = EstateNames.Read(Write("""
            {
              // A comment, as such files may have.
              "name": "x", "dialects": ["own", "b.dialect.json"],
              "sites": [
                { "name": "one", "switches": [ { "name": "a", "units": [ { "unit": "1" } ], "loads": [ { "unit": "2" }, { "unit": "1" } ] }, { "name": "A" } ] },
                { "name": "two", "switches": [ { "name": "b c", "units": [ { "unit": "left" }, { "unit": "no/unit" }, { "unit": 7 } ] }, { "name": "" }, 5 ] }
              ]
            }
            """));
        Assert.Equal(["one", "two"], names.Sites);
        Assert.Equal(["a", "b c"], names.Switches);
        Assert.Equal(["a/1", "a/2", "b c/left"], names.Units);
        Assert.Equal([Path.Combine(_folder, "own"), Path.Combine(_folder, "b.dialect.json")], names.DialectPaths);
    }

    [Theory]
    [InlineData("")]
    [InlineData("{ \"sites\": [ { \"name\": \"one\" }")]
    [InlineData("[ { \"sites\": [ { \"name\": \"one\" } ] } ]")]
    [InlineData("{ \"sites\": [ { \"name\": \"one\" } ] } and more")]
    [InlineData("{ \"sites\": \"one\", \"dialects\": { } }")]
    [InlineData("{ \"sites\": [ { \"name\": \"a\\u001b[2J\", \"switches\": null } ] }")]
    public void A_file_that_cannot_be_read_has_no_names(string text)
    {
        foreach (EstateNames names in (EstateNames[])[EstateNames.Read(Write(text)), PlanNames.Read(Write(text)), JournalNames.Read(Write(text)), EstateNames.Read(_folder), PlanNames.Read(string.Empty)])
        {
            Assert.Empty(names.Sites.Concat(names.Switches).Concat(names.Units).Concat(names.DialectPaths));
        }
    }

    [Fact]
    public void Names_of_several_files_stand_once()
    {
        EstateNames all = EstateNames.Union([new EstateNames { Switches = ["a", "b"], Units = ["a/1"] }, new EstateNames { Switches = ["B", "c"], Sites = ["s"] }]);
        Assert.Equal(["a", "b", "c"], all.Switches);
        Assert.Equal(["s"], all.Sites);
        Assert.Equal(["a/1"], all.Units);
        Assert.Empty(EstateNames.Union([]).Switches);
    }

    [Fact]
    public void Zones_are_offered_by_both_kinds_of_ids()
    {
        // IANA TZDB, and Unicode CLDR's windowsZones.xml.
        Assert.Contains("Europe/Lisbon", Zones.Ids);
        Assert.Contains("GMT Standard Time", Zones.Ids);
        Assert.All(Zones.Ids, id => Assert.Null(Zones.Check(id)));
        Assert.Equal(Zones.Ids.Count, Zones.Ids.Distinct().Count());
        Assert.All(DialectEncoding.Names, name => Assert.Null(DialectEncoding.Check(name)));
        Assert.Contains("iso-8859-1", DialectEncoding.Names);
    }

    [Fact]
    public void A_shelf_names_its_dialects_once_and_passes_over_what_cannot_be_read()
    {
        File.WriteAllText(Path.Combine(_folder, "a.dialect.json"), "{ \"name\": \"second\" }");
        File.WriteAllText(Path.Combine(_folder, "b.dialect.json"), "{ \"name\": ");
        File.WriteAllText(Path.Combine(_folder, "c.dialect.json"), "{ \"name\": \"SECOND\" }");
        File.WriteAllText(Path.Combine(_folder, "d.dialect.json"), "{ \"name\": \"first\" }");
        Assert.Equal(["second", "first"], new DialectShelf([_folder, Path.Combine(_folder, "none")]).Names);
    }

    private string Write(string text)
    {
        string path = Path.Combine(_folder, "file.json");
        File.WriteAllText(path, text);
        return path;
    }
}
