using System.Text;

namespace PoeOps.Files;

/// <summary>How a found text is shown in a sentence: short, on one line, with nothing in it that a console would act on (<see cref="PlainText"/>).</summary>
internal static class Excerpt
{
    /// <summary>What stands where a text was cut.</summary>
    public const char Cut = '…';

    private const int Most = 60;

    /// <summary>The text itself, hidden characters as escapes, cut where it is long.</summary>
    public static string Of(string? text) => Of(text, Most);

    /// <summary>The same, cut after so many characters.</summary>
    public static string Of(string? text, int most)
    {
        text ??= string.Empty;
        var shown = new StringBuilder();
        for (int i = 0; i < text.Length; i += PlainText.Length(text, i))
        {
            if (shown.Length >= most)
            {
                return shown.Append(Cut).ToString();
            }

            shown.Append(PlainText.Shown(text, i));
        }

        return shown.ToString();
    }

    /// <summary>A message of the platform on one line, whole.</summary>
    public static string Line(string message) => string.Join(" ", message.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries));
}
