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
                item.ReportKind("a command, or an object with 'send' and 'each'");
            }
        }

        return commands;
    }

    private static Ask Command(JsonObjectReader command)
    {
        string send = command.Text("send", required: true) ?? string.Empty;
        string each = command.Text("each") ?? "switch";
        if (each is not "switch" and not "unit")
        {
            command.Report(ProblemId.JsonBadValue, "each", $"A command is sent once a switch or once a unit, and '{Excerpt.Of(each)}' is neither.", "Write switch or unit.");
        }

        Placeholders.Check(command, "send", send, each == "unit" ? ["{Unit}"] : []);
        command.Close();
        return new Ask(send, each == "unit" ? AskEach.Unit : AskEach.Switch);
    }
}
