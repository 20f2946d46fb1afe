using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;
using PoeOps.Refresh;

namespace PoeOps.Journal;

/// <summary>
/// One line of a journal: a JSON object with <c>line, utc, kind, unit, facts, previous</c> and last <c>sha256</c>, the digest of the text before it;
/// <c>previous</c> is the digest of the line before, 64 zeros in the first.
/// </summary>
internal static class JournalLine
{
    /// <summary>What stands before the first line.</summary>
    public static readonly string Start = new('0', 64);

    private const string Tail = ",\"sha256\":\"";

    /// <summary>Writes an entry as a line.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="number">The line's number; the first is 1.</param>
    /// <param name="previous">The digest of the line before.</param>
    /// <param name="digest">The line's own digest.</param>
    /// <returns>The line without its end.</returns>
    public static string Write(RunEntry entry, int number, string previous, out string digest)
    {
        JObject facts = [];
        foreach (KeyValuePair<string, object?> fact in entry.Facts)
        {
            facts[fact.Key] = Value(fact.Value);
        }

        JObject body = new(
            new JProperty("line", number),
            new JProperty("utc", IsoText.Write(entry.Utc)),
            new JProperty("kind", entry.Kind.ToString()),
            new JProperty("unit", entry.Unit),
            new JProperty("facts", facts),
            new JProperty("previous", previous));
        string text = body.ToString(Formatting.None);
        string open = text.Substring(0, text.Length - 1);
        digest = Digest(open);
        return open + Tail + digest + "\"}";
    }

    /// <summary>Reads a line, and says whether its digest is its own.</summary>
    /// <param name="line">The line without its end.</param>
    /// <param name="genuine">True where the digest fits the text.</param>
    /// <returns>The object; or null where it is none.</returns>
    public static JObject? Read(string line, out bool genuine)
    {
        int tail = line.LastIndexOf(Tail, StringComparison.Ordinal);
        genuine = tail > 0 && line == line.Substring(0, tail) + Tail + Digest(line.Substring(0, tail)) + "\"}";
        try
        {
            using JsonTextReader reader = new(new StringReader(line)) { DateParseHandling = DateParseHandling.None, FloatParseHandling = FloatParseHandling.Decimal, MaxDepth = 16 };
            return JObject.Load(reader);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>SHA-256 of a text in UTF-8, 64 lower-case hexadecimal digits.</summary>
    public static string Digest(string text)
    {
        using var hash = SHA256.Create();
        return string.Concat(hash.ComputeHash(Encoding.UTF8.GetBytes(text)).Select(octet => octet.ToString("x2", CultureInfo.InvariantCulture)));
    }

    private static JToken Value(object? value) => value switch
    {
        null => JValue.CreateNull(),
        DateTime utc => new JValue(IsoText.Write(utc)),
        string text => new JValue(text),
        IEnumerable<string> texts => new JArray(texts),
        double number => new JValue((decimal)number),
        _ => JToken.FromObject(value),
    };
}
