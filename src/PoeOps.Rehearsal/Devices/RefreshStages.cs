using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Images;
using PoeOps.Refresh;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Devices;

/// <summary>What a unit does from the order to the end of its reset: fetch, test, erase, program, reset.</summary>
/// <param name="scene">What all devices share.</param>
/// <param name="unit">The unit.</param>
/// <param name="order">What it was told to load.</param>
/// <param name="sessions">The consoles of its switch.</param>
internal sealed class RefreshStages(Scene scene, SimulatedUnit unit, InstallOrder order, ISessionDrop sessions)
{
    private const int PercentStep = 5;
    private const double SlowFactor = 10;
    private readonly double _factor = scene.Mishaps.Always(MishapKind.DeviceSlow, order.Switch) ? SlowFactor : 1;
    private RefreshWork? _work;

    /// <summary>Runs all stages, or as far as they go.</summary>
    /// <exception cref="OperationCanceledException">The rehearsal ended.</exception>
    public void Run(RefreshWork work)
    {
        _work = work;
        string before = unit.View().Firmware;
        StageSeconds seconds = unit.Model.StageSeconds;
        ImageHeader? header = Transfer(seconds.Transfer, before);
        if (header is null)
        {
            return;
        }

        Begin(Stage.Erase);
        unit.Erase();
        Pass(Stage.Erase, seconds.Erase, showPercent: false);
        End(Stage.Erase);
        if (Program(seconds))
        {
            Reset(seconds.Reset, before, header);
        }
    }

    private bool Play(MishapKind kind) => scene.Mishaps.Now(kind, order.Switch, order.Unit);

    private ImageHeader? Transfer(double seconds, string firmware)
    {
        Begin(Stage.Transfer);
        if (Play(MishapKind.TransferStalls))
        {
            StandStill(Stage.Transfer, seconds, 30);
        }

        if (Play(MishapKind.TransferRefused))
        {
            return Fail(RefreshFailure.ServerRefused);
        }

        InstallOrder asked = Play(MishapKind.TransferFileNotFound) ? order with { File = order.File + ".lost" } : order;
        FetchedImage fetched = ImageFetch.Fetch(asked, scene);
        if (fetched.Failure is { } failed)
        {
            return Fail(failed);
        }

        byte[] image = fetched.Bytes;
        scene.Log.Write(DeviceEntryKind.ImageFetched, order.Switch, order.Unit, $"{order.File}, {image.Length} bytes, SHA-256 {ImageHeader.Digest(image, 0)}", Stage.Transfer);
        if (Play(MishapKind.TransferDamaged) && image.Length > 0)
        {
            image[image.Length - 1] ^= 0x20;
        }

        if (Play(MishapKind.TransferLinkLost))
        {
            LoseLink();
        }

        if (Play(MishapKind.TransferUnitRestarts))
        {
            Pass(Stage.Transfer, seconds, showPercent: true, until: 40);
            return Restart(firmware);
        }

        Pass(Stage.Transfer, seconds, showPercent: true);
        RefreshFailure? wrong = ImageTest.Test(image, unit.Model, firmware, out ImageHeader? header);
        wrong = Play(MishapKind.TransferWrongFamily) ? RefreshFailure.WrongFamily : wrong;
        if (wrong is { } reason)
        {
            return Fail(reason);
        }

        End(Stage.Transfer);
        return header;
    }

    // False where the unit never gets to its reset.
    private bool Program(StageSeconds seconds)
    {
        Begin(Stage.Program);
        if (Play(MishapKind.ProgramStuckAt40))
        {
            StandStill(Stage.Program, seconds.Program, 40);
        }

        if (Play(MishapKind.ProgramUnitRestarts))
        {
            Pass(Stage.Program, seconds.Program, showPercent: true, until: 40);
            _ = Restart(string.Empty);
            return false;
        }

        _work!.Torn = Play(MishapKind.ProgramLogLineInside);
        _work.Paged = Play(MishapKind.ProgramPager);
        bool lose = Play(MishapKind.ProgramLinkLost);
        Pass(Stage.Program, seconds.Program, showPercent: true, percent =>
        {
            if (lose && percent == 40)
            {
                LoseLink();
            }
        });
        End(Stage.Program);
        return true;
    }

    // The unit comes up with what it has, and knows nothing of a refresh.
    private ImageHeader? Restart(string runs)
    {
        LoseLink();
        unit.Erase();
        if (!scene.Clock.Wait(TimeSpan.FromSeconds(unit.Model.StageSeconds.Reset * _factor), scene.Ended))
        {
            throw new OperationCanceledException(scene.Ended);
        }

        unit.Wake(new ControllerWake(runs) { Faulted = runs.Length == 0 });
        scene.Log.Write(DeviceEntryKind.InstallFailed, order.Switch, order.Unit, "the unit restarted");
        _work!.Forget();
        return null;
    }

    private void Reset(double seconds, string before, ImageHeader header)
    {
        Begin(Stage.Reset);
        if (Play(MishapKind.ResetLinkLost) || sessions.EndsAtReset)
        {
            LoseLink();
        }

        Pass(Stage.Reset, seconds, showPercent: false);
        string runs = Play(MishapKind.VerifyOldVersion) ? before : Play(MishapKind.VerifyOtherVersion) ? OneMore(header.Version) : header.Version;
        if (Play(MishapKind.ResetPromptChanged))
        {
            sessions.ChangePrompt();
        }

        unit.Wake(new ControllerWake(runs)
        {
            Faulted = Play(MishapKind.ControllerFaulted),
            SettingsReset = Play(MishapKind.RecoverSettingsReset),
            PortsOff = Play(MishapKind.RecoverPortsStayOff) ? 3 : 0,
            RestartFactor = (Play(MishapKind.RecoverLoadsSlow) ? 3 : 1) * _factor,
        });
        End(Stage.Reset);
        scene.Log.Write(DeviceEntryKind.InstallSucceeded, order.Switch, order.Unit, $"runs {runs}");
        _work!.Tell(new RefreshNews(RefreshNewsKind.Succeeded, Stage.Reset) { Firmware = header.Version });
    }

    // A version that is spelled alike and is another: its last number is one higher.
    private static string OneMore(string version) =>
        Regex.Replace(version, @"[0-9]+(?=[^0-9]*$)", digits => (int.Parse(digits.Value, CultureInfo.InvariantCulture) + 1).ToString(CultureInfo.InvariantCulture), RegexOptions.None, TimeSpan.FromSeconds(1));

    private void LoseLink()
    {
        _work!.WaitUntilShown();
        sessions.DropAll();
    }

    private void Begin(Stage stage)
    {
        scene.Log.Write(DeviceEntryKind.StageBegan, order.Switch, order.Unit, order.File, stage);
        _work!.Tell(new RefreshNews(RefreshNewsKind.Began, stage));
    }

    private void End(Stage stage)
    {
        scene.Log.Write(DeviceEntryKind.StageEnded, order.Switch, order.Unit, order.File, stage);
        _work!.Tell(new RefreshNews(RefreshNewsKind.Ended, stage) { Percent = 100 });
    }

    private ImageHeader? Fail(RefreshFailure failure)
    {
        scene.Log.Write(DeviceEntryKind.InstallFailed, order.Switch, order.Unit, failure.ToString(), Stage.Transfer);
        _work!.Tell(new RefreshNews(RefreshNewsKind.Failed, Stage.Transfer) { Failure = failure });
        return null;
    }

    // Steps are counted from the stage's beginning, so that a late machine does not make the stage longer than one step.
    private void Pass(Stage stage, double seconds, bool showPercent, Action<int>? at = null, int until = 100)
    {
        TimeSpan began = scene.Clock.Elapsed;
        for (int percent = PercentStep; percent <= until; percent += PercentStep)
        {
            TimeSpan due = began + TimeSpan.FromSeconds(seconds * _factor * percent / 100);
            if (!scene.Clock.Wait(due - scene.Clock.Elapsed, scene.Ended))
            {
                throw new OperationCanceledException(scene.Ended);
            }

            if (showPercent)
            {
                _work!.Tell(new RefreshNews(RefreshNewsKind.Progress, stage) { Percent = percent });
            }

            at?.Invoke(percent);
        }
    }

    private void StandStill(Stage stage, double seconds, int percent)
    {
        Pass(stage, seconds, showPercent: true, until: percent);
        scene.Ended.WaitHandle.WaitOne();
        throw new OperationCanceledException(scene.Ended);
    }
}

/// <summary>The consoles of a switch, as its units know them.</summary>
internal interface ISessionDrop
{
    /// <summary>True where every connection ends when a controller resets.</summary>
    bool EndsAtReset { get; }

    /// <summary>Closes every connection to the switch.</summary>
    void DropAll();

    /// <summary>Gives the switch another name in its prompt, and takes the rights of every session away.</summary>
    void ChangePrompt();
}
