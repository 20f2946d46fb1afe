using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Rehearsal;

/// <summary>Something that a simulated device did.</summary>
/// <param name="Utc">When, by the rehearsal's clock, UTC.</param>
/// <param name="Switch">The switch.</param>
/// <param name="Unit">The unit; empty for the switch as a whole.</param>
/// <param name="Kind">What it was.</param>
/// <param name="Text">The same in words.</param>
public sealed record DeviceEntry(DateTime Utc, string Switch, string Unit, DeviceEntryKind Kind, string Text)
{
    /// <summary>The stage that it belongs to; null outside a refresh.</summary>
    public Stage? Stage { get; init; }

    /// <summary>The unit's id as it prints, or the switch's name for the switch as a whole.</summary>
    public string Target => Unit.Length == 0 ? Switch : new UnitId(Switch, Unit).ToString();
}

/// <summary>Kinds of things that simulated devices do.</summary>
public enum DeviceEntryKind
{
    /// <summary>A session was taken.</summary>
    SessionOpened,
    /// <summary>A session ended.</summary>
    SessionClosed,
    /// <summary>Somebody logged in.</summary>
    LoggedIn,
    /// <summary>A log-in was refused.</summary>
    LogInRefused,
    /// <summary>A command to load an image was taken and confirmed.</summary>
    InstallBegan,
    /// <summary>A command to load an image was refused, or its question was answered with no.</summary>
    InstallRefused,
    /// <summary>An image arrived.</summary>
    ImageFetched,
    /// <summary>A stage began.</summary>
    StageBegan,
    /// <summary>A stage ended.</summary>
    StageEnded,
    /// <summary>A refresh ended well, as the device says.</summary>
    InstallSucceeded,
    /// <summary>A refresh ended badly, as the device says.</summary>
    InstallFailed,
    /// <summary>A port stopped feeding its load.</summary>
    PortDark,
    /// <summary>A port was granted power.</summary>
    PortGranted,
    /// <summary>A port was not granted power and waits.</summary>
    PortWaits,
    /// <summary>A load serves again.</summary>
    LoadServes,
    /// <summary>A port's setting was changed over a console.</summary>
    SettingChanged,
    /// <summary>A mishap was played.</summary>
    Mishap,
    /// <summary>A command to load an image came, before anything else became of it.</summary>
    InstallAsked,
    /// <summary>A port lost a setting in a reset.</summary>
    SettingLost,
}
