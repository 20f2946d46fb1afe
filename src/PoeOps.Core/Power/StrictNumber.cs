using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Power;

/// <summary>Reads and prints the numbers of power and energy in one spelling, so that no culture turns 3,5 into 35.</summary>
internal static class StrictNumber
{
    // On each side of the full stop. Far above any switch, and a decimal holds both sides and the sum of a whole estate.
    private const int MostDigits = 12;

    /// <summary>Reads digits with at most one full stop, with or without the unit behind them.</summary>
    /// <returns>Why it cannot be read, or null when <paramref name="value"/> holds the number.</returns>
    public static Problem? Read(string? text, string unit, string unitName, ProblemId id, out decimal value)
    {
        value = 0;
        string trimmed = (text ?? string.Empty).Trim();
        string digits = trimmed.EndsWith(unit, StringComparison.Ordinal) ? trimmed.Substring(0, trimmed.Length - unit.Length).TrimEnd() : trimmed;
        if (digits.Length == 0)
        {
            return Say(id, $"Found no number where an amount in {unitName} was expected.", unit);
        }

        if (digits.Contains(','))
        {
            return Say(id, $"'{Excerpt.Of(trimmed)}' has a comma, which means a decimal mark in one country and nothing in another, so it is not read as {unitName}.", unit);
        }

        if (digits[0] == '-' && IsPlain(digits.Substring(1)))
        {
            return Say(id, $"'{Excerpt.Of(trimmed)}' is negative, and an amount in {unitName} is 0 or more.", unit);
        }

        if (!IsPlain(digits))
        {
            return Say(id, $"'{Excerpt.Of(trimmed)}' is not a number of {unitName}.", unit);
        }

        if (!IsShort(digits))
        {
            string most = MostDigits.ToString(CultureInfo.InvariantCulture);
            return Say(id, $"'{Excerpt.Of(trimmed)}' has more than {most} digits before or behind the full stop, so it is not read as {unitName}.", unit);
        }

        value = decimal.Parse(digits, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
        return null;
    }

    /// <summary>The shortest spelling, to 12 digits behind the full stop, and the unit; a number that was read reads back as the same.</summary>
    public static string Print(decimal value, string unit) => value.ToString("0.############", CultureInfo.InvariantCulture) + " " + unit;

    private static bool IsShort(string digits)
    {
        int stop = digits.IndexOf('.');
        int whole = stop < 0 ? digits.Length : stop;
        return whole <= MostDigits && digits.Length - whole - 1 <= MostDigits;
    }

    private static bool IsPlain(string digits)
    {
        if (digits.Length == 0)
        {
            return false;
        }

        int stops = 0;
        foreach (char c in digits)
        {
            if (c == '.')
            {
                stops++;
            }
            else if (c is < '0' or > '9')
            {
                return false;
            }
        }

        return stops <= 1 && digits[0] != '.' && digits[digits.Length - 1] != '.';
    }

    private static Problem Say(ProblemId id, string sentence, string unit) =>
        new(id, sentence, $"Write digits with a full stop as the decimal mark, such as 15.4 or '15.4 {unit}'.");
}
