using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>
/// The oakum family: does not echo, prints names and values in blocks, never stops a long answer, gives the prompt back at once when it renews
/// a controller, is asked how far it is, and ends every connection when a controller wakes anew.
/// </summary>
internal sealed class OakumConsole : FamilyConsole
{
    private readonly IReadOnlyList<ConsoleCommand> _commands;

    public OakumConsole(SimulatedSwitch device, LineChannel channel)
        : base(device, channel) =>
        _commands =
        [
            Command("list node", _ => Tell(OakumBlocks.Node(Device))),
            Command("list units", _ => Tell(OakumBlocks.Units(Views()))),
            Command("list feeders", _ => Tell(OakumBlocks.Feeders(Views()))),
            Command("list sockets (?<unit>[A-Z])", match => ForUnit(match, unit => Tell(OakumBlocks.Sockets(unit.View())))),
            Command("list marks (?<unit>[A-Z])", match => ForUnit(match, unit => Tell(OakumBlocks.Marks(unit.View())))),
            Command("list peers", _ => Tell(OakumBlocks.Peers(Views()))),
            Command("list hands", _ => Tell([.. Device.Units.Select(Hands)])),
            Command("how far (?<unit>[A-Z])", match => ForUnit(match, unit => Tell(OakumRenewal.HowFar(unit, LogLine)))),
            Command("renew (?<unit>[A-Z]) by tftp (?<server>[^ ]+) (?<port>[0-9]{1,5}) (?<file>[^ ]+)", match => ForUnit(match, unit => Renew(unit, match))),
            Command("(?<what>tier) (?<unit>[A-Z])(?<port>[0-9]+) (?<value>[123])", Set),
            Command("(?<what>gate) (?<unit>[A-Z])(?<port>[0-9]+) (?<value>open|shut)", Set),
            Command("(?<what>cap) (?<unit>[A-Z])(?<port>[0-9]+) (?<value>none|[0-9]{1,3}(\\.[0-9]{1,3})?)", Set),
            Command("farewell", _ => false),
        ];

    /// <inheritdoc/>
    protected override bool Echoes => false;

    /// <inheritdoc/>
    protected override string Prompt => Device.PromptName + " listens; ";

    /// <inheritdoc/>
    protected override IReadOnlyList<ConsoleCommand> Commands => _commands;

    /// <inheritdoc/>
    protected override string LogLine => $"({Device.Name} notes: fog lamp lit)";

    /// <inheritdoc/>
    protected override bool LogIn()
    {
        bool refuse = Play(MishapKind.LogInRefused);
        string user = Ask($"{Device.Name} of the oakum line. Your name: ");
        string password = Ask("Your key: ");
        bool right = !refuse && user == Device.World.User && password == Device.World.Password;
        if (right && Play(MishapKind.LogInPasswordTwice))
        {
            right = Ask("Your key: ") == Device.World.Password;
        }

        bool second = Device.AsksElevation || Play(MishapKind.LogInSecondSecret);
        if (right && second)
        {
            right = Ask("Your second key: ") == Device.World.ElevationPassword;
        }

        if (!right)
        {
            Device.Scene.Log.Write(DeviceEntryKind.LogInRefused, Device.Name, string.Empty, user);
            Say("The key does not turn.");
        }

        return right;
    }

    /// <inheritdoc/>
    protected override string WrongCommand(string line) => "node does not follow: " + line;

    private string Ask(string question)
    {
        Channel.Write(question);
        return Channel.ReadLine(echo: false);
    }

    private UnitView[] Views() => [.. Device.Units.Select(unit => unit.View())];

    private bool Tell(IReadOnlyList<string> lines)
    {
        Print(lines);
        return true;
    }

    private bool ForUnit(Match match, Func<SimulatedUnit, bool> act)
    {
        string name = match.Groups["unit"].Value;
        return Device.Find(name) is { } unit ? act(unit) : Tell(["node has no feeder " + name]);
    }

    private string Hands(SimulatedUnit unit) => $"hands on {unit.Name}: {(OakumRenewal.IsBusy(Device, unit) ? "taken" : "free")}";

    private bool Renew(SimulatedUnit unit, Match match)
    {
        LoseLinkAt(MishapKind.CommandUnheard, unit.Name);
        Device.Scene.Log.Write(DeviceEntryKind.InstallAsked, Device.Name, unit.Name, match.Value);
        int port = int.Parse(match.Groups["port"].Value, CultureInfo.InvariantCulture);
        var order = new InstallOrder(Device.Name, unit.Name, match.Groups["server"].Value, port, match.Groups["file"].Value);
        if (OakumRenewal.IsBusy(Device, unit))
        {
            return Refuse(unit, "it is busy", $"hands on {unit.Name}: taken");
        }

        if (!Ask($"Sockets of {unit.Name} fall dark. aye or nay: ").Trim().Equals("aye", StringComparison.OrdinalIgnoreCase))
        {
            return Refuse(unit, "the question was answered with no", "left as it is");
        }

        if (Device.Install(unit, order) is null)
        {
            return Refuse(unit, "it is busy", $"hands on {unit.Name}: taken");
        }

        LoseLinkAt(MishapKind.CommandLinkLost, unit.Name);
        return Tell([$"renewal of {unit.Name} is in hand"]);
    }

    private bool Refuse(SimulatedUnit unit, string because, string words)
    {
        Device.Scene.Log.Write(DeviceEntryKind.InstallRefused, Device.Name, unit.Name, because);
        return Tell([words]);
    }

    private bool Set(Match match) => ForUnit(match, unit =>
    {
        string port = match.Groups["port"].Value;
        bool done = unit.Set(int.Parse(port, CultureInfo.InvariantCulture), match.Value, one => Change(one, match.Groups["what"].Value, match.Groups["value"].Value));
        return Tell([done ? $"socket {unit.Name}{port} is so" : $"node has no socket {unit.Name}{port}"]);
    });

    private static void Change(SimulatedPort port, string what, string value)
    {
        switch (what.ToLowerInvariant())
        {
            case "tier":
                port.Priority = (PortPriority)int.Parse(value, CultureInfo.InvariantCulture);
                break;
            case "gate":
                port.AdminEnabled = value.Equals("open", StringComparison.OrdinalIgnoreCase);
                break;
            default:
                port.LimitWatts = value.Equals("none", StringComparison.OrdinalIgnoreCase) ? null : decimal.Parse(value, CultureInfo.InvariantCulture);
                break;
        }
    }
}
