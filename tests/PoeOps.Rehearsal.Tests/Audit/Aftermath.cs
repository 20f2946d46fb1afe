using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Journal;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal.Tests.Audit;

/// <summary>Holds how a unit is said to have ended against what it did.</summary>
/// <param name="span">The unit's span.</param>
/// <param name="log">What the unit did in it, in order.</param>
/// <param name="broken">Told of each broken rule.</param>
internal sealed partial class Aftermath(UnitSpan span, IReadOnlyList<DeviceEntry> log, Action<int, string> broken)
{
    private DeviceEntry? LastOfWork => log.LastOrDefault(entry => entry.Kind is DeviceEntryKind.InstallBegan or DeviceEntryKind.InstallSucceeded or DeviceEntryKind.InstallFailed);

    /// <summary>Judges.</summary>
    public void Judge()
    {
        if (span.End is not { } end)
        {
            return;
        }

        string notBack = UnitSpan.Fact(end, "notBack");
        Watched();
        Settings(notBack);
        if (span.Outcome == StageOutcome.Done)
        {
            Done(end, notBack);
        }
        else if (span.Outcome is StageOutcome.Degraded or StageOutcome.Failed)
        {
            foreach (int port in Dark().Where(port => !IsNamed(notBack, port)))
            {
                broken(8, $"{span} leaves port {port} in the dark and does not name it");
            }
        }

        if (span.Outcome is StageOutcome.Refused or StageOutcome.Skipped && LastOfWork is not null)
        {
            broken(8, $"{span} is said to be {span.Outcome}, and the device loaded");
        }
    }

    // Watched to its end: only who does not know may leave a unit that is at work. Whatever is said of its version was read.
    private void Watched()
    {
        if (LastOfWork?.Kind == DeviceEntryKind.InstallBegan && span.Outcome is not (StageOutcome.Uncertain or StageOutcome.Detached))
        {
            broken(6, $"{span} was left as {span.Outcome} while it was at work");
        }

        bool asked = span.Within.Exists(entry => entry.Kind == RunEntryKind.StageBegan && UnitSpan.Fact(entry, "stage") == nameof(Stage.Verify));
        if (!asked && !span.HasGap && span.Outcome is StageOutcome.Done or StageOutcome.Degraded or StageOutcome.Failed)
        {
            broken(4, $"{span} ended {span.Outcome}, and nobody asked it");
        }
    }

    private void Done(JournalEntry end, string notBack)
    {
        string firmware = UnitSpan.Fact(end, "firmware");
        if (LastOfWork is not { Kind: DeviceEntryKind.InstallSucceeded } success || success.Text != "runs " + firmware || Digits(firmware) != Digits(UnitSpan.Fact(span.Begin, "to")))
        {
            broken(8, $"{span} is said to be done and to run '{firmware}', and the device says: {LastOfWork?.Text ?? "nothing"}");
        }

        if (UnitSpan.Fact(end, "loads") != UnitSpan.Fact(end, "loadsBack") || notBack.Length > 0)
        {
            broken(8, $"{span} is said to be done, and not everything is back: {notBack}");
        }

        foreach (int port in Dark())
        {
            broken(8, $"{span} is said to be done, and port {port} is dark");
        }
    }

    private void Settings(string notBack)
    {
        DeviceEntry[] changed = [.. log.Where(entry => entry.Kind == DeviceEntryKind.SettingChanged)];
        foreach (DeviceEntry lost in log.Where(entry => entry.Kind == DeviceEntryKind.SettingLost))
        {
            bool put = changed.Any(entry => PortOf(entry) == PortOf(lost) && entry.Utc >= lost.Utc);
            if (!put && !IsNamed(notBack, PortOf(lost)) && span.Outcome is StageOutcome.Done or StageOutcome.Degraded or StageOutcome.Failed)
            {
                broken(8, $"{span} ended {span.Outcome}, and port {PortOf(lost)} lost its settings and is not named");
            }
        }

        foreach (JournalEntry entry in span.Within.Where(entry => entry.Kind == RunEntryKind.PutBack))
        {
            bool done = UnitSpan.Fact(entry, "done") == "true";
            string port = UnitSpan.Fact(entry, "port");
            if (done && !changed.Any(one => port.EndsWith("/" + PortOf(one).ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal)))
            {
                broken(8, $"{span} is said to have {port} put back, and the device was not told");
            }

            if (!done && span.Outcome == StageOutcome.Done)
            {
                broken(8, $"{span} is said to be done, and {port} could not be put back");
            }
        }
    }

    // Of every port that went dark, the last word.
    private IEnumerable<int> Dark() => log
        .Where(entry => entry.Kind is DeviceEntryKind.PortDark or DeviceEntryKind.PortGranted)
        .GroupBy(PortOf).Where(group => group.Last().Kind == DeviceEntryKind.PortDark).Select(group => group.Key);

    private bool IsNamed(string notBack, int port) =>
        Regex.IsMatch(notBack, Regex.Escape($"{span.Unit}/{port.ToString(CultureInfo.InvariantCulture)}") + @"(?!\d)");

    private static int PortOf(DeviceEntry entry) => int.Parse(PortNumber().Match(entry.Text).Groups[1].Value, CultureInfo.InvariantCulture);

    private static string Digits(string version) => string.Join(".", Numbers().Matches(version).Select(match => match.Value));

    [GeneratedRegex(@"^port (\d+)")]
    private static partial Regex PortNumber();

    [GeneratedRegex(@"\d+")]
    private static partial Regex Numbers();
}
