using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;
using Newtonsoft.Json;
using Newtonsoft.Json.Linq;

namespace PoeOps.Files;

/// <summary>
/// Reads JSON (RFC 8259), with comments allowed. The library takes more than JSON (single quotes, bare words, commas at the end, numbers in other
/// bases) and keeps the last of two equal keys; a file that decides which devices go dark must mean the same to every reader, so what is not written
/// as the standard has it is refused here, token by token.
/// </summary>
internal sealed class StrictJson : JsonTextReader
{
    /// <summary>How deep objects and lists may stand in one another.</summary>
    public const int MostDepth = 64;

    private static readonly Regex NumberForm = new(@"^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?$", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex LineEnd = new(@"\r\n|\r|\n", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly string _text;
    private readonly string _file;
    private readonly IList<Problem> _problems;
    private readonly Func<int, int> _lineOf;
    private readonly List<int> _lineStarts;
    private readonly Stack<HashSet<string>> _keys = new();
    private int _end;
    private bool _commaBefore;

    private StrictJson(string text, string file, IList<Problem> problems, Func<int, int> lineOf)
        : base(new StringReader(text))
    {
        _text = text;
        _file = file;
        _problems = problems;
        _lineOf = lineOf;
        _lineStarts = [0, .. LineEnd.Matches(text).Cast<Match>().Select(match => match.Index + match.Length)];
        DateParseHandling = DateParseHandling.None;
        FloatParseHandling = FloatParseHandling.Decimal;
        MaxDepth = MostDepth;
    }

    /// <summary>Reads a whole text: one value, and nothing after it.</summary>
    /// <param name="text">The text.</param>
    /// <param name="file">What problems call it.</param>
    /// <param name="problems">Where problems are added: <see cref="ProblemId.JsonSyntax"/>, <see cref="ProblemId.JsonKeyTwice"/>.</param>
    /// <param name="lineOf">The number that a line of the text has in its file, for problems; null where it is the same. The places in the value count from the text's first line.</param>
    /// <returns>The value, with the place of everything in it, or null where the text is no JSON. Keys that stand twice do not make it null.</returns>
    public static JToken? Parse(string text, string file, IList<Problem> problems, Func<int, int>? lineOf = null)
    {
        using StrictJson reader = new(text, file, problems, lineOf ?? (line => line));
        try
        {
            JToken token = ReadFrom(reader);
            while (reader.Read())
            {
                // Only comments come here; the library refuses anything else behind the value.
                continue;
            }

            return token;
        }
        catch (JsonReaderException exception)
        {
            problems.Add(reader.Refusal(exception));
            return null;
        }
    }

    /// <inheritdoc/>
    public override bool Read()
    {
        bool more = base.Read();
        int at = Math.Min(_text.Length, _lineStarts[Math.Max(0, Math.Min(LineNumber, _lineStarts.Count) - 1)] + LinePosition);
        string written = _text.Substring(_end, Math.Max(0, at - _end)).Trim();
        if (more && Wrong(written) is { } wrong)
        {
            throw new JsonReaderException(wrong, Path, LineNumber, LinePosition, null);
        }

        if (more && TokenType == JsonToken.StartObject)
        {
            _keys.Push(new HashSet<string>(StringComparer.Ordinal));
        }
        else if (more && TokenType == JsonToken.EndObject)
        {
            _ = _keys.Pop();
        }

        // A comma may have a comment between it and the end that it should not stand before.
        _commaBefore = TokenType == JsonToken.Comment && (_commaBefore || written.StartsWith(",", StringComparison.Ordinal));
        _end = at;
        return more;
    }

    private static JToken ReadFrom(StrictJson reader) => JToken.ReadFrom(reader, new JsonLoadSettings
    {
        LineInfoHandling = LineInfoHandling.Load,
        DuplicatePropertyNameHandling = DuplicatePropertyNameHandling.Ignore,
    });

    // What is wrong with how the token is written, or null. The text of a token begins behind the one before, so it may have a comma in front.
    private string? Wrong(string written) => TokenType switch
    {
        JsonToken.PropertyName => QuoteChar != '"' ? "a key stands in double quotes." : Controls(written) ?? Twice(),
        JsonToken.String => QuoteChar != '"' ? "a text stands in double quotes." : Controls(written),
        JsonToken.Undefined or JsonToken.StartConstructor => $"found '{Excerpt.Of(written)}' where a value was expected.",
        JsonToken.Integer or JsonToken.Float => Number(written.TrimStart(',', ' ', '\t', '\r', '\n')),
        JsonToken.EndArray or JsonToken.EndObject => _commaBefore || written.Contains(",") ? "a comma stands before the end, with nothing behind it." : null,
        _ => null,
    };

    private static string? Controls(string written) =>
        written.Substring(Math.Max(0, written.IndexOf('"'))).Any(c => c < ' ') ? "a text goes on over the end of its line, or holds a control character, which is written as an escape." : null;

    private string? Number(string written)
    {
        if (!NumberForm.IsMatch(written))
        {
            return $"'{Excerpt.Of(written)}' is no number of JSON.";
        }

        return Value is BigInteger && !decimal.TryParse(written, NumberStyles.Float, CultureInfo.InvariantCulture, out _) ? $"the number {Excerpt.Of(written)} is too large." : null;
    }

    private string? Twice()
    {
        if (!_keys.Peek().Add((string)Value!))
        {
            string sentence = $"The key '{Excerpt.Of((string)Value!)}' stands twice in the same object.";
            _problems.Add(new Problem(ProblemId.JsonKeyTwice, sentence, "Keep one of them.") { File = _file, Line = _lineOf(LineNumber), Path = Path });
        }

        return null;
    }

    private Problem Refusal(JsonReaderException exception)
    {
        int line = _lineOf(Math.Max(1, exception.LineNumber));
        int place = exception.Message.IndexOf(" Path '", StringComparison.Ordinal);
        string what = JsonWords.Of(Excerpt.Line(place < 0 ? exception.Message : exception.Message.Substring(0, place)), exception.Path ?? string.Empty);
        string sentence = FormattableString.Invariant($"The text is no JSON at line {line}, column {Math.Max(1, exception.LinePosition)}: {what}");
        return new Problem(ProblemId.JsonSyntax, sentence, "Correct the text there or just before it.") { File = _file, Line = line };
    }
}
