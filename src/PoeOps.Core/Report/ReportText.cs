using System.Globalization;

namespace PoeOps.Report;

/// <summary>How values stand in a report: the same in every culture, with a dash for what is not known.</summary>
internal static class ReportText
{
    /// <summary>What stands where nothing is known or planned.</summary>
    public const string Nothing = "–";

    /// <summary>A whole number.</summary>
    public static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);

    /// <summary>A count with its noun, which takes an s for more than one.</summary>
    public static string Count(int count, string what) => $"{Number(count)} {what}{(count == 1 ? string.Empty : "s")}";

    /// <summary>A whole number, or a dash.</summary>
    public static string Of(int? number) => number is { } known ? Number(known) : Nothing;

    /// <summary>A number with three decimals at the most, or a dash.</summary>
    public static string Of(double? number) => number is { } known ? known.ToString("0.###", CultureInfo.InvariantCulture) : Nothing;

    /// <summary>A number with three decimals at the most, or a dash.</summary>
    public static string Of(decimal? number) => number is { } known ? known.ToString("0.###", CultureInfo.InvariantCulture) : Nothing;

    /// <summary>A text, or a dash.</summary>
    public static string Of(string? text) => string.IsNullOrEmpty(text) ? Nothing : text!;

    /// <summary>A time to the second, or a dash; every time of a report is UTC.</summary>
    public static string Of(DateTime? utc) => utc is { } known ? known.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) : Nothing;

    /// <summary>Yes, no, or a dash.</summary>
    public static string Of(bool? flag) => flag is { } known ? known ? "yes" : "no" : Nothing;

    /// <summary>A time to the minute.</summary>
    public static string Minute(DateTime utc) => utc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    /// <summary>The time of day to the minute.</summary>
    public static string Clock(DateTime utc) => utc.ToString("HH:mm", CultureInfo.InvariantCulture);

    /// <summary>A text cut to so many characters, none of them in two.</summary>
    public static string Clip(string text, int most)
    {
        if (text.Length <= most)
        {
            return text;
        }

        int length = char.IsHighSurrogate(text[most - 1]) ? most - 1 : most;
        return text.Substring(0, length) + "…";
    }

    /// <summary>A text cut to so many characters, where it can be behind a whole word.</summary>
    public static string ClipWords(string text, int most)
    {
        if (text.Length <= most)
        {
            return text;
        }

        int blank = text.LastIndexOf(' ', most);
        return blank > most / 2 ? text.Substring(0, blank).TrimEnd(' ', ',', ';', ':') + " …" : Clip(text, most);
    }

    /// <summary>A state in words.</summary>
    public static string Of(UnitState state) => state switch
    {
        UnitState.NotBegun => "Not begun",
        UnitState.Open => "End not known",
        UnitState.Detached => "Let go of",
        _ => state.ToString(),
    };

    /// <summary>A load's state in words.</summary>
    public static string Of(LoadState state) => state switch
    {
        LoadState.NotDark => "was not dark",
        LoadState.Back => "has power again",
        LoadState.Dark => "STILL DARK",
        LoadState.NotKnown => "NOT KNOWN",
        _ => "to go dark",
    };
}

/// <summary>Times that may come from a file that says anything.</summary>
internal static class ReportTime
{
    /// <summary>So many seconds later; null where that is no time any more.</summary>
    public static DateTime? Later(DateTime utc, double? seconds)
    {
        if (seconds is not { } known || double.IsNaN(known) || Math.Abs(known) > 1e10)
        {
            return null;
        }

        long ticks = utc.Ticks + (long)(known * TimeSpan.TicksPerSecond);
        return ticks >= DateTime.MinValue.Ticks && ticks <= DateTime.MaxValue.Ticks ? new DateTime(ticks, DateTimeKind.Utc) : null;
    }
}
