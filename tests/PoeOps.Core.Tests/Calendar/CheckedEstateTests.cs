using PoeOps.Calendar;
using PoeOps.Core.Tests.Estate;
using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Calendar;

/// <summary>Estates and lists of switches whose zones and dialects are asked about while they are read.</summary>
public sealed class CheckedEstateTests : IDisposable
{
    private const string Header = "Site,Zone,Switch,Address,Link,Dialect\n";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_zone_that_nobody_knows_is_told_with_its_place_and_with_all_other_mistakes()
    {
        string text = SampleEstate.Text.Replace("\"Europe/Lisbon\"", "\"Europe/Lisbom\"", StringComparison.Ordinal).Replace("\"PT5H\"", "\"5h\"", StringComparison.Ordinal);
        string path = _folder.Write("a.estate.json", text);
        EstateResult result = CheckedEstate.Read(path);
        Assert.Null(result.Estate);
        Assert.Equal(
            [
                "ZoneUnknown 14 sites[0].zone: No time zone is called 'Europe/Lisbom'; the nearest is 'Europe/Lisbon'. Write an IANA id such as Europe/Berlin, or a Windows id.",
                "JsonBadValue 15 sites[0].windows[0].length: '5h' is no length of time. Write it in the form of ISO 8601, such as PT5H or PT4H30M.",
            ],
            Told.Of(result.Problems));
        Assert.All(result.Problems, problem => Assert.Equal(path, problem.File));
    }

    [Theory]
    [InlineData("W. Europe Standard Time")]
    [InlineData("Etc/UTC")]
    public void A_zone_that_is_there_is_taken(string zone) =>
        Assert.Equal(zone, CheckedEstate.Read(_folder.Write("a.estate.json", SampleEstate.Text.Replace("Europe/Lisbon", zone, StringComparison.Ordinal))).Estate!.Sites[0].Zone);

    [Fact]
    public void An_empty_zone_is_told_once() =>
        Assert.Equal([ProblemId.JsonBadValue], CheckedEstate.Read(_folder.Write("a.estate.json", SampleEstate.Text.Replace("\"Europe/Lisbon\"", "\" \"", StringComparison.Ordinal))).Problems.Select(problem => problem.Id));

    [Fact]
    public void A_list_is_told_zones_and_dialects_that_are_not_there_where_they_stand_first()
    {
        string shelf = _folder.Path("shelf");
        _ = Directory.CreateDirectory(shelf);
        File.WriteAllText(Path.Combine(shelf, "reef.dialect.json"), "{ \"name\": \"reef\" }");
        string path = _folder.Write("a.csv", Header + "quay,Europe/Lisbom,q-1,192.0.2.1,ssh,Reef\nquay,Europe/Lisbom,q-2,192.0.2.2,ssh,reff\nhall,Etc/UTC,q-3,192.0.2.3,ssh,REFF\n");
        EstateResult result = CheckedEstate.ReadCsv(path, 60, [shelf]);
        Assert.Null(result.Estate);
        Assert.Equal(
            [
                "ZoneUnknown 2 Zone: No time zone is called 'Europe/Lisbom'; the nearest is 'Europe/Lisbon'. Write an IANA id such as Europe/Berlin, or a Windows id.",
                $"DialectUnknown 3 Dialect: No dialect is called 'reff'; the nearest is 'reef'; it was looked for in {shelf}. Correct the name, or name the dialect's file or folder under 'dialects' in the estate.",
            ],
            Told.Of(result.Problems));
        Assert.All(result.Problems, problem => Assert.Equal(path, problem.File));
    }

    [Fact]
    public void Dialects_are_not_asked_about_unless_somebody_says_where_they_are() =>
        Assert.Empty(CheckedEstate.ReadCsv(_folder.Write("a.csv", Header + "quay,Europe/Lisbon,q-1,192.0.2.1,ssh,reff\n"), 60).Problems);
}
