using PoeOps.Core.Tests.Architecture;
using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>What the help topic shows is read as it says.</summary>
public sealed class AboutTopicTests
{
    private static readonly string Topic = File.ReadAllText(Repository.Path("module", "en-US", "about_PoeOps_Dialects.help.txt"));

    [Fact]
    public void Its_dialect_has_no_mistake_and_fits_the_schema()
    {
        DialectResult result = DialectFile.Parse(Part("DIALECT"), "topic");
        Assert.Empty(Told.Of(result.Problems));
        Assert.True(new SchemaCheck("dialect").Takes(Part("DIALECT")));
    }

    [Fact]
    public void Its_capture_is_read_whole()
    {
        Dialect dialect = DialectFile.Parse(Part("DIALECT"), "topic").Dialect!;
        Reading reading = CaptureReader.Read(dialect, CaptureText.FromText(Part("CAPTURE"), "reef1.txt"), new ReadingContext { Switch = "reef1", KeepLines = true });

        Assert.Empty(Told.Of(reading.Problems));
        Assert.DoesNotContain(reading.Lines, line => line.ReadAs == ReadAs.Unread);
        Assert.Equal(["1 FT-8 F-001 4.1 Healthy 120", "2 FT-8 F-002 4.0.2 Faulted 120"], reading.Controllers.Select(one => $"{one.Unit} {one.Model} {one.Serial} {one.Firmware} {one.Condition} {one.BudgetWatts}"));
        Assert.Equal(["reef1/1/1 DeliveringPower 3 4.8 tel-12", "reef1/1/2 Searching   "], reading.Controllers[0].Ports.Select(port => $"{port.PortId} {port.Status} {port.PdClass} {port.DrawWatts} {port.Neighbour}"));
    }

    private static string Part(string name)
    {
        string text = Topic.Replace("\r\n", "\n", StringComparison.Ordinal);
        int start = text.IndexOf($"\n{name}\n", StringComparison.Ordinal) + name.Length + 2;
        return text[start..(text.IndexOf($"\nEND {name}\n", StringComparison.Ordinal) + 1)];
    }
}
