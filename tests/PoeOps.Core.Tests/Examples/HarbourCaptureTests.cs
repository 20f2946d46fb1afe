namespace PoeOps.Core.Tests.Examples;

public class HarbourCaptureTests
{
    public static TheoryData<string, string> Captures
    {
        get
        {
            var data = new TheoryData<string, string>();
            foreach (string path in Directory.EnumerateFiles(Harbour.PathOf("captures"), "*.txt", SearchOption.AllDirectories))
            {
                data.Add(Path.GetFileName(Path.GetDirectoryName(path)!), Path.GetFileNameWithoutExtension(path));
            }

            return data;
        }
    }

    [Fact]
    public void There_are_captures_of_both_families() =>
        Assert.Equal(["kelpline", "oakum"], Directory.EnumerateDirectories(Harbour.PathOf("captures")).Select(folder => Path.GetFileName(folder)).Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Captures))]
    public void A_capture_shows_every_unit_of_the_switch_that_its_file_is_named_for(string family, string place)
    {
        HarbourUnit[] units = [.. Harbour.Units.Where(unit => unit.Switch == place && unit.Family == family)];
        string text = Harbour.TextOf(Path.Combine("captures", family, place + ".txt"));
        Assert.NotEmpty(units);
        Assert.All(units, unit => Assert.Contains(unit.Serial, text));
        Assert.All(units.Where(unit => unit.Condition != "Absent"), unit => Assert.Contains(unit.Firmware, text));
    }

    [Theory]
    [MemberData(nameof(Captures))]
    public void A_capture_holds_no_secret(string family, string place)
    {
        string text = Harbour.TextOf(Path.Combine("captures", family, place + ".txt"));
        Assert.All(new[] { "password", "elevationPassword" }, key => Assert.DoesNotContain((string)Harbour.World[key]!, text));
    }
}
