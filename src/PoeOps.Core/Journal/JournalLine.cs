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

        // What nobody sees stands in it as JSON's escapes: it is the same text, and can be shown.
        string text = PlainText.Of(body.ToString(Formatting.None));
        string open = text.Substring(0, text.Length - 1);
        digest = Digest(open);
        return open + Tail + digest + "\"}";
    }

    /// <summary>Reads a line, and says whether its digest is its own.</summary>
    /// <param name="line">The line without its end.</param>
    /// <param name="number">The line's number in the file.</param>
    /// <param name="genuine">True where the digest fits the text.</param>
    /// <returns>The entry; null where the line is none.</returns>
    public static JournalEntry? Read(string line, int number, out bool genuine)
    {
        int tail = line.LastIndexOf(Tail, StringComparison.Ordinal);
        genuine = tail > 0 && line == line.Substring(0, tail) + Tail + Digest(line.Substring(0, tail)) + "\"}";
        try
        {
            using JsonTextReader reader = new(new StringReader(line)) { DateParseHandling = DateParseHandling.None, FloatParseHandling = FloatParseHandling.Decimal, MaxDepth = 16 };
            return Entry(JObject.Load(reader), number);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>True for bytes that a first entry may begin with, however few of them were written.</summary>
    public static bool BeginsLikeFirst(byte[] bytes)
    {
        byte[] first = Encoding.UTF8.GetBytes("{\"line\":1,\"utc\":\"");
        return bytes.Take(first.Length).SequenceEqual(first.Take(bytes.Length));
    }

    /// <summary>SHA-256 of a text in UTF-8, 64 lower-case hexadecimal digits.</summary>
    public static string Digest(string text)
    {
        using var hash = SHA256.Create();
        return Hex.Of(hash.ComputeHash(Encoding.UTF8.GetBytes(text)));
    }

    private static JournalEntry? Entry(JObject read, int number)
    {
        if (read["facts"] is not JObject facts || !Enum.TryParse(Text(read, "kind"), out RunEntryKind kind) || !Enum.IsDefined(typeof(RunEntryKind), kind)
            || IsoText.Utc(Text(read, "utc")) is not { } utc)
        {
            return null;
        }

        Dictionary<string, string> values = facts.Properties().ToDictionary(property => PlainText.Of(property.Name), property => PlainText.Of(InWords(property.Value)), StringComparer.Ordinal);
        return new JournalEntry
        {
            Line = number,
            Utc = utc,
            Kind = kind,
            Unit = PlainText.Of(Text(read, "unit") ?? string.Empty),
            Text = string.Join("; ", values.Where(value => value.Value.Length > 0).Select(value => $"{value.Key}={value.Value}")),
            Previous = PlainText.Of(Text(read, "previous") ?? string.Empty),
            Sha256 = PlainText.Of(Text(read, "sha256") ?? string.Empty),
            Facts = values,
        };
    }

    private static string? Text(JObject read, string name) => read[name] is JValue { Type: JTokenType.String } value ? (string?)value : null;

    private static string InWords(JToken value) => value switch
    {
        JArray list => string.Join(", ", list.Select(InWords)),
        JValue { Type: JTokenType.Null } => string.Empty,
        JValue { Type: JTokenType.Boolean } flag => (bool)flag ? "true" : "false",
        JValue scalar => Convert.ToString(scalar.Value, CultureInfo.InvariantCulture) ?? string.Empty,
        _ => value.ToString(Formatting.None),
    };

    private static JToken Value(object? value) => value switch
    {
        null => JValue.CreateNull(),
        DateTime utc => new JValue(IsoText.Write(utc)),
        string text => new JValue(text),
        IEnumerable<string> texts => new JArray(texts),
        double number when Math.Abs(number) < 1e15 => number == Math.Truncate(number) ? new JValue((long)number) : new JValue((decimal)number),
        double number => new JValue(number.ToString("R", CultureInfo.InvariantCulture)),
        _ => JToken.FromObject(value),
    };
}
