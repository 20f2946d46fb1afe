using System.Net;
using System.Net.Sockets;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Where a file server listens.</summary>
public sealed record TftpServerOptions
{
    /// <summary>The local address; loopback unless it is said.</summary>
    public IPAddress Bind { get; init; } = IPAddress.Loopback;

    /// <summary>The UDP port; 0 takes any that is free.</summary>
    public int Port { get; init; }

    /// <summary>Transfers at one time; a request beyond it is refused.</summary>
    public int MostTransfers { get; init; } = 64;
}

/// <summary>
/// A read-only TFTP server (RFC 1350, 2347, 2348, 2349). It offers only the files that it was given, by the names it was given, to the addresses
/// it was told; a name is looked up among those, never on disk. Safe to use from any thread.
/// </summary>
public sealed class TftpServer : IDisposable
{
    private readonly TftpServerOptions _options;
    private readonly Dictionary<string, ServedFile> _files = new(StringComparer.Ordinal);
    private readonly List<TftpTransfer> _transfers = [];
    private readonly HashSet<string> _running = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _stop = new();
    private readonly object _gate = new();
    private Socket? _socket;
    private Thread? _listener;

    /// <summary>Makes a server that does not listen yet.</summary>
    public TftpServer(TftpServerOptions options) => _options = options;

    /// <summary>Raised on a thread of the server when a request has been dealt with.</summary>
    public event EventHandler<TftpTransferEventArgs>? TransferEnded;

    /// <summary>Where it listens, once it does.</summary>
    public IPEndPoint? Endpoint { get; private set; }

    /// <summary>Every request so far that has been dealt with, in the order of their ends.</summary>
    public IReadOnlyList<TftpTransfer> Transfers
    {
        get
        {
            lock (_gate)
            {
                return [.. _transfers];
            }
        }
    }

    /// <summary>Begins to listen.</summary>
    /// <exception cref="PoeOpsException">The address and port cannot be listened at (<see cref="ProblemId.TftpCannotListen"/>).</exception>
    public void Start()
    {
        Socket socket = new(_options.Bind.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            socket.Bind(new IPEndPoint(_options.Bind, _options.Port));
        }
        catch (SocketException exception)
        {
            socket.Dispose();
            throw new PoeOpsException(CannotListen(exception), exception);
        }

        Quieten(socket);
        _socket = socket;
        Endpoint = (IPEndPoint)socket.LocalEndPoint;
        _listener = new Thread(Listen) { IsBackground = true, Name = "PoeOps file server" };
        _listener.Start();
    }

    /// <summary>Offers a file until the result is disposed.</summary>
    /// <param name="name">The name to ask for.</param>
    /// <param name="path">The file; it is held open, and cannot be changed meanwhile where the system keeps that.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">The file cannot be opened (<see cref="ProblemId.ImageNotFound"/>), or the name is offered already (<see cref="ProblemId.NameTwice"/>).</exception>
    public IDisposable Serve(string name, string path, IPAddress? only)
    {
        ServedFile file;
        try
        {
            file = new ServedFile(path, only);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new PoeOpsException(
                new Problem(ProblemId.ImageNotFound, $"The image '{path}' cannot be opened: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Check that it is there and may be read.") { File = path },
                exception);
        }

        lock (_gate)
        {
            if (_files.ContainsKey(name))
            {
                file.Dispose();
                throw new PoeOpsException(new Problem(ProblemId.NameTwice, $"A file is offered as '{name}' already.", "Wait for the other transfer to end, or offer it by another name."));
            }

            _files.Add(name, file);
        }

        return new Offer(this, name, file);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _stop.Cancel();
        _socket?.Dispose();
        _listener?.Join(TimeSpan.FromSeconds(1));
        lock (_gate)
        {
            foreach (ServedFile file in _files.Values)
            {
                file.Dispose();
            }

            _files.Clear();
        }

        // Transfers that still wind down ask the token, which answers after this as well.
        _stop.Dispose();
    }

    private void Listen()
    {
        byte[] buffer = new byte[2048];
        while (!_stop.IsCancellationRequested)
        {
            EndPoint from = new IPEndPoint(_options.Bind.AddressFamily == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);
            try
            {
                int count = _socket!.ReceiveFrom(buffer, ref from);
                Handle(TftpPacket.Read(buffer, count), (IPEndPoint)from);
            }
            catch (SocketException exception) when (exception.SocketErrorCode is SocketError.ConnectionReset or SocketError.MessageSize)
            {
                // A client's port was closed before an answer, or a datagram was larger than any request: neither concerns the next one.
                continue;
            }
            catch (Exception exception) when (exception is SocketException or ObjectDisposedException)
            {
                return;
            }
        }
    }

    private void Handle(TftpPacket? packet, IPEndPoint client)
    {
        if (packet is null || packet.Opcode is not (TftpOpcode.ReadRequest or TftpOpcode.WriteRequest))
        {
            Send(client, TftpErrorCode.IllegalOperation, "only read requests are answered here");
            return;
        }

        (TftpErrorCode code, string? wrong, ServedFile? file) = Look(packet, client.Address);
        if (wrong is not null)
        {
            Send(client, code, wrong);
            Note(new TftpTransfer { Client = client.ToString(), File = Excerpt.Of(packet.File), StartUtc = SystemClock.Instance.UtcNow, Outcome = $"Refused: {wrong}." });
            return;
        }

        // The same request again, from the same port, while its transfer runs: the first answer was lost or is on its way.
        lock (_gate)
        {
            if (_running.Count >= _options.MostTransfers || !_running.Add(client.ToString()))
            {
                return;
            }
        }

        new Thread(() => Transfer(packet, file!, client)) { IsBackground = true, Name = "PoeOps file transfer" }.Start();
    }

    private (TftpErrorCode Code, string? Wrong, ServedFile? File) Look(TftpPacket packet, IPAddress client)
    {
        if (packet.Opcode == TftpOpcode.WriteRequest)
        {
            return (TftpErrorCode.AccessViolation, "nothing can be written here", null);
        }

        if (packet.Mode != "octet")
        {
            return (TftpErrorCode.IllegalOperation, $"mode {Excerpt.Of(packet.Mode)} would change an image; ask for octet", null);
        }

        lock (_gate)
        {
            if (!_files.TryGetValue(packet.File, out ServedFile? file))
            {
                return (TftpErrorCode.FileNotFound, "no file of that name is offered", null);
            }

            return file.Only is null || file.Only.Equals(client) ? (default, null, file) : (TftpErrorCode.AccessViolation, "that file is not for this address", null);
        }
    }

    private void Transfer(TftpPacket request, ServedFile file, IPEndPoint client)
    {
        try
        {
            using var session = new TftpSending(request, file, client, _options.Bind, _stop.Token);
            Note(session.Run());
        }
        finally
        {
            lock (_gate)
            {
                _running.Remove(client.ToString());
            }
        }
    }

    private void Note(TftpTransfer transfer)
    {
        lock (_gate)
        {
            _transfers.Add(transfer);
        }

        TransferEnded?.Invoke(this, new TftpTransferEventArgs(transfer));
    }

    private void Send(IPEndPoint client, TftpErrorCode code, string text) =>
        _socket!.SendTo(new TftpPacket(TftpOpcode.Error) { Code = code, Text = text }.Write(), client);

    private void Withdraw(string name, ServedFile file)
    {
        lock (_gate)
        {
            if (_files.TryGetValue(name, out ServedFile? offered) && ReferenceEquals(offered, file))
            {
                _files.Remove(name);
            }
        }

        file.Dispose();
    }

    private Problem CannotListen(SocketException exception)
    {
        string advice = exception.SocketErrorCode switch
        {
            SocketError.AccessDenied => "Ports below 1024 may need an administrator's rights: run as one, or choose a port above.",
            SocketError.AddressAlreadyInUse => "Another file server runs on that port: stop it, or choose another port.",
            _ => "Choose an address of this machine.",
        };
        return new Problem(ProblemId.TftpCannotListen, $"The file server cannot listen at {new IPEndPoint(_options.Bind, _options.Port)}: {Excerpt.Line(exception.Message).TrimEnd('.')}.", advice);
    }

    // On Windows a datagram to a closed port makes the next receive fail unless the socket is told not to care (SIO_UDP_CONNRESET).
    internal static void Quieten(Socket socket)
    {
        if (Environment.OSVersion.Platform == PlatformID.Win32NT)
        {
            const int IgnoreReset = -1744830452;
            socket.IOControl(IgnoreReset, [0], null);
        }
    }

    private sealed class Offer(TftpServer server, string name, ServedFile file) : IDisposable
    {
        public void Dispose() => server.Withdraw(name, file);
    }
}

/// <summary>A transfer that has ended.</summary>
public sealed class TftpTransferEventArgs : EventArgs
{
    /// <summary>Tells of a transfer.</summary>
    public TftpTransferEventArgs(TftpTransfer transfer) => Transfer = transfer;

    /// <summary>The transfer.</summary>
    public TftpTransfer Transfer { get; }
}
