using System.Net;
using System.Net.Sockets;
using System.Text;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Rehearsal.Tests;

/// <summary>A prompt comes late: the next command has been sent by then, and its whole answer follows the prompt at once.</summary>
[Collection(Alone.Name)]
public sealed class LatePromptTests
{
    [Fact]
    public void The_answer_behind_a_late_prompt_is_read_to_its_end()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        var device = new Thread(() => Play(listener)) { IsBackground = true };
        device.Start();
        var times = new TerminalTimes { Settle = TimeSpan.FromSeconds(1), Silence = TimeSpan.FromSeconds(20) };
        using var link = new TerminalLink(
            () => TcpConnection.Open("127.0.0.1", ((IPEndPoint)listener.LocalEndpoint).Port, LinkKind.Tcp, SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(20))),
            Place.Dialect("kelpline"), new LogInSecrets("u", "p"), "late-1", SystemClock.Instance, times);

        Assert.Equal("Unit 1: a refit is under way.", link.AskBusy());
    }

    // Answers the log-in, then one command: an older prompt, a moment, and behind it the echo, the answer and the prompt in one go.
    private static void Play(TcpListener listener)
    {
        using Socket socket = listener.AcceptSocket();
        foreach (string said in new[] { "late-1 :: helm :: ", "pages off\r\nPages are off.\r\nlate-1 :: helm :: " })
        {
            Say(socket, said);
            Hear(socket);
        }

        Say(socket, "late-1 :: helm :: ");
        Thread.Sleep(50);
        Say(socket, "tell refit\r\nUnit 1: a refit is under way.\r\nlate-1 :: helm :: ");
        Hear(socket);
    }

    private static void Say(Socket socket, string text) => socket.Send(Encoding.ASCII.GetBytes(text));

    private static void Hear(Socket socket) => socket.Receive(new byte[256]);
}
