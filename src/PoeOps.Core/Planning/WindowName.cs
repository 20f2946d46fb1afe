using System.Globalization;
using PoeOps.Calendar;

namespace PoeOps.Planning;

/// <summary>Windows as an estate names them: by the local day on which they open, or by the local opening.</summary>
internal static class WindowName
{
    /// <summary>True where a name stands for a window.</summary>
    /// <param name="name">A date such as <c>2026-12-04</c>, or a date and time such as <c>2026-12-04T22:00</c>.</param>
    /// <param name="window">The window.</param>
    public static bool Fits(string name, Window window) =>
        name == window.OpensLocal.ToString(name.Length == 10 ? "yyyy-MM-dd" : "yyyy-MM-dd'T'HH:mm", CultureInfo.InvariantCulture);
}
