using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Reads an amount of power as a device prints it. Gives watts as a plain number, or a percentage, of what the dialect says, as a plain number with a
/// per cent sign; never a guess by size.
/// </summary>
internal static class AmountText
{
    private const string Percent = "%";

    // No amount of power needs more, and a decimal holds them exactly.
    private const int MostDigits = 15;

    private static readonly Regex Amount = new(@"^([0-9]+)(?:([.,])([0-9]+))?\s*(mW|dW|kW|W|%)?$", RegexOptions.CultureInvariant | RegexOptions.Compiled, OwnPattern.Longest);

    // The unit stands in the place of the decimal mark, so that no speck on the paper can take it away.
    private static readonly Regex UnitAsMark = new("^([0-9]+)(mW|dW|kW|W)([0-9]+)$", RegexOptions.CultureInvariant | RegexOptions.Compiled, OwnPattern.Longest);

    private static readonly Dictionary<string, decimal> Scales = new(StringComparer.Ordinal) { ["W"] = 1m, ["mW"] = 0.001m, ["dW"] = 0.1m, ["kW"] = 1000m };

    /// <summary>True for a value that is a percentage.</summary>
    public static bool IsPercentage(string value) => value.EndsWith(Percent, StringComparison.Ordinal);

    /// <summary>Reads an amount.</summary>
    /// <param name="text">What stood there, without spaces around it.</param>
    /// <param name="rule">How the dialect says that it is written, or null.</param>
    /// <param name="value">The amount in its normal spelling.</param>
    /// <returns>Why it cannot be read, as the end of a sentence; or null.</returns>
    public static string? Read(string text, ValueRule? rule, out string? value)
    {
        value = IsPlainWatts(text, rule) ? text : null;
        if (value is not null)
        {
            return null;
        }

        Match match = UnitAsMark.Match(text);
        if (match.Success)
        {
            return rule?.UnitIsDecimalMark == true
                ? Scaled(match.Groups[1].Value, match.Groups[3].Value, match.Groups[2].Value, out value)
                : "has its unit in the place of a decimal mark, and the dialect does not say that it is one";
        }

        match = Amount.Match(text);
        if (!match.Success)
        {
            return "is no amount of power";
        }

        string marks = rule?.DecimalMarks ?? ".";
        if (match.Groups[2].Success && marks.IndexOf(match.Groups[2].Value[0]) < 0)
        {
            return marks.Length == 0 ? "has a decimal mark other than its unit" : $"has a decimal mark other than '{marks}'";
        }

        if (MayBeThousands(match, marks))
        {
            return "may be thousands or a fraction: three digits stand behind a mark, and both marks are decimal marks here";
        }

        string unit = match.Groups[4].Success ? match.Groups[4].Value : rule?.Unit ?? string.Empty;
        return unit == Percent && rule?.PercentOf is null
            ? "is a percentage, and the dialect does not say of what"
            : Scaled(match.Groups[1].Value, match.Groups[3].Value, unit, out value);
    }

    // Most amounts stand in their normal spelling already, which is seen sooner than they are taken apart.
    private static bool IsPlainWatts(string text, ValueRule? rule)
    {
        if (rule is not { Unit: "W", DecimalMarks: "." } || text.Length is 0 or >= MostDigits || !IsDigit(text[0]) || (text[0] == '0' && text.Length > 1 && text[1] != '.'))
        {
            return false;
        }

        int marks = 0;
        foreach (char c in text)
        {
            marks += c == '.' ? 1 : 0;
            if (marks > 1 || (c != '.' && !IsDigit(c)))
            {
                return false;
            }
        }

        return marks == 0 || text[text.Length - 1] is >= '1' and <= '9';
    }

    private static bool IsDigit(char c) => c is >= '0' and <= '9';

    private static string? Scaled(string whole, string fraction, string unit, out string? value)
    {
        value = null;
        if (unit != Percent && !Scales.ContainsKey(unit))
        {
            return "names no unit, and the dialect gives none";
        }

        if (whole.Length + fraction.Length >= MostDigits)
        {
            return "has more digits than any amount of power";
        }

        decimal number = decimal.Parse($"{whole}.{fraction}", NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
        value = unit == Percent
            ? number.ToString("0.############", CultureInfo.InvariantCulture) + Percent
            : (number * Scales[unit]).ToString("0.############", CultureInfo.InvariantCulture);
        return null;
    }

    // Where either mark may stand before a fraction, 1,480 is 1.48 or 1480; a number that begins with 0 is never divided so.
    private static bool MayBeThousands(Match amount, string marks) =>
        amount.Groups[3].Length == 3 && amount.Groups[1].Length <= 3 && amount.Value[0] != '0' && marks.Contains('.') && marks.Contains(',');
}
