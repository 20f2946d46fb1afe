using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says what to send for which need.</summary>
internal static class AskJson
{
    private static readonly Dictionary<string, Need> Needs = new(StringComparer.Ordinal)
    {
        ["release"] = Need.Release,
        ["units"] = Need.Units,
        ["controllers"] = Need.Controllers,
        ["ports"] = Need.Ports,
        ["neighbours"] = Need.Neighbours,
        ["portSettings"] = Need.PortSettings,
        ["busy"] = Need.Busy,
    };

    private static readonly Dictionary<string, AskEach> EachWords = new(StringComparer.Ordinal) { ["switch"] = AskEach.Switch, ["unit"] = AskEach.Unit, ["port"] = AskEach.Port };

    private static readonly Dictionary<AskEach, string[]> Filled = new() { [AskEach.Switch] = [], [AskEach.Unit] = ["{Unit}"], [AskEach.Port] = ["{Unit}", "{Port}"] };

    /// <summary>Reads the object <c>ask</c>.</summary>
    public static IReadOnlyDictionary<Need, IReadOnlyList<Ask>> Read(JsonObjectReader? ask)
    {
        Dictionary<Need, IReadOnlyList<Ask>> asks = [];
        if (ask is null)
        {
            return asks;
        }

        foreach (KeyValuePair<string, Need> need in Needs)
        {
            if (ask.Has(need.Key))
            {
                asks.Add(need.Value, Commands(ask, need.Key));
            }
        }

        ask.Close();
        return asks;
    }

    private static List<Ask> Commands(JsonObjectReader ask, string key)
    {
        List<Ask> commands = [];
        foreach (JsonItem item in ask.Kind(key) == JsonKind.Text ? ask.TextItems(key) : ask.Items(key))
        {
            if (item.Text is { } text)
            {
                Placeholders.Check(ask, key, text, []);
                commands.Add(new Ask(text, AskEach.Switch));
            }
            else if (item.Object is { } command)
            {
                commands.Add(Command(command));
            }
            else
            {
                item.ReportKind("a command, or an object with 'send' or 'variants'");
            }
        }

        return commands;
    }

    private static Ask Command(JsonObjectReader command)
    {
        AskEach each = Each(command);
        bool varies = command.Has("variants");
        string send = command.Text("send", required: !varies) ?? string.Empty;
        IReadOnlyList<AskVariant> variants = varies ? Variants(command, each) : [];
        if (varies && command.Has("send"))
        {
            command.Report(ProblemId.JsonBadValue, "send", "A command has either 'send' or 'variants', and both are here.", "Remove one; a last variant without 'when' is sent where no other fits.");
        }

        Placeholders.Check(command, "send", send, Filled[each]);
        command.Close();
        return new Ask(send, each) { Variants = variants };
    }

    private static AskEach Each(JsonObjectReader command)
    {
        string word = command.Text("each") ?? "switch";
        if (EachWords.TryGetValue(word, out AskEach each))
        {
            return each;
        }

        command.Report(ProblemId.JsonBadValue, "each", $"A command is sent once a switch, a unit or a port, and '{Excerpt.Of(word)}' is none of them{Nearest.Hint(word, EachWords.Keys)}.", "Write switch, unit or port.");

        // The dialect is refused for it; every placeholder is let through, so that it is told once.
        return AskEach.Port;
    }

    private static List<AskVariant> Variants(JsonObjectReader command, AskEach each)
    {
        List<AskVariant> variants = [];
        foreach (JsonObjectReader item in command.Objects("variants"))
        {
            string send = item.Text("send", required: true) ?? string.Empty;
            Placeholders.Check(item, "send", send, Filled[each]);
            JsonObjectReader? when = item.Object("when");
            if (variants.Count > 0 && variants[variants.Count - 1] is { Release: null, Model: null })
            {
                item.Report(ProblemId.JsonBadValue, null, "This variant is never sent: the one before it has no 'when' and fits everything.", "Put the variant without 'when' last.");
            }

            variants.Add(new AskVariant(send, Pattern(when, "release"), Pattern(when, "model")));
            when?.Close();
            item.Close();
        }

        if (command.Kind("variants") == JsonKind.List && variants.Count == 0)
        {
            command.Report(ProblemId.JsonBadValue, "variants", "There is no variant that can be sent.", "Give at least one.");
        }

        return variants;
    }

    private static Regex? Pattern(JsonObjectReader? when, string key)
    {
        JsonItem? item = when?.Item(key);
        if (item is { Text: null })
        {
            item.ReportKind("a pattern");
        }

        return item?.Text is null ? null : PatternJson.Part(item);
    }
}
