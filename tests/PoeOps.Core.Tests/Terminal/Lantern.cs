using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>An invented family for the tests of dialogues.</summary>
internal static class Lantern
{
    public const string Prompt = "pier-1 awaits: ";
    public const string Obeys = "pier-1 obeys: ";
    public const string Pager = "(turn the leaf)";

    /// <summary>The questions of a log-in and their answers.</summary>
    public const string LogIn = """
        "logIn": [ { "expect": "^Name\\? $", "send": "{User}" }, { "expect": "^Word\\? $", "send": "{Password}" }, { "expect": "^Helm\\? $", "send": "{ElevationPassword}" } ],
        "logInRefused": ["^Ashore with you"]
        """;

    /// <summary>A log-in whose console obeys only after a word of its own.</summary>
    public const string Helm = LogIn + """
        , "elevatedPrompts": ["^pier-1 obeys: $"], "elevate": "rise", "elevateDialogue": [ { "expect": "^Helm\\? $", "send": "{ElevationPassword}" } ]
        """;

    private const string Pagers = """
        "pagers": [ { "expect": "\\(turn the leaf", "send": " " } ]
        """;

    private const string Blocks = """
        "blocks": [
          { "name": "pier", "of": "switch", "begins": ["^pier (?<Host>\\S+) sails (?<Release>\\S+)$"], "oneRecord": true, "rows": ["^built \\d+$"] },
          { "name": "berths", "of": "controller", "begins": ["^berth +hull +firmware +state$"], "ends": ["^-- berths$"],
            "rows": ["^ *(?<Unit>\\d+) +(?<Model>\\S+) +(?<Firmware>\\S+) +(?<Condition>\\S+)$"], "required": ["Condition"] },
          { "name": "lamps", "of": "port", "begins": ["^lamps of berth (?<Unit>\\d+)$"], "ends": ["^-- lamps$"],
            "rows": ["^ *(?<Port>\\d+) +(?<AdminEnabled>\\S+) +(?<Status>\\S+) +(?<Priority>\\S+)$"], "required": ["Status"] }MORE ],
        "values": {
          "Condition": { "words": { "sound": "Healthy", "empty": "Absent" } },
          "AdminEnabled": { "words": { "lit": "true", "out": "false" } },
          "Status": { "words": { "burns": "DeliveringPower", "dark": "Searching" } },
          "Priority": { "words": { "first|foremost": "Critical", "second": "High", "last": "Low" } } }
        """;

    /// <summary>Time enough for a machine that is busy with other things.</summary>
    public static readonly TerminalTimes Patient = new()
    {
        Silence = TimeSpan.FromSeconds(60),
        Command = TimeSpan.FromSeconds(120),
        LogIn = TimeSpan.FromSeconds(120),
        Write = TimeSpan.FromSeconds(60),
    };

    public static readonly LogInSecrets Secrets = new("mate", "Tide\\77", "Helm+8");

    public static Dialect Dialect(string console = "", string more = "", string encoding = "utf-8", string prompt = "^pier-1 awaits: $", string blocks = "", bool pagers = true)
    {
        string json = $$"""
            { "name": "lantern", "encoding": "{{encoding}}",
              "console": { "prompts": ["{{prompt}}"], "refused": ["^unheard of: "]{{Behind(pagers ? Pagers : "")}}{{Behind(console)}} },
              {{Blocks.Replace("MORE", blocks, StringComparison.Ordinal)}}{{Behind(more)}} }
            """;
        DialectResult result = DialectFile.Parse(json, "lantern.dialect.json");
        Assert.Equal([], result.Problems.Select(problem => problem.ToString()));
        return result.Dialect!;
    }

    public static Dialogue Talk(ScriptedConsole console, Dialect? dialect = null, TerminalTimes? times = null, Transcript? transcript = null) =>
        new(console.Connect(), dialect ?? Dialect(), SystemClock.Instance, times ?? Patient, transcript);

    public static TerminalLink Link(ScriptedConsole console, Dialect dialect, LogInSecrets? secrets = null, TerminalTimes? times = null, Func<Transcript?>? transcripts = null) =>
        new(console.Connect, dialect, secrets ?? Secrets, "pier-1", SystemClock.Instance, times ?? Patient, transcripts);

    /// <summary>The problem that work ends with, as its id and sentence.</summary>
    public static (ProblemId Id, string Sentence) Fails(Action work)
    {
        Problem problem = Assert.Throws<PoeOpsException>(work).Problem;
        return (problem.Id, problem.Sentence);
    }

    private static string Behind(string text) => text.Length == 0 ? "" : ", " + text;
}
