using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads the root of an estate file.</summary>
internal static class EstateJson
{
    private const string PathAdvice = "Write a path that starts from the folder of the estate file, with / between folders.";

    /// <summary>Reads the root; mistakes are reported through the readers.</summary>
    public static EstateMap Read(JsonObjectReader root, string path, EstateChecks checks)
    {
        string name = Written(root, "name");
        string? fileServer = Address(root, "fileServer");
        RoleSet roles = RolesJson.Read(root);
        SitesJson sites = new(roles, fileServer, PowerJson.Read(root, null), PlanningJson.Limits(root), checks);
        var estate = new EstateMap
        {
            Name = name,
            SourcePath = path,
            FileServer = fileServer,
            DialectPaths = [.. DialectPaths(root, path)],
            Roles = roles.Roles,
            DefaultRole = roles.Default,
            RolePatterns = roles.Patterns,
            Soak = PlanningJson.Soak(root),
            Sites = sites.Read(root),
            Rehearsal = Rehearsal(root, fileServer),
        };
        if (estate.Rehearsal is not null)
        {
            sites.DemandLoopback();
        }

        root.Close();
        return estate;
    }

    /// <summary>The text of a key that must be there and not be empty; an empty text where it is not.</summary>
    internal static string Written(JsonObjectReader reader, string key)
    {
        string? text = reader.Text(key, required: true);
        if (text is not null && string.IsNullOrWhiteSpace(text))
        {
            reader.Report(ProblemId.JsonBadValue, key, $"The text of '{key}' is empty.", "Write what it stands for, or remove what it belongs to.");
        }

        return text ?? string.Empty;
    }

    /// <summary>The text of a key that names a site, switch, unit or role; an empty text where it cannot.</summary>
    internal static string Name(JsonObjectReader reader, string key)
    {
        if (reader.Item(key) is { Kind: JsonKind.Number } number)
        {
            number.Report(ProblemId.JsonWrongType, $"Found {number.InWords()} where a text was expected.", $"Write it in double quotes: \"{number.Number!.Value.ToString(CultureInfo.InvariantCulture)}\".");
            return string.Empty;
        }

        string? text = reader.Text(key, required: true);
        if (text is not null && EstateTexts.WrongName(text) is { } wrong)
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' cannot be a name: {wrong}.", "Names have no slash, no control character and no space around them, and 200 characters at the most.");
            return string.Empty;
        }

        return text ?? string.Empty;
    }

    /// <summary>The host of a key, or null where the key is not there or the text is none.</summary>
    internal static string? Address(JsonObjectReader reader, string key, bool required = false)
    {
        string? text = reader.Text(key, required);
        if (text is not null && EstateTexts.WrongAddress(text) is { } wrong)
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no host name or IP address: {wrong}.", "Write the host alone, without port or protocol, such as 192.0.2.11 or north-1.example.org.");
            return null;
        }

        return text;
    }

    private static IEnumerable<string> DialectPaths(JsonObjectReader root, string path)
    {
        string folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? string.Empty;
        return root.TextItems("dialects").Select(item => FullPath(item, folder)).Where(full => full is not null).Select(full => full!);
    }

    private static string? FullPath(JsonItem item, string folder)
    {
        try
        {
            if (!string.IsNullOrWhiteSpace(item.Text))
            {
                return Path.GetFullPath(Path.Combine(folder, item.Text));
            }
        }
        catch (Exception exception) when (TextFile.IsAboutFiles(exception))
        {
            item.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(item.Text)}' is no path of a file or folder: {TextFile.OneSentence(exception)}", PathAdvice);
            return null;
        }

        item.Report(ProblemId.JsonBadValue, $"'{Excerpt.Of(item.Text)}' is no path of a file or folder.", PathAdvice);
        return null;
    }

    private static RehearsalClock? Rehearsal(JsonObjectReader root, string? fileServer)
    {
        if (root.Object("rehearsal") is not { } reader)
        {
            return null;
        }

        var clock = new RehearsalClock
        {
            Speed = (double)(reader.Number("speed", required: true, least: 1, most: 100000) ?? 1),
            MachineStartUtc = Moment(reader, "machineStartUtc"),
            StartUtc = Moment(reader, "startUtc"),
            FileServer = fileServer,
        };
        reader.Close();
        return clock;
    }

    private static DateTime Moment(JsonObjectReader reader, string key)
    {
        string? text = reader.Text(key, required: true);
        DateTime? moment = IsoText.Utc(text);
        if (text is not null && moment is null)
        {
            reader.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(text)}' is no moment in UTC.", "Write date and time with Z at the end, such as 2026-11-25T21:00:00Z.");
        }

        return moment ?? default;
    }
}
