using PoeOps.Core.Tests.Files;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A dialect of one block, and what is read by it.</summary>
internal static class FormsDialect
{
    public static Dialect Of(string block) => SampleDialect.Of($$"""
        { "name": "forms", "console": { "prompts": ["^box awaits; $"] }, "ask": { "ports": "recite all" }, "ignore": [ { "name": "bell", "pattern": "\\* .*" } ],
          "values": { "LimitWatts": { "unit": "W" } }, "blocks": [ {{block}} ] }
        """);

    public static Reading Read(Dialect dialect, string text) => CaptureReader.Read(dialect, CaptureText.FromText(text, "capture"), new ReadingContext { KeepLines = true });

    public static IEnumerable<string> Ports(Dialect dialect, string text)
    {
        Reading reading = Read(dialect, text);
        Assert.Empty(Told.Of(reading.Problems));
        return Ports(reading);
    }

    public static IEnumerable<string> Ports(Reading reading) => reading.Controllers.SelectMany(one => one.Ports)
        .Select(port => FormattableString.Invariant($"{port.Unit}/{port.Name} {port.Neighbour}|{port.LimitWatts:0.###}|{port.Description}"));
}
