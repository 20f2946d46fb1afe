using System.Globalization;
using System.Text;

namespace PoeOps.Files;

/// <summary>How a found text is shown in a sentence: short, on one line, with nothing in it that a console would act on.</summary>
internal static class Excerpt
{
    private const int Most = 60;

    /// <summary>The text itself, control characters as escapes, cut where it is long.</summary>
    public static string Of(string? text) => Of(text, Most);

    /// <summary>The same, cut after so many characters.</summary>
    public static string Of(string? text, int most)
    {
        var shown = new StringBuilder();
        foreach (char c in text ?? string.Empty)
        {
            if (shown.Length >= most)
            {
                return shown.Append('…').ToString();
            }

            shown.Append(char.IsControl(c) ? Escape(c) : c.ToString());
        }

        return shown.ToString();
    }

    /// <summary>A message of the platform on one line, whole.</summary>
    public static string Line(string message) => string.Join(" ", message.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries));

    private static string Escape(char c) => c switch
    {
        '\n' => @"\n",
        '\r' => @"\r",
        '\t' => @"\t",
        _ => @"\u" + ((int)c).ToString("x4", CultureInfo.InvariantCulture),
    };
}
