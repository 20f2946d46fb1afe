using System.Globalization;
using PoeOps.Refresh;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>A refit on the console of a kelpline: the question, then the progress on the line until the end.</summary>
internal sealed class KelplineRefit(SimulatedSwitch device, SimulatedUnit unit, KelplinePage page)
{
    private const int PagedPercent = 40;

    /// <summary>Which units of a switch cannot be refitted now.</summary>
    public static Func<SimulatedUnit, bool> IsBusy(SimulatedSwitch device) =>
        unit => unit.Work is { Ended: false } || device.Scene.Mishaps.Now(MishapKind.UnitBusy, device.Name, unit.Name);

    /// <summary>Asks, and refits.</summary>
    public void Run(InstallOrder order)
    {
        if (IsBusy(device)(unit))
        {
            Refuse("it is busy", $"Unit {unit.Name} is in another's hands.");
            return;
        }

        page.Channel.Write($"Unit {unit.Name} goes dark while it is refitted. Cast off? (yes/no) ");
        if (!page.Channel.ReadLine(echo: true).Trim().Equals("yes", StringComparison.OrdinalIgnoreCase))
        {
            Refuse("the question was answered with no", "Nothing was done.");
            return;
        }

        if (device.Install(unit, order) is not { } work)
        {
            Refuse("it is busy", $"Unit {unit.Name} is in another's hands.");
            return;
        }

        page.LoseLink();
        for (int seen = 0; work.WaitForNext(seen) is { } news; seen++)
        {
            Print(work, news);
        }
    }

    private void Print(RefreshWork work, RefreshNews news)
    {
        bool written = news is { Kind: RefreshNewsKind.Progress, Stage: Stage.Program };
        if (written && work.Torn)
        {
            page.WriteTorn(Words(news));
        }
        else
        {
            page.Channel.Write(Words(news));
        }

        if (written && work.Paged && news.Percent == PagedPercent)
        {
            page.Channel.Write("\r\n");
            _ = page.GoOn();
        }
    }

    private void Refuse(string because, string words)
    {
        device.Scene.Log.Write(DeviceEntryKind.InstallRefused, device.Name, unit.Name, because);
        page.Channel.Write(words + "\r\n");
    }

    // A percentage rewrites its line from the start; the line ends with its stage.
    private string Words(RefreshNews news) => (news.Kind, news.Stage) switch
    {
        (RefreshNewsKind.Began, Stage.Transfer) => "Hauling the image aboard.\r\n",
        (RefreshNewsKind.Began, Stage.Erase) => "Scrubbing the old firmware.\r\n",
        (RefreshNewsKind.Began, Stage.Program) => "Writing the new firmware.\r\n",
        (RefreshNewsKind.Began, _) => "Turning the controller round.\r\n",
        (RefreshNewsKind.Progress, Stage.Transfer) => "\rHauled: " + Percent(news),
        (RefreshNewsKind.Progress, _) => "\rWritten: " + Percent(news),
        (RefreshNewsKind.Ended, Stage.Transfer) => "\r\nThe image is aboard and sound.\r\n",
        (RefreshNewsKind.Ended, Stage.Erase) => "The old firmware is gone.\r\n",
        (RefreshNewsKind.Ended, Stage.Program) => "\r\nThe new firmware is in place.\r\n",
        (RefreshNewsKind.Ended, _) => "The controller is back.\r\n",
        (RefreshNewsKind.Succeeded, _) => $"Refit of unit {unit.Name} is done; it runs {news.Firmware}.\r\n",
        _ => $"\r\nRefit of unit {unit.Name} stopped: {Because(news.Failure)}.\r\n",
    };

    private static string Percent(RefreshNews news) => news.Percent.ToString(CultureInfo.InvariantCulture).PadLeft(3) + " %";

    private static string Because(RefreshFailure? failure) => failure switch
    {
        RefreshFailure.ServerRefused => "the file house turned us away",
        RefreshFailure.FileNotFound => "the file house has no such file",
        RefreshFailure.ServerSilent => "the file house does not answer",
        RefreshFailure.NotAnImage => "what came is no image",
        RefreshFailure.WrongFamily => "the image is for another family",
        RefreshFailure.WrongModel => "the image is for another hull",
        RefreshFailure.FirmwareTooOld => "the firmware here is too old for the image",
        RefreshFailure.WrongSize => "the image is not whole",
        _ => "the image is damaged",
    };
}
