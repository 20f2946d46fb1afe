using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace PoeOps.Help;

/// <summary>Turns the elements of a comment into plain sentences.</summary>
internal static partial class DocText
{
    /// <summary>The paragraphs of an element; none where there is no element.</summary>
    public static IReadOnlyList<string> Paragraphs(XElement? element)
    {
        if (element is null)
        {
            return [];
        }

        string outside = Flat(string.Concat(element.Nodes().Where(node => node is not XElement { Name.LocalName: "para" }).Select(Plain)));
        IEnumerable<string> paragraphs = element.Elements("para").Select(Line);
        return [.. paragraphs.Prepend(outside).Where(text => text.Length > 0)];
    }

    /// <summary>All of an element in one line.</summary>
    public static string Line(XElement? element) => element is null ? string.Empty : Flat(Plain(element));

    /// <summary>The first sentence of a text.</summary>
    public static string FirstSentence(string text) => SentenceEnd().Match(text) is { Success: true } end ? text[..(end.Index + 1)] : text;

    private static string Plain(XNode node) => node switch
    {
        XText text => text.Value,
        XElement { Name.LocalName: "see" or "paramref" } named => Named(named),
        XElement element => string.Concat(element.Nodes().Select(Plain)),
        _ => string.Empty,
    };

    private static string Named(XElement element)
    {
        string name = element.Attribute("cref")?.Value ?? element.Attribute("langword")?.Value ?? element.Attribute("name")?.Value ?? element.Value;
        return CmdletName.Of(name) ?? name[(name.LastIndexOfAny(['.', ':']) + 1)..];
    }

    private static string Flat(string text) => Spaces().Replace(text, " ").Trim();

    [GeneratedRegex(@"[.!?](?=\s+[-A-Z0-9])")]
    private static partial Regex SentenceEnd();

    [GeneratedRegex(@"\s+")]
    private static partial Regex Spaces();
}
