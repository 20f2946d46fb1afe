using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Dialects;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A person at a console, who knows nothing but what the dialect says and keeps everything that was printed.</summary>
internal sealed class Caller : IDisposable
{
    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
    private readonly StringBuilder _all = new();
    private readonly Dialect _dialect;
    private int _seen;

    public Caller(RunningRehearsal rehearsal, string name)
    {
        RehearsalSwitch place = rehearsal.Switches.Single(one => one.Name == name);
        _dialect = Place.Dialect(place.Family);
        _socket.ReceiveTimeout = 60_000;
        _socket.Connect(IPAddress.Loopback, place.Port);
    }

    /// <summary>Everything that came so far.</summary>
    public string Transcript => _all.ToString();

    public static Caller LogIn(RunningRehearsal rehearsal, string name)
    {
        var caller = new Caller(rehearsal, name);
        caller.LogIn(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword);
        return caller;
    }

    /// <summary>Answers the questions of the log-in until a prompt comes, and quietens the pager.</summary>
    public void LogIn(string user, string password, string elevation)
    {
        while (true)
        {
            string line = Expect(AtQuestion);
            if (AtPrompt(line))
            {
                break;
            }

            Exchange question = _dialect.Console.LogIn.First(exchange => exchange.Expect.IsMatch(LastLine(line)));
            Send(question.Send.Replace("{User}", user).Replace("{Password}", password).Replace("{ElevationPassword}", elevation) + "\r");
        }

        foreach (string command in _dialect.Console.Quiet)
        {
            Ask(command);
        }
    }

    /// <summary>Sends a command and gives back what came up to the prompt, without the echo and without the prompt.</summary>
    public string Ask(string command)
    {
        Send(command + "\r");
        string answer = Expect(AtPrompt);
        answer = answer.Substring(0, answer.LastIndexOf('\n') + 1);
        int first = answer.IndexOf('\n', StringComparison.Ordinal) + 1;
        return answer.Substring(first);
    }

    public void Send(string text) => _socket.Send(Encoding.UTF8.GetBytes(text));

    /// <summary>What came since the last time, up to the end of a text that is waited for.</summary>
    public string Expect(string text)
    {
        int from = _seen;
        string received = Expect(all => all.Contains(text, StringComparison.Ordinal));
        int length = received.IndexOf(text, StringComparison.Ordinal) + text.Length;
        _seen = from + length;
        return received.Substring(0, length);
    }

    /// <summary>What came until the other side closed.</summary>
    public string ToEnd()
    {
        while (Receive())
        {
        }

        return Take();
    }

    public void Dispose() => _socket.Dispose();

    private string Expect(Func<string, bool> enough)
    {
        while (!enough(_all.ToString(_seen, _all.Length - _seen)))
        {
            Assert.True(Receive(), "The console closed; it had printed: " + _all);
        }

        return Take();
    }

    private string Take()
    {
        string text = _all.ToString(_seen, _all.Length - _seen);
        _seen = _all.Length;
        return text;
    }

    private bool Receive()
    {
        byte[] buffer = new byte[4096];
        try
        {
            int count = _socket.Receive(buffer);
            _all.Append(Encoding.UTF8.GetString(buffer, 0, count));
            return count > 0;
        }
        catch (SocketException lost) when (lost.SocketErrorCode is SocketError.ConnectionReset or SocketError.ConnectionAborted)
        {
            return false;
        }
    }

    private bool AtPrompt(string received) => Prompts().Any(prompt => prompt.IsMatch(LastLine(received)));

    private bool AtQuestion(string received) => AtPrompt(received) || _dialect.Console.LogIn.Any(exchange => exchange.Expect.IsMatch(LastLine(received)));

    private IEnumerable<Regex> Prompts() => _dialect.Console.Prompts.Concat(_dialect.Console.ElevatedPrompts);

    private static string LastLine(string text) => text.Substring(text.LastIndexOf('\n') + 1);
}
