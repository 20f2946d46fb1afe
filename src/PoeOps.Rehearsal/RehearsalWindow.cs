using System.Globalization;
using PoeOps.Estate;

namespace PoeOps.Rehearsal;

/// <summary>The one window of a site in a rehearsal: open before it starts, in every time zone, and for a month after.</summary>
internal static class RehearsalWindow
{
    // No zone is further from UTC than this, so a local time that is this much earlier has gone by everywhere.
    private static readonly TimeSpan FurthestZone = TimeSpan.FromHours(15);
    private static readonly TimeSpan Length = TimeSpan.FromDays(31);

    /// <summary>The window of a site.</summary>
    /// <param name="site">The site as it really is: somebody attends the rehearsal's window where somebody attends any of its own.</param>
    /// <param name="startUtc">The rehearsal's start.</param>
    public static ExtraWindow Of(Site site, DateTime startUtc) => new()
    {
        Opens = (startUtc - FurthestZone).ToString("yyyy-MM-dd'T'HH:mm", CultureInfo.InvariantCulture),
        Length = Length,
        Attended = site.Windows.Any(window => window.Attended) || site.ExtraWindows.Any(window => window.Attended),
    };
}
