using System.Text.RegularExpressions;
using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// A path to values of JSON: <c>$</c> (the root) or <c>@</c> (the row, which may be left out), then members <c>.name</c> or <c>['any name']</c>, items
/// <c>[0]</c>, all items <c>[*]</c> and all members <c>.*</c>. Filters, scripts, slices and the search in all depths (<c>..</c>) are refused: a path
/// takes no longer than the values are many that it passes, and finds nothing at a place that it does not name.
/// </summary>
public sealed class JsonPath
{
    private static readonly char[] Steps = ['.', '['];

    private const string Name = @"[^\s.\[\]()'""$@?*,:]+";

    private static readonly Regex Form = new(
        $@"\A(?:\$|@|{Name}|\*|(?=\[))(?:\.{Name}|\.\*|\[\*\]|\[[0-9]{{1,6}}\]|\['(?:[^'\\]|\\['\\])+'\])*\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private static readonly Regex AllIn = new(@"\A(.*?)(?:\[\*\]|\.?\*)\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly string _path;

    private JsonPath(string text)
    {
        Text = text;
        FromRoot = text[0] == '$';
        _path = text[0] == '@' ? text.Substring(1).TrimStart('.') : text;
    }

    /// <summary>The path as it is written.</summary>
    public string Text { get; }

    /// <summary>True where it begins at the root, whatever row it is asked in.</summary>
    public bool FromRoot { get; }

    /// <summary>The path of the list or object that this one takes all of, or null where it takes one thing.</summary>
    internal JsonPath? Whole => AllIn.Match(Text) is { Success: true } match ? new JsonPath(match.Groups[1].Length == 0 ? "@" : match.Groups[1].Value) : null;

    /// <summary>Takes a path apart.</summary>
    /// <param name="text">The path.</param>
    /// <returns>The path, or null where it is none.</returns>
    public static JsonPath? Parse(string text) => text.Length <= 1000 && Form.IsMatch(text) ? new JsonPath(text) : null;

    /// <inheritdoc/>
    public override string ToString() => Text;

    /// <summary>The values that it finds.</summary>
    /// <param name="root">The whole answer.</param>
    /// <param name="row">The row that it is asked in.</param>
    internal IEnumerable<JToken> In(JToken root, JToken row)
    {
        JToken start = FromRoot ? root : row;
        return _path.Length == 0 ? [start] : start.SelectTokens(_path);
    }

    /// <summary>True where what holds the value is there; of a path of one step that is the row itself.</summary>
    /// <param name="root">The whole answer.</param>
    /// <param name="row">The row that it is asked in.</param>
    internal bool HasHolder(JToken root, JToken row)
    {
        int end = _path.LastIndexOfAny(Steps);
        return end <= 0 || (FromRoot ? root : row).SelectTokens(_path.Substring(0, end)).Any(token => token is JContainer);
    }

    /// <summary>The null at which it comes to nothing, as that of an object that is not there; null where it meets none.</summary>
    /// <param name="root">The whole answer.</param>
    /// <param name="row">The row that it is asked in.</param>
    internal JToken? NothingOnTheWay(JToken root, JToken row)
    {
        for (int end = _path.LastIndexOfAny(Steps); end > 0; end = _path.LastIndexOfAny(Steps, end - 1))
        {
            if (Parse(FromRoot || row == root ? _path.Substring(0, end) : "@." + _path.Substring(0, end)) is { } way && way.In(root, row).FirstOrDefault(token => token.Type == JTokenType.Null) is { } nothing)
            {
                return nothing;
            }
        }

        return null;
    }
}
