using System.Globalization;
using System.Net.Sockets;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>Opens connections to consoles.</summary>
public static class TcpConnection
{
    /// <summary>Connects to a console by raw TCP or Telnet.</summary>
    /// <param name="host">A host name or an IP address.</param>
    /// <param name="port">The TCP port.</param>
    /// <param name="link">How the console is spoken to.</param>
    /// <param name="deadline">When to give up.</param>
    /// <returns>A duplex stream; the caller disposes it.</returns>
    /// <exception cref="PoeOpsException">No connection was made (<see cref="ProblemId.ConnectFailed"/>), or the link is of another kind (<see cref="ProblemId.LinkNotSupported"/>).</exception>
    public static Stream Open(string host, int port, LinkKind link, Deadline deadline)
    {
        if (link == LinkKind.Ssh)
        {
            throw new PoeOpsException(new Problem(ProblemId.LinkNotSupported, $"SSH to {Excerpt.Of(host)} is not built in.", "Hand a function that opens an SSH session to SwitchLinks, or an open stream to TerminalLink."));
        }

        if (link == LinkKind.Snmp)
        {
            throw new PoeOpsException(new Problem(ProblemId.LinkNotSupported, $"The switch at {Excerpt.Of(host)} is reached by SNMP alone, which only reads.", "Name a console link (telnet or tcp) and a dialect in the estate, or read it with -Link Snmp."));
        }

        TcpClient client = new();
        try
        {
            if (!client.ConnectAsync(host, port).Wait(deadline.MachineTimeLeft))
            {
                client.Dispose();
                throw Failed(host, port, $"did not answer within {deadline.Span.TotalSeconds.ToString("0.#", CultureInfo.InvariantCulture)} s", new TimeoutException());
            }
        }
        catch (AggregateException exception) when (exception.InnerException is SocketException inner)
        {
            client.Dispose();
            throw Failed(host, port, Why(inner), inner);
        }

        client.NoDelay = true;

        // The last octet of what a device sends as urgent, such as Telnet's data mark, stays in its place: without it, the octet behind would be taken for a command.
        client.Client.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.OutOfBandInline, true);
        NetworkStream stream = new(client.Client, ownsSocket: true);
        return link == LinkKind.Telnet ? new TelnetStream(stream) : stream;
    }

    private static string Why(SocketException exception) => exception.SocketErrorCode switch
    {
        SocketError.ConnectionRefused => "refused the connection",
        SocketError.HostNotFound or SocketError.NoData => "has a name that nobody knows",
        SocketError.TryAgain => "has a name that cannot be looked up now",
        SocketError.TimedOut => "did not answer",
        SocketError.HostUnreachable or SocketError.NetworkUnreachable => "cannot be reached from here",
        _ => Excerpt.Line(exception.Message).TrimEnd('.'),
    };

    private static PoeOpsException Failed(string host, int port, string why, Exception? cause) =>
        new(new Problem(ProblemId.ConnectFailed, $"The console at {Excerpt.Of(host)} port {port.ToString(CultureInfo.InvariantCulture)} {why}.", "Check address, port and kind of link in the estate, and that the console is free."), cause);
}
