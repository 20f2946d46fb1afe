using System.Text.RegularExpressions;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>One session at a console: what both families have in common, and the mishaps that need no family's words.</summary>
internal abstract class FamilyConsole(SimulatedSwitch device, LineChannel channel)
{
    private const double SlowFactor = 10;
    private const string TakenByMishap = "a mishap took the connection";

    /// <summary>The switch.</summary>
    protected SimulatedSwitch Device => device;

    /// <summary>The line to the other side.</summary>
    protected LineChannel Channel => channel;

    /// <summary>Whether the console sends back what is typed.</summary>
    protected abstract bool Echoes { get; }

    /// <summary>What it prints when it waits for a command.</summary>
    protected abstract string Prompt { get; }

    /// <summary>The commands, the first that fits.</summary>
    protected abstract IReadOnlyList<ConsoleCommand> Commands { get; }

    /// <summary>A log line that may come at any time.</summary>
    protected abstract string LogLine { get; }

    /// <summary>Holds the whole conversation.</summary>
    /// <exception cref="ConsoleGoneException">The other side is gone.</exception>
    public void Converse()
    {
        if (Play(MishapKind.ConnectHangs))
        {
            HearAndSayNothing();
        }

        if (Play(MishapKind.ConnectCloses) || !LogIn())
        {
            return;
        }

        device.Scene.Log.Write(DeviceEntryKind.LoggedIn, device.Name, string.Empty, device.World.User);
        do
        {
            channel.Write(Prompt);
        }
        while (Answer(channel.ReadLine(Echoes).Trim()));
    }

    /// <summary>Makes a command of a pattern that must fit the whole line.</summary>
    protected static ConsoleCommand Command(string pattern, Func<Match, bool> run) =>
        new(new Regex("^(?:" + pattern + ")$", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase, TimeSpan.FromMilliseconds(250)), run);

    /// <summary>Asks who is there.</summary>
    /// <returns>False where nobody was let in.</returns>
    protected abstract bool LogIn();

    /// <summary>What the family says to a line that is no command.</summary>
    protected abstract string WrongCommand(string line);

    /// <summary>Notes an occasion for a mishap of the switch.</summary>
    protected bool Play(MishapKind kind) => device.Scene.Mishaps.Now(kind, device.Name);

    /// <summary>Closes the connection where a mishap of a unit wants it.</summary>
    /// <exception cref="ConsoleGoneException">It does.</exception>
    protected void LoseLinkAt(MishapKind kind, string unit)
    {
        if (device.Scene.Mishaps.Now(kind, device.Name, unit))
        {
            throw new ConsoleGoneException(TakenByMishap, null);
        }
    }

    /// <summary>Prints an answer, with whatever goes wrong with it.</summary>
    protected void Print(IReadOnlyList<string> lines)
    {
        if (Play(MishapKind.AnswerNothing))
        {
            HearAndSayNothing();
        }

        var printed = new List<string>(lines);
        if (Play(MishapKind.AnswerGarbage))
        {
            printed = [.. lines.Select(Garble)];
        }

        if (printed.Count > 1 && Play(MishapKind.AnswerLogLineInside))
        {
            printed.Insert(printed.Count / 2, LogLine);
        }

        if (printed.Count > 1 && Play(MishapKind.AnswerLinkLost))
        {
            Channel.Write(string.Join("\r\n", printed.Take(printed.Count / 2)));
            throw new ConsoleGoneException(TakenByMishap, null);
        }

        Send(printed);
    }

    /// <summary>Sends the lines of an answer; a family with a pager stops in between.</summary>
    protected virtual void Send(IReadOnlyList<string> lines) => channel.Write(string.Concat(lines.Select(line => line + "\r\n")));

    /// <summary>Prints one line that no mishap touches.</summary>
    protected void Say(string line) => channel.Write(line + "\r\n");

    private bool Answer(string line)
    {
        if (line.Length == 0)
        {
            return true;
        }

        double factor = device.Scene.Mishaps.Always(MishapKind.DeviceSlow, device.Name) ? SlowFactor : 1;
        device.Scene.Clock.Wait(TimeSpan.FromSeconds(device.World.AnswerSeconds * factor), device.Scene.Ended);
        foreach (ConsoleCommand command in Commands)
        {
            Match match = command.Pattern.Match(line);
            if (match.Success)
            {
                return command.Run(match);
            }
        }

        Say(WrongCommand(line));
        return true;
    }

    private void HearAndSayNothing()
    {
        while (true)
        {
            channel.ReadKey();
        }
    }

    // As on a line whose two ends disagree about its speed: printable, and nothing of what was meant.
    private static string Garble(string line) => new([.. line.Select((c, i) => (char)(33 + ((c * 31) + (i * 17)) % 94))]);
}

/// <summary>A command of a console.</summary>
/// <param name="Pattern">Fits the whole line.</param>
/// <param name="Run">Answers it; false to end the session.</param>
internal sealed record ConsoleCommand(Regex Pattern, Func<Match, bool> Run);
