using System.Globalization;

namespace PoeOps.Files;

/// <summary>
/// Holds a text against the grammar of JSON (RFC 8259), with comments allowed. The library that builds the tree takes far more than JSON
/// (single quotes, bare words, commas at the end, numbers in other bases) and keeps the last of two equal keys; a file that decides which
/// devices go dark must mean the same to every reader.
/// </summary>
internal sealed class JsonGrammar
{
    /// <summary>How deep objects and lists may stand in one another.</summary>
    public const int MostDepth = 64;

    private readonly JsonScanner _scan;
    private readonly string _file;
    private readonly IList<Problem> _problems;

    private JsonGrammar(string text, string file, IList<Problem> problems)
    {
        _scan = new JsonScanner(text);
        _file = file;
        _problems = problems;
    }

    /// <summary>Checks a whole text: one object or another value, and nothing after it.</summary>
    /// <returns>The text with blanks for comments where it is JSON, else null. Keys that stand twice are reported and do not make it null.</returns>
    public static string? Check(string text, string file, IList<Problem> problems)
    {
        var grammar = new JsonGrammar(text, file, problems);
        return grammar.Whole() ? grammar._scan.WithoutComments() : null;
    }

    private bool Whole()
    {
        if (!Space() || !Value(string.Empty, 1) || !Space())
        {
            return false;
        }

        return _scan.AtEnd || Stop($"Found {_scan.Found()} {_scan.Place()} after the end of the content.");
    }

    private bool Value(string path, int depth)
    {
        if (depth > MostDepth && _scan.Current is '{' or '[')
        {
            return Stop($"What stands {_scan.Place()} is more than {MostDepth.ToString(CultureInfo.InvariantCulture)} objects and lists deep.");
        }

        return _scan.Current switch
        {
            '{' => Members(path, depth),
            '[' => Elements(path, depth),
            '"' => Text(out _),
            '-' or (>= '0' and <= '9') => Number(),
            _ => _scan.Take("true") || _scan.Take("false") || _scan.Take("null") || Expected("a value"),
        };
    }

    private bool Members(string path, int depth)
    {
        HashSet<string> keys = new(StringComparer.Ordinal);
        _scan.Step();
        if (!Space())
        {
            return false;
        }

        if (_scan.Take("}"))
        {
            return true;
        }

        while (Member(keys, path, depth) && Space())
        {
            if (_scan.Take("}"))
            {
                return true;
            }

            if (!_scan.Take(","))
            {
                return Expected("',' or '}'");
            }

            if (!Space())
            {
                return false;
            }
        }

        return false;
    }

    private bool Member(HashSet<string> keys, string path, int depth)
    {
        int line = _scan.Line;
        if (_scan.Current != '"')
        {
            return Expected("a key in double quotes");
        }

        if (!Text(out string key) || !Space())
        {
            return false;
        }

        string inner = JsonPaths.Inside(path, key);
        if (!keys.Add(key))
        {
            _problems.Add(new Problem(
                ProblemId.JsonKeyTwice, $"The key '{Excerpt.Of(key)}' stands twice in the same object.", "Keep one of them.") { File = _file, Line = line, Path = inner });
        }

        return (_scan.Take(":") || Expected("':'")) && Space() && Value(inner, depth + 1);
    }

    private bool Elements(string path, int depth)
    {
        _scan.Step();
        if (!Space())
        {
            return false;
        }

        if (_scan.Take("]"))
        {
            return true;
        }

        for (int i = 0; Value(JsonPaths.Inside(path, i), depth + 1) && Space(); i++)
        {
            if (_scan.Take("]"))
            {
                return true;
            }

            if (!_scan.Take(","))
            {
                return Expected("',' or ']'");
            }

            if (!Space())
            {
                return false;
            }
        }

        return false;
    }

    private bool Text(out string text)
    {
        string? wrong = _scan.TakeText(out text);
        return wrong is null || Stop(wrong);
    }

    private bool Number()
    {
        string? wrong = _scan.TakeNumber();
        return wrong is null || Stop(wrong);
    }

    private bool Space()
    {
        string? wrong = _scan.SkipSpace();
        return wrong is null || Stop(wrong);
    }

    private bool Expected(string what) => Stop($"Found {_scan.Found()} {_scan.Place()} where {what} was expected.");

    private bool Stop(string sentence)
    {
        _problems.Add(new Problem(ProblemId.JsonSyntax, sentence, "Correct the text there or just before it.") { File = _file, Line = _scan.Line });
        return false;
    }
}
