using System.Net;
using System.Net.Sockets;
using System.Text;
using PoeOps.Images;

namespace PoeOps.Core.Tests.Images;

/// <summary>One end of TFTP that does exactly what a test says, and nothing by itself.</summary>
internal sealed class RawPeer : IDisposable
{
    private readonly Socket _socket;
    private readonly byte[] _buffer = new byte[70000];

    public RawPeer(string address = "127.0.0.1")
    {
        var local = IPAddress.Parse(address);
        _socket = new Socket(local.AddressFamily, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = (int)FileBench.Patience.TotalMilliseconds };
        _socket.Bind(new IPEndPoint(local, 0));
    }

    public IPEndPoint Endpoint => (IPEndPoint)_socket.LocalEndPoint!;

    /// <summary>Who sent what was received last.</summary>
    public IPEndPoint From { get; private set; } = new(IPAddress.None, 0);

    /// <summary>True while something that came has not been received.</summary>
    public bool HasMore => _socket.Poll(0, SelectMode.SelectRead);

    public void Send(byte[] datagram, IPEndPoint to) => _socket.SendTo(datagram, to);

    public void Send(TftpPacket packet, IPEndPoint to) => Send(packet.Write(), to);

    /// <summary>Asks for a file; name, mode and options as words.</summary>
    public void Ask(IPEndPoint server, params string[] words) => Send(Request(1, words), server);

    public void Acknowledge(int block) => Send([0, 4, (byte)(block >> 8), (byte)block], From);

    /// <summary>The next packet.</summary>
    public TftpPacket Receive()
    {
        EndPoint from = TestEnds.Any(_socket.AddressFamily);
        int count = _socket.ReceiveFrom(_buffer, ref from);
        From = (IPEndPoint)from;
        byte[] datagram = _buffer[..count];
        TftpPacket? packet = TftpPacket.Read(datagram, count);
        Assert.True(packet is not null, "No packet: " + Convert.ToHexString(datagram));
        return packet;
    }

    /// <summary>The next packet, in one line: its kind and what it carries.</summary>
    public string Hear()
    {
        TftpPacket packet = Receive();
        return packet.Opcode switch
        {
            TftpOpcode.Data => $"DATA {packet.Block} of {packet.Data.Count}",
            TftpOpcode.Acknowledgement => $"ACK {packet.Block}",
            TftpOpcode.Error => $"ERROR {(int)packet.Code} {packet.Text}",
            TftpOpcode.OptionAcknowledgement => "OACK " + string.Join(" ", packet.Options.Select(option => $"{option.Key}={option.Value}")),
            _ => $"{packet.Opcode} {packet.File} {packet.Mode} {string.Join(" ", packet.Options.Select(option => $"{option.Key}={option.Value}"))}",
        };
    }

    /// <summary>Receives the rest of a file, each block acknowledged once; <paramref name="first"/> is the number of the next one.</summary>
    public byte[] TakeRest(int first, int blockSize)
    {
        List<byte> octets = [];
        for (int block = first; ; block++)
        {
            TftpPacket packet = Receive();
            Assert.Equal((TftpOpcode.Data, (ushort)block), (packet.Opcode, packet.Block));
            octets.AddRange(packet.Data);
            Acknowledge(block);
            if (packet.Data.Count < blockSize)
            {
                return [.. octets];
            }
        }
    }

    /// <summary>A request, its words each with a NUL behind.</summary>
    public static byte[] Request(byte opcode, params string[] words) => [0, opcode, .. Encoding.UTF8.GetBytes(string.Concat(words.Select(word => word + "\0")))];

    public void Dispose() => _socket.Dispose();

    private static class TestEnds
    {
        public static IPEndPoint Any(AddressFamily family) => new(family == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);
    }

    /// <summary>The first packet that is not one of those that came before and come again meanwhile.</summary>
    public string Behind(string again)
    {
        string heard = Hear();
        for (int times = 0; heard == again && times < 6; times++)
        {
            heard = Hear();
        }

        return heard;
    }
}
