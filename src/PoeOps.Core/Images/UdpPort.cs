using System.Net;
using System.Net.Sockets;

namespace PoeOps.Images;

/// <summary>What a client and a server of TFTP do alike with a UDP port.</summary>
internal static class UdpPort
{
    /// <summary>The longest wait for a datagram in one go, so that a stop is seen soon.</summary>
    public static readonly TimeSpan LongestWait = TimeSpan.FromMilliseconds(250);

    // A port's own limit is right for a wait that is not much shorter: one call to the system less for each datagram.
    private static readonly TimeSpan ShortWait = TimeSpan.FromMilliseconds(100);

    /// <summary>Opens a port for <see cref="TryTake"/>.</summary>
    /// <param name="local">Where; port 0 takes any that is free.</param>
    /// <exception cref="SocketException">It cannot be had.</exception>
    public static Socket OpenForWaits(IPEndPoint local)
    {
        Socket socket = Open(local);
        socket.ReceiveTimeout = (int)LongestWait.TotalMilliseconds;
        return socket;
    }

    /// <summary>Opens a port.</summary>
    /// <param name="local">Where; port 0 takes any that is free.</param>
    /// <exception cref="SocketException">It cannot be had.</exception>
    public static Socket Open(IPEndPoint local) => Open(local, _ => { });

    /// <summary>Opens a port that is prepared before anything can come in.</summary>
    /// <param name="local">Where; port 0 takes any that is free.</param>
    /// <param name="prepare">Prepares it.</param>
    /// <exception cref="SocketException">It cannot be had.</exception>
    public static Socket Open(IPEndPoint local, Action<Socket> prepare)
    {
        var socket = new Socket(local.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            prepare(socket);
            socket.Bind(local);
            Quieten(socket);
            return socket;
        }
        catch (SocketException)
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>Every address of a family, any port.</summary>
    public static IPEndPoint Anybody(AddressFamily family) => new(family == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);

    /// <summary>Waits for a datagram, at most <see cref="LongestWait"/>, and takes it.</summary>
    /// <param name="socket">The port.</param>
    /// <param name="left">How long to wait, where that is less.</param>
    /// <param name="into">Where its octets go.</param>
    /// <param name="from">Who sent it; before, anybody of the port's family.</param>
    /// <returns>Its octets; -1 where none came, or one that does not fit, was thrown away for its checksum, or was a reset.</returns>
    public static int TryTake(Socket socket, TimeSpan left, byte[] into, ref EndPoint from)
    {
        if (left < ShortWait && !Await(socket, left))
        {
            return -1;
        }

        try
        {
            return socket.ReceiveFrom(into, ref from);
        }
        catch (SocketException exception) when (exception.SocketErrorCode is SocketError.MessageSize or SocketError.ConnectionReset or SocketError.TimedOut)
        {
            return -1;
        }
    }

    private static bool Await(Socket socket, TimeSpan left)
    {
        // Some systems count in milliseconds here, and would not wait at all for a part of one.
        int microseconds = left <= TimeSpan.Zero ? 0 : Math.Max(1000, (int)(left.Ticks / 10));
        return socket.Poll(microseconds, SelectMode.SelectRead);
    }

    /// <summary>Sends an error as a courtesy: it is not acknowledged and not sent again (RFC 1350 section 7), so one that cannot be sent is a lost one.</summary>
    public static void Tell(Socket socket, EndPoint to, TftpErrorCode code, string text)
    {
        byte[] datagram = new TftpPacket(TftpOpcode.Error) { Code = code, Text = text }.Write();
        TrySend(socket, datagram, datagram.Length, to);
    }

    /// <summary>
    /// Tells a stranger error 5 (RFC 1350 section 4). A stranger's own error is passed over: errors are not answered (section 7), and two ports that
    /// did so would go on for ever.
    /// </summary>
    /// <param name="socket">The port.</param>
    /// <param name="from">The stranger.</param>
    /// <param name="datagram">What came.</param>
    /// <param name="count">How many octets of it.</param>
    public static void TurnAway(Socket socket, EndPoint from, byte[] datagram, int count)
    {
        bool isError = count >= 2 && datagram[0] == 0 && datagram[1] == (byte)TftpOpcode.Error;
        if (!isError)
        {
            Tell(socket, from, TftpErrorCode.UnknownTransferId, "unknown transfer ID");
        }
    }

    /// <summary>
    /// Sends a datagram. UDP may lose any; one that the system will not take now (no route, no room) is lost at once, and the next try is as for any other.
    /// </summary>
    /// <param name="socket">The port.</param>
    /// <param name="datagram">Holds the datagram's octets at its start.</param>
    /// <param name="count">How many they are.</param>
    /// <param name="to">Who gets it.</param>
    public static void TrySend(Socket socket, byte[] datagram, int count, EndPoint to)
    {
        try
        {
            socket.SendTo(datagram, 0, count, SocketFlags.None, to);
        }
        catch (Exception exception) when (exception is SocketException or ObjectDisposedException)
        {
            // Said above: as good as lost on the way.
            return;
        }
    }

    // On Windows a datagram to a closed port makes the next receive fail unless the socket is told not to care (SIO_UDP_CONNRESET).
    private static void Quieten(Socket socket)
    {
        if (Environment.OSVersion.Platform == PlatformID.Win32NT)
        {
            const int IgnoreReset = -1744830452;
            socket.IOControl(IgnoreReset, [0], null);
        }
    }
}
