using System.Text;
using Newtonsoft.Json;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>How a secret may be written: as it is, and in the encodings in which programs hand texts on.</summary>
internal static class SecretForms
{
    // Every byte is a character of it and back, so that bytes can be looked through like a text.
    private static readonly Encoding Latin = Encoding.GetEncoding("iso-8859-1");

    /// <summary>The forms of a secret in a text.</summary>
    public static IEnumerable<string> InText(string secret)
    {
        byte[] utf8 = Encoding.UTF8.GetBytes(secret);
        byte[] utf16 = Encoding.Unicode.GetBytes(secret);
        string json = JsonConvert.ToString(secret);
        string url = Uri.EscapeDataString(secret);
        return
        [
            secret, secret.Trim(), secret.ToUpperInvariant(), secret.ToLowerInvariant(), PlainText.Of(secret), url, url.Replace("%20", "+"), json.Substring(1, json.Length - 2), Escaped(secret),
            System.Net.WebUtility.HtmlEncode(secret), Convert.ToBase64String(utf8).TrimEnd('='), Convert.ToBase64String(utf16).TrimEnd('='), Hex.Of(utf8), Hex.Of(utf16),
        ];
    }

    /// <summary>The forms of a secret in bytes that are read as ISO 8859-1: those of a text in each encoding, and UTF-16 in both orders.</summary>
    /// <param name="secret">The secret.</param>
    /// <param name="encodings">The encodings of the bytes; in one that cannot write the secret, it cannot come.</param>
    public static IEnumerable<string> InBytes(string secret, IEnumerable<Encoding> encodings) =>
        encodings.Select(encoding => Encoding.GetEncoding(encoding.CodePage)).SelectMany(encoding => InText(secret).Where(form => encoding.GetString(encoding.GetBytes(form)) == form).Select(encoding.GetBytes))
            .Concat([Encoding.Unicode.GetBytes(secret), Encoding.BigEndianUnicode.GetBytes(secret)]).Select(Latin.GetString);

    // As JSON may have it where a program writes ASCII alone.
    private static string Escaped(string secret) => JsonConvert.ToString(secret, '"', StringEscapeHandling.EscapeNonAscii).Trim('"');
}
