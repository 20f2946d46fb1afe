using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace PoeOps.Core.Tests.Images;

/// <summary>A TFTP server by somebody else (in.tftpd of tftpd-hpa) at a free port of loopback, with a folder as its root, until it is disposed.</summary>
internal sealed class OtherServer : IDisposable
{
    private readonly Process _process;

    public OtherServer(string folder, params string[] arguments)
    {
        using (UdpClient probe = new(new IPEndPoint(IPAddress.Loopback, 0)))
        {
            Port = ((IPEndPoint)probe.Client.LocalEndPoint!).Port;
        }

        string place = "127.0.0.1:" + Port.ToString(CultureInfo.InvariantCulture);
        _process = Process.Start(new ProcessStartInfo(OtherProgram.Find("in.tftpd")!, ["--foreground", "--address", place, .. arguments, "--secure", folder]))!;
    }

    public int Port { get; }

    public void Dispose()
    {
        _process.Kill();
        _process.WaitForExit();
        _process.Dispose();
    }
}
