using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>
/// The kelpline family: echoes what is typed, prints tables with headers, stops every 24 lines, wants the helm taken before anything is changed,
/// and prints the progress of a refit on the line until its end.
/// </summary>
internal sealed class KelplineConsole : FamilyConsole
{
    private const int PageLines = 24;
    private const int LogInTries = 3;
    private readonly IReadOnlyList<ConsoleCommand> _commands;
    private bool _pages = true;
    private int? _helmAt;

    public KelplineConsole(SimulatedSwitch device, LineChannel channel)
        : base(device, channel) =>
        _commands =
        [
            Command("tell release", _ => Tell(KelplineTables.Release(Device))),
            Command("tell units", _ => Tell(KelplineTables.Units(Views()))),
            Command("tell power", _ => Tell(KelplineTables.Power(Views()))),
            Command("tell ports", _ => Tell(KelplineTables.Ports(Views()))),
            Command("tell ports (?<unit>[0-9]+)", match => TellPorts(match.Groups["unit"].Value)),
            Command("tell settings", _ => Tell(KelplineTables.Settings(Views()))),
            Command("tell neighbours", _ => Tell(KelplineTables.Neighbours(Views()))),
            Command("tell refit", _ => Tell(Busy())),
            Command("pages (?<word>on|off)", match => Pages(match.Groups["word"].Value)),
            Command("take helm", _ => TakeHelm()),
            Command("leave helm", _ => LeaveHelm()),
            Command("refit unit (?<unit>[0-9]+) from (?<server>[^ ]+) at (?<port>[0-9]{1,5}) with (?<file>[^ ]+)", Refit),
            Command("(?<what>rank) (?<unit>[0-9]+):(?<port>[0-9]+) (?<value>critical|high|low)", Set),
            Command("(?<what>feed) (?<unit>[0-9]+):(?<port>[0-9]+) (?<value>on|off)", Set),
            Command("(?<what>limit) (?<unit>[0-9]+):(?<port>[0-9]+) (?<value>none|[0-9]{1,3}(\\.[0-9]{1,3})?)", Set),
            Command("ashore", _ => Leave()),
        ];

    /// <inheritdoc/>
    protected override bool Echoes => true;

    /// <inheritdoc/>
    protected override string Prompt => $"{Device.PromptName} :: {(HasHelm ? "helm" : "ready")} :: ";

    /// <inheritdoc/>
    protected override IReadOnlyList<ConsoleCommand> Commands => _commands;

    /// <inheritdoc/>
    protected override string LogLine => "~ tide watch: swell at the landing stage, all lines hold";

    /// <inheritdoc/>
    protected override bool LogIn()
    {
        Channel.Write($"\r\nKelpline node {Device.Name}\r\nFor its crew alone.\r\n\r\n");
        bool refuse = Play(MishapKind.LogInRefused);
        for (int attempt = 0; attempt < LogInTries; attempt++)
        {
            Channel.Write("Who calls? ");
            string user = Channel.ReadLine(echo: true);
            string password = AskSecret("Secret word? ");
            if (!refuse && user == Device.World.User && password == Device.World.Password)
            {
                return !Play(MishapKind.LogInPasswordTwice) || AskSecret("Secret word? ") == Device.World.Password;
            }

            Device.Scene.Log.Write(DeviceEntryKind.LogInRefused, Device.Name, string.Empty, user);
            Say("You are not on the crew list.");
        }

        return false;
    }

    /// <inheritdoc/>
    protected override string WrongCommand(string line) => $"Nobody aboard knows \"{line}\".";

    /// <inheritdoc/>
    protected override void Send(IReadOnlyList<string> lines)
    {
        bool unasked = !_pages && lines.Count > 1 && Play(MishapKind.AnswerPager);
        for (int i = 0; i < lines.Count; i++)
        {
            bool stop = _pages ? i > 0 && i % PageLines == 0 : unasked && i == lines.Count / 2;
            if (stop && !GoOn())
            {
                return;
            }

            Channel.Write(lines[i] + "\r\n");
        }
    }

    // Whoever had the helm when the prompt was changed has it no more.
    private bool HasHelm => _helmAt == Device.PromptChanges;

    private UnitView[] Views() => [.. Device.Units.Select(unit => unit.View())];

    private bool Tell(IReadOnlyList<string> lines)
    {
        Print(lines);
        return true;
    }

    private bool TellLine(string line) => Tell([line]);

    private bool TellPorts(string unit) =>
        Device.Find(unit) is { } found ? Tell(KelplineTables.Ports([found.View()])) : TellLine(NoUnit(unit));

    private string[] Busy()
    {
        string[] busy = [.. Device.Units.Where(KelplineRefit.IsBusy(Device)).Select(unit => $"Unit {unit.Name}: a refit is under way.")];
        return busy.Length > 0 ? busy : ["No refit is under way."];
    }

    private bool Pages(string word)
    {
        _pages = word.Equals("on", StringComparison.OrdinalIgnoreCase);
        return TellLine(_pages ? "Pages are on." : "Pages are off.");
    }

    private bool TakeHelm()
    {
        bool asks = Device.AsksElevation || Play(MishapKind.LogInSecondSecret);
        if (asks && AskSecret("Helm word? ") != Device.World.ElevationPassword)
        {
            return TellLine("The helm stays locked.");
        }

        _helmAt = Device.PromptChanges;
        return true;
    }

    private bool LeaveHelm()
    {
        _helmAt = null;
        return true;
    }

    private bool Refit(Match match)
    {
        string unit = match.Groups["unit"].Value;
        if (!HasHelm)
        {
            return TellLine("Take the helm first.");
        }

        if (Device.Find(unit) is not { } found)
        {
            return TellLine(NoUnit(unit));
        }

        LoseLinkAt(MishapKind.CommandUnheard, unit);
        Device.Scene.Log.Write(DeviceEntryKind.InstallAsked, Device.Name, unit, match.Value);
        int port = int.Parse(match.Groups["port"].Value, CultureInfo.InvariantCulture);
        var order = new InstallOrder(Device.Name, found.Name, match.Groups["server"].Value, port, match.Groups["file"].Value);
        var page = new KelplinePage(Channel, LogLine, () => LoseLinkAt(MishapKind.CommandLinkLost, unit));
        new KelplineRefit(Device, found, page).Run(order);
        return true;
    }

    private bool Set(Match match)
    {
        string unit = match.Groups["unit"].Value;
        string port = match.Groups["port"].Value;
        if (!HasHelm)
        {
            return TellLine("Take the helm first.");
        }

        if (Device.Find(unit) is not { } found)
        {
            return TellLine(NoUnit(unit));
        }

        string value = match.Groups["value"].Value;
        bool done = found.Set(int.Parse(port, CultureInfo.InvariantCulture), match.Value, one => Change(one, match.Groups["what"].Value, value));
        return TellLine(done ? $"Port {unit}:{port} is set." : $"There is no port {unit}:{port} aboard.");
    }

    private static void Change(SimulatedPort port, string what, string value)
    {
        switch (what.ToLowerInvariant())
        {
            case "rank":
                port.Priority = (PortPriority)Enum.Parse(typeof(PortPriority), value, ignoreCase: true);
                break;
            case "feed":
                port.AdminEnabled = value.Equals("on", StringComparison.OrdinalIgnoreCase);
                break;
            default:
                port.LimitWatts = value.Equals("none", StringComparison.OrdinalIgnoreCase) ? null : decimal.Parse(value, CultureInfo.InvariantCulture);
                break;
        }
    }

    private bool Leave()
    {
        Say("Fair winds.");
        return false;
    }

    private bool GoOn() => new KelplinePage(Channel, LogLine, () => { }).GoOn();

    private string AskSecret(string question)
    {
        Channel.Write(question);
        return Channel.ReadLine(echo: false);
    }

    private static string NoUnit(string unit) => $"There is no unit {unit} aboard.";
}
