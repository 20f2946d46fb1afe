using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Reads the part of a dialect file that says how to refresh a unit.</summary>
internal static class RefreshJson
{
    private static readonly string[] Protocols = ["tftp", "scp"];
    private static readonly string[] Stages = ["Transfer", "Erase", "Program", "Reset"];
    private static readonly string[] Settings = ["AdminEnabled", "Priority", "LimitWatts"];

    private static readonly Dictionary<string, string[]> SettingValues = new(StringComparer.Ordinal)
    {
        ["AdminEnabled"] = ["true", "false"],
        ["Priority"] = Enum.GetNames(typeof(PortPriority)),
        ["LimitWatts"] = ["none"],
    };

    /// <summary>Reads the object <c>refresh</c>.</summary>
    public static RefreshManners? Read(JsonObjectReader? refresh)
    {
        if (refresh is null)
        {
            return null;
        }

        string? poll = refresh.Text("poll");
        if (poll is not null)
        {
            Placeholders.Check(refresh, "poll", poll, ["{Unit}", "{Job}"]);
        }

        List<Regex> job = PatternJson.Parts(refresh, "job", groups: GroupNames.Job);
        if (poll?.Contains("{Job}") == true != refresh.Has("job"))
        {
            refresh.Report(ProblemId.JsonMissingKey, "poll", "'poll' has {Job} and 'job' does not say what that is, or the other way round.", "Give both, or neither.");
        }

        var manners = new RefreshManners
        {
            Commands = Commands(refresh.Object("commands", required: true)),
            Asks = ConsoleJson.Exchanges(refresh, "asks", lineEnd: true, "{Unit}"),
            Job = job,
            Poll = poll,
            PollSeconds = (double)(refresh.Number("pollSeconds", least: 0.1m, most: 3600) ?? 5),
            Stages = StagesOf(refresh),
            Succeeds = PatternJson.Parts(refresh, "succeeds"),
            Fails = Failures(refresh),
            Busy = PatternJson.Parts(refresh, "busy"),
            SessionSurvivesReset = refresh.Flag("sessionSurvivesReset") ?? true,
            TimeStamp = TimeStamp(refresh.Object("timeStamp")),
            PutBack = PutBack(refresh.Object("putBack")),
        };
        refresh.Close();
        return manners;
    }

    private static Dictionary<string, string> Commands(JsonObjectReader? commands)
    {
        Dictionary<string, string> result = new(StringComparer.OrdinalIgnoreCase);
        if (commands is null)
        {
            return result;
        }

        foreach (string protocol in Protocols)
        {
            if (commands.Text(protocol) is { } command)
            {
                Placeholders.Check(commands, protocol, command, ["{Unit}", "{Server}", "{ServerPort}", "{File}"]);
                result.Add(protocol, command);
            }
        }

        if (result.Count == 0)
        {
            commands.Report(ProblemId.JsonMissingKey, null, "No command starts a refresh: neither tftp nor scp is given.", "Add the command for at least one of them.");
        }

        commands.Close();
        return result;
    }

    private static TimeStampRule? TimeStamp(JsonObjectReader? stamp)
    {
        if (stamp is null)
        {
            return null;
        }

        JsonItem? item = stamp.Item("pattern", required: true, "a pattern");
        IReadOnlyList<string> formats = stamp.Texts("formats");
        Regex? pattern = item?.Text is null ? null : PatternJson.Part(item, TimeStampRule.Group);
        if (item is { Text: null })
        {
            item.ReportKind("a pattern");
        }
        else if (pattern is not null && pattern.GroupNumberFromName(TimeStampRule.Group) < 0)
        {
            item!.Report(ProblemId.PropertyUnknown, $"The pattern '{Excerpt.Of(item.Text)}' has no group '{TimeStampRule.Group}'.", "Write the time as (?<Time>...).");
        }

        stamp.Close();
        return pattern is null ? null : new TimeStampRule(pattern, formats.Count == 0 ? TimeStampRule.UsualFormats : formats);
    }

    private static List<StageManners> StagesOf(JsonObjectReader refresh)
    {
        List<StageManners> stages = [];
        foreach (JsonObjectReader item in refresh.Objects("stages"))
        {
            StageManners stage = Stage(item);
            if (stages.Any(other => other.Stage == stage.Stage && Stages.Contains(stage.Stage)))
            {
                item.Report(ProblemId.NameTwice, "stage", $"The stage {stage.Stage} stands here twice.", "Put all its patterns into one.");
            }

            stages.Add(stage);
        }

        return stages;
    }

    private static StageManners Stage(JsonObjectReader item)
    {
        string name = item.Text("stage", required: true) ?? string.Empty;
        if (item.Has("stage") && !Stages.Contains(name))
        {
            item.Report(ProblemId.JsonBadValue, "stage", $"'{Excerpt.Of(name)}' is no stage that a device prints{Nearest.Hint(name, Stages)}.", "Write Transfer, Erase, Program or Reset.");
        }

        var stage = new StageManners
        {
            Stage = name,
            Begins = PatternJson.Parts(item, "begins"),
            Progress = PatternJson.Parts(item, "progress", required: false, "Percent"),
            Ends = PatternJson.Parts(item, "ends"),
            DeadlineSeconds = (double)(item.Number("deadlineSeconds", least: 1, most: 86400) ?? 600),
            StallSeconds = (double)(item.Number("stallSeconds", least: 1, most: 86400) ?? 120),
        };
        item.Close();
        return stage;
    }

    private static List<FailureRule> Failures(JsonObjectReader refresh)
    {
        List<FailureRule> failures = [];
        foreach (JsonObjectReader item in refresh.Objects("fails"))
        {
            JsonItem? pattern = item.Item("pattern", required: true, "a pattern");
            string because = item.Text("because", required: true) ?? string.Empty;
            if (pattern is { Text: null })
            {
                pattern.ReportKind("a pattern");
            }
            else if (pattern is not null && PatternJson.Part(pattern) is { } compiled)
            {
                failures.Add(new FailureRule(compiled, because));
            }

            item.Close();
        }

        return failures;
    }

    // A key is a setting, or a setting and one of its values, such as AdminEnabled=true, where each value has a command of its own.
    private static Dictionary<string, IReadOnlyList<string>> PutBack(JsonObjectReader? putBack)
    {
        Dictionary<string, IReadOnlyList<string>> commands = new(StringComparer.OrdinalIgnoreCase);
        if (putBack is null)
        {
            return commands;
        }

        foreach (string key in putBack.Keys)
        {
            CheckSetting(putBack, key);
            commands[key] = putBack.Texts(key);
            if (putBack.Kind(key) == JsonKind.List && commands[key].Count == 0)
            {
                putBack.Report(ProblemId.JsonBadValue, key, $"No command puts {Excerpt.Of(key)} back.", "Give a command, or remove the key.");
            }

            foreach (string command in commands[key])
            {
                Placeholders.Check(putBack, key, command, ["{Unit}", "{Port}", "{Value}"]);
            }
        }

        return commands;
    }

    private static void CheckSetting(JsonObjectReader putBack, string key)
    {
        int sign = key.IndexOf('=');
        string setting = sign < 0 ? key : key.Substring(0, sign);
        if (!Settings.Contains(setting))
        {
            putBack.Report(ProblemId.PropertyUnknown, key, $"'{Excerpt.Of(key)}' is no setting that can be put back{Nearest.Hint(setting, Settings)}.", $"The settings are {string.Join(", ", Settings)}.");
        }
        else if (sign >= 0 && SettingValues.TryGetValue(setting, out string[]? values) && !values.Contains(key.Substring(sign + 1)))
        {
            putBack.Report(ProblemId.JsonBadValue, key, $"'{Excerpt.Of(key)}' names no value that {setting} can have{Nearest.Hint(key.Substring(sign + 1), values)}.", $"The values are {string.Join(", ", values)}.");
        }
    }
}
