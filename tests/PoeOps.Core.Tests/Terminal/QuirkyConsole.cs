using System.Text;
using PoeOps.Dialects;
using PoeOps.Terminal;

namespace PoeOps.Core.Tests.Terminal;

/// <summary>A console of the invented family with quirks, and one truth behind them. It is told bytes and says bytes.</summary>
internal sealed class QuirkyConsole
{
    public const string LongCommand = "tell of the lamps and of all that hangs beneath them at berth number {Unit}";

    private const string Log = "~ gulls overhead";
    private const string BackToWaiting = " awaits: ";

    private static readonly string[] Names = ["pier-1", "mole-22", "jetty-3"];

    private readonly Quirks _quirks;
    private readonly Encoding _encoding;
    private readonly Random _random;
    private readonly StringBuilder _line = new();
    private readonly Queue<Action<string>> _questions = new();
    private readonly Queue<string> _pages = new();
    private Action<byte[]> _say = _ => { };
    private string _obeys = BackToWaiting;
    private int _commands;
    private bool _awaitsKey;

    public QuirkyConsole(Quirks quirks, int seed)
    {
        _quirks = quirks;
        _random = new Random(seed);
        _encoding = Encoding.GetEncoding(quirks["text"]);
        _obeys = quirks["helm"] == "already" ? " obeys: " : BackToWaiting;
    }

    /// <summary>What every one of them is: its controllers and ports, as <see cref="QuirkTests"/> writes them.</summary>
    public static string[] Truth =>
    [
        "pier-1/1 7.2 Süd-8 3.9 Healthy", "pier-1/2 7.2 Süd-8 3.8 Healthy", "pier-1/3 7.2 - - Absent",
        .. Enumerable.Range(1, 9).Select(i => $"pier-1/1/{i} DeliveringPower {(i % 2 == 1 ? "Critical" : "Low")}"),
        .. Enumerable.Range(1, 3).Select(i => $"pier-1/2/{i} Searching High"),
    ];

    public static Dialect Dialect(Quirks quirks)
    {
        string console = """
            "logIn": [ { "expect": "^Name\\? $", "send": "{User}" }, { "expect": "^Word\\? $", "send": "{Password}" } ], "logInRefused": ["^Ashore with you"],
            "pagers": [ { "expect": "^\\(turn the leaf, \\d+ % read\\)", "send": " " }, { "expect": "^more\\? $", "send": "y", "lineEnd": true }, { "expect": "^Press any key", "send": "k" } ],
            "quiet": ["hush"]
            """ + (quirks["helm"] == "no" ? "" : """
            , "elevatedPrompts": ["^[a-z]+-\\d+ obeys: $"], "elevate": "rise",
            "elevateDialogue": [ { "expect": "^Whose helm\\? $", "send": "{User}" }, { "expect": "^Helm\\? $", "send": "{ElevationPassword}" } ]
            """) + (quirks["end"] is "\r" or "\r\0" ? ", \"lineBreak\": \"cr\"" : "");
        string more = $$"""
            "ask": { "release": ["tell pier"], "controllers": ["tell berths"], "ports": [ { "send": "{{LongCommand}}", "each": "unit" } ] },
            "ignore": [ { "name": "log", "pattern": "^~ .*$" } ]
            """;
        return Lantern.Dialect(console, more, quirks["text"], "^[a-z]+-\\\\d+ awaits: $", pagers: false);
    }

    /// <summary>A connection to it.</summary>
    public DuplexStream Connect()
    {
        Func<int> piece = _quirks["pieces"] switch { "one" => () => 1, "some" => () => 1 + _random.Next(40), _ => () => int.MaxValue };
        DuplexStream stream = new((b, say) => Hear(b, say), piece);
        Begin(stream.Say);
        return stream;
    }

    /// <summary>Says what it says to whoever connects.</summary>
    public void Begin(Action<byte[]> say)
    {
        _say = say;
        if (_quirks["banner"] == "prompt")
        {
            Write(End + Names[0] + BackToWaiting + "is how it asks" + End + Names[0] + BackToWaiting + End);
        }
        else if (_quirks["banner"] == "question")
        {
            Write(End + "Name? is asked, then Word? Ashore with you is said to others." + End + "Name? " + End);
        }

        AwaitKey(_quirks["key"] == "before", () => Ask("Name? ", _ => Ask("Word? ", _ => Welcome(), echo: false)));
    }

    /// <summary>Hears a byte.</summary>
    public void Hear(byte b, Action<byte[]> say)
    {
        _say = say;
        char c = (char)b;
        if (_awaitsKey)
        {
            _awaitsKey = false;
            Write(End);
            _questions.Dequeue()("");
        }
        else if (_pages.Count > 0 && (c == ' ' || c == '\r'))
        {
            _line.Clear();
            Erase();
            Page();
        }
        else if (c == '\r')
        {
            string line = _line.ToString();
            _line.Clear();
            _questions.Dequeue()(line);
        }
        else
        {
            _line.Append(c);
        }
    }

    private string End => _quirks["end"];

    private string Prompt => (_quirks["name"] == "renamed" ? Names[_commands % Names.Length] : Names[0]) + _obeys;

    private void Write(string text)
    {
        string painted = _quirks["nul"] == "yes" ? string.Concat(text.Select((c, i) => i % 5 == 2 ? c + "\0" : c.ToString())) : text;
        _say(_encoding.GetBytes(painted));
    }

    private void AwaitKey(bool wanted, Action then)
    {
        if (!wanted)
        {
            then();
            return;
        }

        _awaitsKey = true;
        _questions.Enqueue(_ => then());
        Write("Press any key to go on" + (_quirks["key"] == "line" ? End : ""));
    }

    private void Ask(string question, Action<string> then, bool echo = true)
    {
        _questions.Enqueue(heard =>
        {
            Write((echo && _quirks["echo"] != "off" ? heard : "") + End);
            then(heard);
        });
        Write(question);
    }

    private void Welcome() => AwaitKey(_quirks["key"] is "after" or "line", () =>
    {
        Write("Welcome aboard." + End);
        Await();
    });

    private void Await()
    {
        string prompt = _quirks["paint"] switch
        {
            "colour" => "\u001b[1;32m" + Prompt + "\u001b[0m",
            "title" => "\u001b]0;" + Prompt + "\a" + Prompt,
            "eight" => "\u009b1m\u009d2;berth\u009c" + Prompt + "\u009b0m",
            _ => Prompt,
        };
        _questions.Enqueue(Obey);
        Write(prompt);
        if (_quirks["log"] == "behind")
        {
            Write(End + Log + End + prompt);
        }
    }

    private void Obey(string command)
    {
        string before = Prompt;
        _commands++;
        Echo(command, before);
        switch (command)
        {
            case "rise" when _quirks["helm"] == "both":
                Ask("Whose helm? ", _ => Rise());
                return;
            case "rise":
                Rise();
                return;
            case "hush":
                Await();
                return;
            default:
                Answer(Lines(command));
                return;
        }
    }

    private void Rise() => Ask("Helm? ", heard =>
    {
        _obeys = heard == "Helm+8" ? " obeys: " : BackToWaiting;
        Await();
    }, echo: false);

    // The prompt stands already; what is drawn behind it may be cut by a log line, wrapped at the edge or shifted.
    private void Echo(string command, string prompt)
    {
        string log = _quirks["log"];
        if (_quirks["echo"] == "off" || (_quirks["echo"] == "half" && _commands % 2 == 0))
        {
            Write(log == "before" ? End + Log + End : End);
            return;
        }

        int cut = command.Length / 2;
        string drawn = log switch
        {
            "before" => End + Log + End + prompt + command,
            "inside" => command[..cut] + End + Log + End + prompt + command,
            "cut" => command[..cut] + Log + End + command[cut..],
            _ => Wrapped(command, prompt),
        };
        foreach (string piece in _quirks["echo"] == "split" ? drawn.Select(c => c.ToString()) : [drawn])
        {
            Write(piece);
        }

        Write(End);
    }

    private string Wrapped(string command, string prompt)
    {
        int room = 60 - prompt.Length;
        return command.Length <= room ? command : _quirks["wrap"] switch
        {
            "feed" => command[..room] + "\r\n" + command[room..],
            "blank" => command[..room] + " \r" + command[room..],
            "shift" => command[..room] + new string('\b', room) + "$" + command[^(room - 1)..],
            _ => command,
        };
    }

    private static IReadOnlyList<string> Lines(string command) => command switch
    {
        "tell pier" => ["pier pier-1 sails 7.2"],
        "tell berths" => ["berth hull firmware state", " 1 Süd-8 3.9 sound", " 2 Süd-8 3.8 sound", " 3 - - empty", "-- berths"],
        _ when command == LongCommand.Replace("{Unit}", "1", StringComparison.Ordinal) =>
            ["lamps of berth 1", .. Enumerable.Range(1, 9).Select(i => $" {i} lit burns {(i % 2 == 1 ? "first" : "last")}"), "-- lamps"],
        _ when command == LongCommand.Replace("{Unit}", "2", StringComparison.Ordinal) => ["lamps of berth 2", .. Enumerable.Range(1, 3).Select(i => $" {i} out dark second"), "-- lamps"],
        _ => ["unheard of: " + command],
    };

    private void Answer(IReadOnlyList<string> lines)
    {
        int perPage = _quirks["pager"] == "no" ? int.MaxValue : 3;
        StringBuilder page = new();
        for (int i = 0; i < lines.Count; i++)
        {
            page.Append(_quirks["paint"] == "colour" ? "\u001b[33m" + lines[i] + "\u001b[0m" : lines[i]).Append(End);
            if (_quirks["log"] == "rows" && i % 2 == 0)
            {
                page.Append(Log).Append(End);
            }

            if ((i + 1) % perPage == 0 && i + 1 < lines.Count)
            {
                bool other = _quirks["pager"] == "two" && i / perPage % 2 == 1;
                page.Append(other ? "more? " : $"(turn the leaf, {100 * i / lines.Count} % read)");
                _pages.Enqueue(page.ToString());
                page.Clear();
            }
        }

        _pages.Enqueue(page.ToString());
        Page();
    }

    private void Page()
    {
        Write(_pages.Dequeue());
        if (_pages.Count == 0)
        {
            Await();
        }
    }

    private void Erase() => Write(_quirks["erase"] switch
    {
        "blanks" => "\r" + new string(' ', 30) + "\r",
        "back" => new string('\b', 30) + new string(' ', 30) + new string('\b', 30),
        "ansi" => "\u001b[2K\r",
        "feed" => End,
        _ => "",
    });
}
