using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>Reads a switch from saved captures instead of its console.</summary>
public static class CaptureFiles
{
    /// <summary>Reads the captures of one switch together.</summary>
    /// <param name="dialect">How the device speaks.</param>
    /// <param name="switchName">The switch; hidden characters in its name stand as escapes in what was read.</param>
    /// <param name="files">Its captures.</param>
    /// <param name="estate">Says what hangs on the ports; null where there is none.</param>
    /// <param name="readUtc">When they are read, UTC.</param>
    public static SwitchReading Read(Dialect dialect, string switchName, IReadOnlyList<string> files, EstateMap? estate, DateTime readUtc)
    {
        CaptureText text = CaptureText.Together([.. files.Select(file => CaptureText.FromFile(file, dialect))]);
        Reading reading = CaptureReader.Read(dialect, text, new ReadingContext { Switch = PlainText.Of(switchName), Source = text.Source, ReadUtc = readUtc });
        List<Problem> problems = [.. reading.Problems];
        IReadOnlyList<Controller> controllers = estate?.FindSwitch(switchName) is { } place ? estate.Apply(place, reading.Controllers, problems) : reading.Controllers;
        return new SwitchReading(controllers, problems);
    }
}
