namespace PoeOps.Core.Tests.Terminal;

/// <summary>How a console behaves, each quirk by itself; they compose.</summary>
internal sealed record Quirks
{
    /// <summary>Every value of every quirk that is none at all where it stands first.</summary>
    public static readonly IReadOnlyDictionary<string, string[]> All = new Dictionary<string, string[]>
    {
        ["end"] = ["\r\n", "\n", "\n\r", "\r\r\n", "\r", "\r\0", "\r\0\n"],
        ["echo"] = ["on", "off", "half", "split"],
        ["wrap"] = ["no", "feed", "blank", "shift"],
        ["pager"] = ["no", "one", "two"],
        ["erase"] = ["blanks", "back", "ansi", "feed", "no"],
        ["log"] = ["no", "before", "inside", "cut", "behind", "rows"],
        ["paint"] = ["no", "colour", "title", "eight"],
        ["nul"] = ["no", "yes"],
        ["banner"] = ["no", "prompt", "question"],
        ["key"] = ["no", "before", "after", "line"],
        ["name"] = ["same", "renamed"],
        ["text"] = ["utf-8", "iso-8859-1"],
        ["helm"] = ["no", "word", "both", "already"],
        ["pieces"] = ["all", "one", "some"],
    };

    private readonly Dictionary<string, string> _values = All.ToDictionary(one => one.Key, one => one.Value[0]);

    public string this[string quirk] => _values[quirk];

    /// <summary>Quirks with values of their own, such as <c>pager=two log=cut</c>; the others are none.</summary>
    public static Quirks Of(string text)
    {
        Quirks quirks = new();
        foreach (string[] pair in text.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(one => one.Split('=')))
        {
            quirks._values[pair[0]] = All[pair[0]][int.Parse(pair[1], System.Globalization.CultureInfo.InvariantCulture)];
        }

        return quirks;
    }

    /// <summary>Every value of a quirk alone, in the text that <see cref="Of"/> takes.</summary>
    public static IEnumerable<string> Alone(string kind) => Enumerable.Range(0, All[kind].Length).Select(i => $"{kind}={i}");

    /// <summary>A quirk with each quirk behind it, so that each value of either comes at least once.</summary>
    public static IEnumerable<string> Pairs(string kind) =>
        from other in All.Keys.SkipWhile(key => key != kind).Skip(1)
        let one = Alone(kind).Skip(1).ToArray()
        let two = Alone(other).Skip(1).ToArray()
        from i in Enumerable.Range(0, Math.Max(one.Length, two.Length))
        select $"{one[i % one.Length]} {two[i % two.Length]}";

    /// <summary>All quirks at once, each by chance.</summary>
    public static string Mixed(int seed)
    {
        Random random = new(seed);
        return string.Join(' ', All.Select(one => $"{one.Key}={random.Next(one.Value.Length)}"));
    }
}
