using NodaTime;
using NodaTime.Text;
using PoeOps.Estate;

namespace PoeOps.Calendar;

/// <summary>The freezes of a site.</summary>
internal sealed class FrozenDays
{
    private static readonly LocalDatePattern Day = LocalDatePattern.CreateWithInvariantCulture("yyyy-MM-dd");

    private readonly (LocalDate From, LocalDate Until, Freeze Freeze)[] _freezes;
    private readonly (DateTime From, DateTime Until)[] _days;

    /// <summary>Takes the freezes of a site.</summary>
    public FrozenDays(IEnumerable<Freeze> freezes)
    {
        _freezes = [.. freezes.Select(freeze => (Day.Parse(freeze.From).Value, Day.Parse(freeze.Until).Value, freeze))];
        _days = [.. _freezes.Select(freeze => (freeze.From.ToDateTimeUnspecified(), freeze.Until.ToDateTimeUnspecified()))];
    }

    /// <summary>True where every window that is to open on a local day is dropped, also one that a gap moves into the next day: both days are a freeze's.</summary>
    public bool Cover(DateTime day)
    {
        foreach ((DateTime from, DateTime until) in _days)
        {
            if (day >= from && day < until)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>The first freeze of the file that touches a window, in words; or null. Its last day belongs to a freeze; the moment of the close does not belong to the window.</summary>
    /// <param name="opens">The window's opening, local.</param>
    /// <param name="lastMoment">The last moment before its close, local.</param>
    public string? Touching(LocalDateTime opens, LocalDateTime lastMoment)
    {
        foreach ((LocalDate from, LocalDate until, Freeze freeze) in _freezes)
        {
            if (opens.Date <= until && lastMoment.Date >= from)
            {
                return $"{freeze.From} until {freeze.Until}" + (freeze.Because.Length == 0 ? string.Empty : $" ({PlainText.Of(freeze.Because)})");
            }
        }

        return null;
    }
}
