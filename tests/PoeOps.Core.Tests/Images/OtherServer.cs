using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace PoeOps.Core.Tests.Images;

/// <summary>A file server by somebody else, on loopback over one folder, until it is disposed.</summary>
internal sealed class OtherServer : IDisposable
{
    private readonly Process _process;

    public OtherServer(string program, string folder, params string[] more)
    {
        string? path = OtherProgram.Find(program);
        Assert.True(path is not null, $"'{program}' is not installed, and where CI is 'true' nothing is left out.");
        Endpoint = FreePort();
        _process = Process.Start(path!, Arguments(program, folder, more));
    }

    public IPEndPoint Endpoint { get; }

    public int Port => Endpoint.Port;

    public void Dispose()
    {
        _process.Kill(entireProcessTree: true);
        _process.WaitForExit();
        _process.Dispose();
    }

    private string[] Arguments(string program, string folder, string[] more)
    {
        string port = Endpoint.Port.ToString(CultureInfo.InvariantCulture);
        return program == "in.tftpd"
            ? ["--foreground", "--address", $"127.0.0.1:{port}", "--user", "root", .. more, "--secure", folder]
            : ["--daemon", "--no-fork", "--bind-address", "127.0.0.1", "--port", port, "--user", "root.root", "--logfile", "/dev/null", .. more, folder];
    }

    // Free a moment ago; the system hands out others first.
    private static IPEndPoint FreePort()
    {
        using Socket socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return (IPEndPoint)socket.LocalEndPoint!;
    }
}
