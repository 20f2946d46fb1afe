using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Reads the key <c>header</c> of an image: what stands at one place of every image of its family.</summary>
internal static class HeaderMarkJson
{
    /// <summary>The octets of an image's beginning that a mark may lie in.</summary>
    public const int Room = 4096;

    private const string Advice = "Write the octets as 'text' of printable ASCII, or as 'hex' of two hexadecimal digits each, one of the two; they end within the first 4096 octets.";

    /// <summary>The mark, or null where the key is not there.</summary>
    public static HeaderMark? Read(JsonObjectReader image)
    {
        if (image.Object("header") is not { } reader)
        {
            return null;
        }

        int offset = reader.Whole("offset", least: 0, most: Room - 1) ?? 0;
        string? text = reader.Text("text");
        string? hex = reader.Text("hex");
        string? octets = text is null ? OfHex(hex) : hex is null ? OfText(text) : null;
        bool fits = octets is { Length: > 0 } && offset + (octets.Length / 2) <= Room;
        if (!fits && IsTextOrNone(reader, "text") && IsTextOrNone(reader, "hex"))
        {
            string found = text is not null && hex is not null ? "The header says its octets twice"
                : text is null && hex is null ? "The header says no octets"
                : $"'{Excerpt.Of(text ?? hex)}' at offset {offset.ToString(CultureInfo.InvariantCulture)} is no mark of a header";
            image.Report(ProblemId.JsonBadValue, "header", $"{found}.", Advice);
        }

        reader.Close();
        return fits ? new HeaderMark(offset, octets!) : null;
    }

    private static bool IsTextOrNone(JsonObjectReader reader, string key) => reader.Kind(key) is JsonKind.Text or JsonKind.Missing or JsonKind.Null;

    private static string? OfText(string text) =>
        text.All(c => c is >= ' ' and <= '~') ? string.Concat(text.Select(c => ((int)c).ToString("x2", CultureInfo.InvariantCulture))) : null;

    private static string? OfHex(string? hex)
    {
        string digits = (hex ?? string.Empty).Replace(" ", string.Empty).ToLowerInvariant();
        return digits.Length % 2 == 0 && digits.All(c => c is (>= '0' and <= '9') or (>= 'a' and <= 'f')) ? digits : null;
    }
}
