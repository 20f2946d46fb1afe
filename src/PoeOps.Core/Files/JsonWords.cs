using System.Text.RegularExpressions;

namespace PoeOps.Files;

/// <summary>Says in our words what the library's parser found wrong; what is not known here is said in its own.</summary>
internal static class JsonWords
{
    private const string Escape = "is no escape of JSON; a backslash that stands for itself is written twice.";

    // What word processors make of quotes.
    private const string Typographic = "\u201c\u201d\u201e\u201f\u2018\u2019\u201a\u201b\u00ab\u00bb\u2033";

    private static readonly (Regex Said, Func<string, string, string> Ours)[] Words =
    [
        (Said("After parsing a value an unexpected character was encountered: (?<found>.)"), (found, _) => Quote(found) ?? $"a comma, or a closing bracket, is missing before '{found}'."),
        (Said("Unexpected character encountered while parsing value: (?<found>.)"), (found, _) => Quote(found) ?? $"found '{found}' where a value was expected."),
        (Said("Invalid (JavaScript )?property identifier character: (?<found>.)"), (found, _) => Quote(found) ?? $"found '{found}' where a key in double quotes was expected."),
        (Said("Invalid character after parsing property name. Expected ':' but got: (?<found>.)"), (found, _) => Quote(found) ?? $"found '{found}' where a colon was expected behind a key."),
        (Said("Additional text encountered after finished reading JSON content: (?<found>.)"), (found, _) => $"'{found}' stands behind the end; a bracket before it may be one too many."),
        (Said("Unterminated string"), (_, at) => $"the text ends inside a text in double quotes{In(at)}: its closing quote is missing."),
        (Said("Unexpected end while parsing comment"), (_, _) => "the text ends inside a comment: its */ is missing."),
        (Said("Error parsing comment"), (_, _) => "a comment begins with // or /*."),
        (Said("(Unexpected end|Error reading JObject|Error reading JArray)"), (_, at) => End(at)),
        (Said("Bad JSON escape sequence: (?<found>.*?)\\.?$"), (found, _) => $"'{found}' {Escape}"),
        (Said("Invalid Unicode escape sequence: (?<found>.*?)\\.?$"), (found, _) => $"'{found}' {Escape}"),
        (Said("Error parsing \\w+ value"), (_, _) => "found a word that is no value; a value is a text in double quotes, a number, true, false, null, an object or a list."),
        (Said("Unexpected character encountered while parsing number: (?<found>.)"), (found, _) => $"found '{found}' in a number."),
        (Said("Input string '(?<found>.*)' is not a valid"), (found, _) => $"'{found}' is no number of JSON."),
        (Said("Error reading JToken"), (_, _) => "there is no value in the text."),
        (Said("The reader's MaxDepth"), (_, _) => FormattableString.Invariant($"objects and lists stand more than {StrictJson.MostDepth} deep in one another.")),
    ];

    /// <summary>What is wrong, as the end of a sentence with its full stop.</summary>
    /// <param name="message">What the parser says, on one line and without the place.</param>
    /// <param name="path">Where it was in the value; empty at its beginning.</param>
    public static string Of(string message, string path)
    {
        foreach ((Regex said, Func<string, string, string> ours) in Words)
        {
            Match match = said.Match(message);
            if (match.Success)
            {
                // The parser takes the end of the text for this character.
                return match.Groups["found"].Value == "\0" ? End(path) : ours(Excerpt.Of(match.Groups["found"].Value), path);
            }
        }

        string what = message.TrimEnd('.');
        return $"{char.ToLowerInvariant(what[0])}{what.Substring(1)}.";
    }

    private static Regex Said(string beginning) => new("^" + beginning, RegexOptions.CultureInvariant, OwnPattern.Longest);

    private static string? Quote(string found) => found.Length == 1 && Typographic.IndexOf(found[0]) >= 0 ? $"the typographic quote {found} stands where \" was expected." : null;

    private static string End(string path) =>
        $"the text ends in the middle{(path.Length == 0 ? " of an object or a list" : In(path))}: what is behind it, a closing bracket at the least, is missing.";

    private static string In(string path) => path.Length == 0 ? string.Empty : $" of '{Excerpt.Of(path)}'";
}
