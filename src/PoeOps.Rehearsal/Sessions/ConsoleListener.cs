using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeOps.Rehearsal.Devices;

namespace PoeOps.Rehearsal.Sessions;

/// <summary>The consoles of one switch: a listener on loopback, and a thread for each session, up to a bound.</summary>
internal sealed class ConsoleListener : ISessionDrop, IDisposable
{
    private const int MostSessions = 16;

    // An hour of nothing ends a session; on a fast clock never less than half a minute of the machine.
    private static readonly TimeSpan Idle = TimeSpan.FromHours(1);
    private static readonly TimeSpan ShortestIdle = TimeSpan.FromSeconds(30);

    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly List<Socket> _sessions = [];
    private readonly SimulatedSwitch _device;
    private readonly Func<LineChannel, FamilyConsole> _console;
    private volatile bool _disposed;

    public ConsoleListener(SimulatedSwitch device, Func<LineChannel, FamilyConsole> console)
    {
        _device = device;
        _console = console;
    }

    /// <summary>The port that it listens on, at 127.0.0.1.</summary>
    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <inheritdoc/>
    public bool EndsAtReset => _device.EndsAtReset;

    /// <summary>Begins to listen.</summary>
    public void Start()
    {
        _listener.Start();
        var thread = new Thread(TakeConnections) { IsBackground = true, Name = "consoles of " + _device.Name };
        thread.Start();
    }

    /// <inheritdoc/>
    public void DropAll()
    {
        Socket[] open;
        lock (_sessions)
        {
            open = [.. _sessions];
        }

        foreach (Socket session in open)
        {
            Close(session);
        }
    }

    /// <inheritdoc/>
    public void ChangePrompt() => _device.ChangePrompt();

    /// <summary>Stops listening and closes every session.</summary>
    public void Dispose()
    {
        _disposed = true;
        _listener.Stop();
        DropAll();
    }

    private void TakeConnections()
    {
        while (!_disposed)
        {
            Socket socket;
            try
            {
                socket = _listener.AcceptSocket();
            }
            catch (Exception stopped) when (stopped is SocketException or ObjectDisposedException or InvalidOperationException)
            {
                // A connection that went before it was taken is no reason to stop; a stopped listener is.
                SystemClock.Instance.Wait(TimeSpan.FromMilliseconds(50), _device.Scene.Ended);
                continue;
            }

            if (!TryKeep(socket))
            {
                Close(socket);
            }
        }
    }

    private bool TryKeep(Socket socket)
    {
        lock (_sessions)
        {
            if (_disposed || _sessions.Count == MostSessions)
            {
                return false;
            }

            _sessions.Add(socket);
        }

        var thread = new Thread(() => Converse(socket)) { IsBackground = true, Name = "session at " + _device.Name };
        thread.Start();
        return true;
    }

    private void Converse(Socket socket)
    {
        Scene scene = _device.Scene;
        string from = string.Empty;
        string because = "left";
        try
        {
            from = ((IPEndPoint)socket.RemoteEndPoint).Port.ToString(CultureInfo.InvariantCulture);
            scene.Log.Write(DeviceEntryKind.SessionOpened, _device.Name, string.Empty, "from port " + from);
            TimeSpan idle = scene.Clock.MachineTime(Idle);
            _console(new LineChannel(socket, idle > ShortestIdle ? idle : ShortestIdle)).Converse();
        }
        catch (ConsoleGoneException gone)
        {
            because = gone.Message;
        }
        catch (Exception early) when (early is SocketException or ObjectDisposedException)
        {
            because = "gone before it began";
        }
        finally
        {
            lock (_sessions)
            {
                _sessions.Remove(socket);
            }

            Close(socket);
            scene.Log.Write(DeviceEntryKind.SessionClosed, _device.Name, string.Empty, $"from port {from}: {because}");
        }
    }

    // Shutdown wakes a thread that reads or writes; Close alone does not everywhere.
    private static void Close(Socket socket)
    {
        try
        {
            socket.Shutdown(SocketShutdown.Both);
        }
        catch (Exception closed) when (closed is SocketException or ObjectDisposedException)
        {
            // It is closed already, which is what is wanted.
            _ = closed;
        }

        socket.Dispose();
    }
}
