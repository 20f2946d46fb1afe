using System.Globalization;
using Microsoft.VisualBasic.FileIO;
using PoeOps.Core.Tests.Architecture;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>
/// Captures of invented consoles whose expected values were drawn from the same invented data as the captures, by a program that knows nothing of this
/// one: what a reading gives is held against them value by value.
/// </summary>
public class CaptureCsvTests
{
    public static TheoryData<string, string> Captures()
    {
        TheoryData<string, string> captures = [];
        foreach (string file in Directory.GetFiles(Repository.Path("tests", "captures"), "*.expected.csv", System.IO.SearchOption.AllDirectories).Order(StringComparer.Ordinal))
        {
            captures.Add(Path.GetFileName(Path.GetDirectoryName(file))!, Path.GetFileName(file)[..^".expected.csv".Length]);
        }

        return captures;
    }

    [Theory]
    [MemberData(nameof(Captures))]
    public void A_capture_gives_the_values_that_it_was_made_of(string family, string name)
    {
        string folder = Repository.Path("tests", "captures", family);
        Dialect dialect = DialectFile.Read(Path.Combine(folder, family + ".dialect.json")).Dialect!;
        Reading reading = CaptureReader.Read(dialect, CaptureText.FromFile(Path.Combine(folder, name + ".txt"), dialect), new ReadingContext { Switch = "s" });
        List<Dictionary<string, string>> expected = [.. Rows(Path.Combine(folder, name + ".expected.csv"))];

        Assert.Equal(expected.Where(row => row["kind"] == "controller").Select(ControllerOf), reading.Controllers.Where(one => one.Model is not null || one.Condition != ControllerCondition.Unknown || one.ConditionText is not null).Select(Say));
        string[] ports = [.. expected.Where(row => row["kind"] == "port").Select(PortOf).Order(StringComparer.Ordinal)];
        string[] read = [.. reading.Controllers.SelectMany(one => one.Ports).Where(port => port.Status is not null && port.AdminEnabled is not null).Select(Say).Order(StringComparer.Ordinal)];

        // Of an answer that was cut the file leaves out all; a reading keeps the rows that came whole, and tells the cut, which counts for their unit.
        bool cut = (family, name) is ("ombrask", "cut") or ("vintrel", "damaged") or ("vintrel", "lost-middle");
        Assert.Equal(ports, cut ? read.Intersect(ports) : read);
        Assert.All(reading.Controllers.SelectMany(one => one.Ports).Where(port => !ports.Contains(Say(port))).Select(port => port.Unit).Distinct(), unit => Assert.NotEqual(0, reading.Controllers.First(one => one.Unit == unit).ReadingProblems));

        // The other command spells the same version otherwise.
        Assert.All(expected.Where(row => row["firmware"].Length > 0 && row["release"].Length > 0), row => Assert.Equal(dialect.Firmware.Read(row["firmware"]), dialect.Firmware.Read(row["release"])));
    }

    private static string ControllerOf(Dictionary<string, string> row) =>
        Line(row["unit"], row["model"], row["serial"], row["firmware"], row["condition"], Watts(row["budgetWatts"]), Watts(row["allocatedWatts"]), Watts(row["drawWatts"]), Watts(row["guardBandWatts"]));

    private static string Say(Controller one) =>
        Line(one.Unit, one.Model, one.Serial, one.Firmware, one.Condition.ToString(), Watts(one.BudgetWatts), Watts(one.AllocatedWatts), Watts(one.DrawWatts), Watts(one.GuardBandWatts));

    private static string PortOf(Dictionary<string, string> row) =>
        Line(row["unit"], row["port"], row["adminEnabled"], row["status"], row["pdClass"], row["priority"], Watts(row["allocatedWatts"]), Watts(row["drawWatts"]), Watts(row["limitWatts"]), row["description"], row["neighbour"]);

    private static string Say(Port port) =>
        Line(
            port.Unit, port.Name, port.AdminEnabled switch { null => null, true => "true", false => "false" }, port.Status?.ToString(), port.PdClass?.ToString(CultureInfo.InvariantCulture), port.Priority?.ToString(),
            Watts(port.AllocatedWatts), Watts(port.DrawWatts), Watts(port.LimitWatts), port.Description, port.Neighbour);

    private static string Line(params string?[] values) => string.Join("|", values);

    private static string Watts(string text) => text.Length == 0 ? text : Watts(decimal.Parse(text, CultureInfo.InvariantCulture));

    private static string Watts(decimal? watts) => watts?.ToString("0.############", CultureInfo.InvariantCulture) ?? string.Empty;

    private static IEnumerable<Dictionary<string, string>> Rows(string path)
    {
        using TextFieldParser parser = new(path) { TextFieldType = FieldType.Delimited, Delimiters = [","], TrimWhiteSpace = false };
        string[] names = parser.ReadFields()!;
        while (parser.ReadFields() is { } fields)
        {
            yield return names.Zip(fields).ToDictionary(pair => pair.First, pair => pair.Second);
        }
    }
}
