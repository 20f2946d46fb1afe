using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how to hold a conversation.</summary>
internal static class ConsoleJson
{
    private static readonly Dictionary<string, string> LineEnds = new(StringComparer.Ordinal) { ["cr"] = "\r", ["lf"] = "\n", ["crlf"] = "\r\n" };

    /// <summary>Reads the object <c>console</c>.</summary>
    public static ConsoleManners Read(JsonObjectReader? console)
    {
        if (console is null)
        {
            return new ConsoleManners();
        }

        var manners = new ConsoleManners
        {
            Prompts = Prompts(console, "prompts", required: true),
            ElevatedPrompts = Prompts(console, "elevatedPrompts", required: false),
            LogIn = Exchanges(console, "logIn", lineEnd: true, "{User}", "{Password}", "{ElevationPassword}"),
            LogInRefused = PatternJson.Parts(console, "logInRefused"),
            SessionsFull = PatternJson.Parts(console, "sessionsFull"),
            Elevate = console.Text("elevate"),
            ElevateDialogue = Exchanges(console, "elevateDialogue", lineEnd: true, "{User}", "{Password}", "{ElevationPassword}"),
            Pagers = Exchanges(console, "pagers", lineEnd: false),
            Quiet = console.Texts("quiet"),
            Refused = PatternJson.Parts(console, "refused"),
            Continued = PatternJson.Parts(console, "continued"),
            Width = PatternJson.Parts(console, "width", groups: GroupNames.Width),
            Changing = PatternJson.Parts(console, "changing"),
            GoodBye = console.Text("goodBye"),
            LineEnd = LineEnd(console),
            ReturnEndsLine = ReturnEndsLine(console),
            Wake = console.Text("wake"),
            KeepAlive = console.Text("keepAlive"),
            KeepAliveSeconds = (double)(console.Number("keepAliveSeconds", least: 1, most: 3600) ?? 60),
        };
        if (console.Has("prompts") && manners.Prompts.Count == 0)
        {
            console.Report(ProblemId.JsonBadValue, "prompts", "No prompt is given that can be used.", "Give at least one pattern that fits the prompt at the end of an answer.");
        }

        if (console.Has("keepAliveSeconds") && manners.KeepAlive is null)
        {
            console.Report(ProblemId.JsonMissingKey, null, "It says when a session is idle, and not what to send then.", "Add 'keepAlive', which may be an empty text for a line end alone.");
        }

        console.Close();
        return manners;
    }

    /// <summary>Reads a list of things that a device prints and their answers.</summary>
    public static List<Exchange> Exchanges(JsonObjectReader owner, string key, bool lineEnd, params string[] placeholders)
    {
        List<Exchange> exchanges = [];
        foreach (JsonObjectReader item in owner.Objects(key))
        {
            JsonItem? expect = item.Item("expect", required: true, "a pattern");
            string? send = item.Text("send", required: true);
            bool end = item.Flag("lineEnd") ?? lineEnd;
            if (send is not null)
            {
                Placeholders.Check(item, "send", send, placeholders);
            }

            if (expect is not null && expect.Kind != JsonKind.Text)
            {
                expect.ReportKind("a pattern");
            }
            else if (expect is not null && Placeholders.In(expect.Text) is { } placeholder)
            {
                item.Report(ProblemId.JsonBadValue, "expect", $"'{placeholder}' stands for nothing in a pattern.", "Write a pattern for what comes there, such as \\S+.");
            }
            else if (expect is not null && send is not null && PatternJson.Part(expect) is { } pattern)
            {
                exchanges.Add(new Exchange(pattern, send, end));
            }

            item.Close();
        }

        return exchanges;
    }

    // A prompt that fits nothing at all would end every answer before it has begun.
    private static List<Regex> Prompts(JsonObjectReader console, string key, bool required)
    {
        List<Regex> prompts = PatternJson.Parts(console, key, required);
        foreach (Regex prompt in prompts.Where(prompt => prompt.IsMatch(string.Empty)))
        {
            console.Report(ProblemId.JsonBadValue, key, $"The prompt '{Excerpt.Of(prompt.ToString())}' fits an empty line as well.", "Write it so that it fits the prompt alone.");
        }

        return prompts;
    }

    private static bool ReturnEndsLine(JsonObjectReader console)
    {
        string word = console.Text("lineBreak") ?? "lf";
        if (word is not ("lf" or "cr"))
        {
            console.Report(ProblemId.JsonBadValue, "lineBreak", $"'{Excerpt.Of(word)}' is no line break.", "Write lf, which takes CR LF as well, or cr where a carriage return alone ends a line.");
        }

        return word == "cr";
    }

    private static string LineEnd(JsonObjectReader console)
    {
        string word = console.Text("lineEnd") ?? "cr";
        if (LineEnds.TryGetValue(word, out string? lineEnd))
        {
            return lineEnd;
        }

        console.Report(ProblemId.JsonBadValue, "lineEnd", $"'{Excerpt.Of(word)}' is no line end{Nearest.Hint(word, LineEnds.Keys)}.", "Write cr, lf or crlf.");
        return "\r";
    }
}
