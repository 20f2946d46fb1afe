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
    public static IReadOnlyList<string> HowFar(SimulatedUnit unit) => OakumBlocks.Block("renewal", unit.Name, unit.Work is { Latest: { } news } work
        ? [("image", work.Order.File), ("leg", Leg(news)), ("end", Outcome(news))]
        : [("leg", "none")]);

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
