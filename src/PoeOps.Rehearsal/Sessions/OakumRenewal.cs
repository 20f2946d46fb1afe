using System.Globalization;
using PoeOps.Refresh;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>What an oakum says of a renewal that goes on in the background.</summary>
internal static class OakumRenewal
{
    /// <summary>True where a unit cannot be renewed now.</summary>
    public static bool IsBusy(SimulatedSwitch device, SimulatedUnit unit) =>
        unit.Work is { Ended: false } || device.Scene.Mishaps.Now(MishapKind.UnitBusy, device.Name, unit.Name);

    /// <summary>How far the newest renewal of a unit is.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="logLine">A log line of the switch, which may come in between.</param>
    public static IReadOnlyList<string> HowFar(SimulatedUnit unit, string logLine)
    {
        RefreshWork? work = unit.Work;
        if (work?.Latest is not { } news)
        {
            return OakumBlocks.Block("renewal", unit.Name, [("leg", "none")]);
        }

        IReadOnlyList<string> lines = OakumBlocks.Block("renewal", unit.Name, [("image", work.Order.File), ("leg", Leg(news)), ("end", Outcome(news))]);
        return work.Torn && news is { Kind: RefreshNewsKind.Progress, Stage: Stage.Program } ? [.. lines.SelectMany(line => Torn(line, logLine))] : lines;
    }

    private static string[] Torn(string line, string logLine) => line.StartsWith("  leg ", StringComparison.Ordinal)
        ? [line.Substring(0, line.Length - 8), logLine, line.Substring(line.Length - 8)]
        : [line];

    private static string Leg(RefreshNews news) => (news.Kind, news.Stage) switch
    {
        (RefreshNewsKind.Succeeded or RefreshNewsKind.Failed, _) => "over",
        (RefreshNewsKind.Ended, _) => Word(news.Stage) + " done",
        (RefreshNewsKind.Progress, _) => $"{Word(news.Stage)} {news.Percent.ToString(CultureInfo.InvariantCulture)} of 100",
        _ => Word(news.Stage),
    };

    private static string Word(Stage stage) => stage switch
    {
        Stage.Transfer => "pull",
        Stage.Erase => "wipe",
        Stage.Program => "burn",
        _ => "wake",
    };

    private static string Outcome(RefreshNews news) => news.Kind switch
    {
        RefreshNewsKind.Succeeded => "renewed to " + news.Firmware,
        RefreshNewsKind.Failed => "given up, " + Because(news.Failure),
        _ => string.Empty,
    };

    private static string Because(RefreshFailure? failure) => failure switch
    {
        RefreshFailure.ServerRefused => "store shut its door",
        RefreshFailure.FileNotFound => "store lacks that image",
        RefreshFailure.ServerSilent => "store is silent",
        RefreshFailure.NotAnImage => "no image at all",
        RefreshFailure.WrongFamily => "image of a foreign family",
        RefreshFailure.WrongModel => "image of a foreign hull",
        RefreshFailure.FirmwareTooOld => "firmware too old to take it",
        RefreshFailure.WrongSize => "image cut short",
        _ => "image spoilt",
    };
}
