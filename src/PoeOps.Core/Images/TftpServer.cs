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
    private const int MostNoted = 10000;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan ShortRest = TimeSpan.FromMilliseconds(20);

    private readonly TftpServerOptions _options;
    private readonly Dictionary<string, ServedFile> _files = new(StringComparer.Ordinal);
    private readonly Queue<TftpTransfer> _transfers = new();
    private readonly Dictionary<string, Thread> _running = new(StringComparer.Ordinal);
    private readonly object _gate = new();
    private Socket? _socket;
    private Thread? _listener;
    private volatile bool _disposed;

    /// <summary>Makes a server that does not listen yet.</summary>
    public TftpServer(TftpServerOptions options) => _options = options;

    /// <summary>Raised on a thread of the server when a request has been dealt with; a handler must not throw.</summary>
    public event EventHandler<TftpTransferEventArgs>? TransferEnded;

    /// <summary>Where it listens, once it does.</summary>
    public IPEndPoint? Endpoint { get; private set; }

    /// <summary>Every request so far that has been dealt with, in the order of their ends; of very many, the last 10000.</summary>
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

    /// <summary>Begins to listen, once.</summary>
    /// <exception cref="PoeOpsException">The address and port cannot be listened at (<see cref="ProblemId.TftpCannotListen"/>).</exception>
    /// <exception cref="InvalidOperationException">It listens already, or was disposed.</exception>
    public void Start()
    {
        if (_socket is not null || _disposed)
        {
            throw new InvalidOperationException("A file server is started once.");
        }

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
    /// <param name="path">The file; it is read now, so that what happens to it afterwards changes nothing of what is served.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// The file cannot be read (<see cref="ProblemId.ImageNotFound"/>) or is too large (<see cref="ProblemId.TftpFileTooLarge"/>), or the name is
    /// offered already (<see cref="ProblemId.NameTwice"/>).
    /// </exception>
    public IDisposable Serve(string name, string path, IPAddress? only)
    {
        var file = ServedFile.Open(path, only);
        lock (_gate)
        {
            if (_files.ContainsKey(name))
            {
                throw new PoeOpsException(new Problem(ProblemId.NameTwice, $"A file is offered as '{name}' already.", "Wait for the other transfer to end, or offer it by another name."));
            }

            _files.Add(name, file);
        }

        return new Offer(this, name, file);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        List<Thread> transfers;
        lock (_gate)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
            _files.Clear();
            transfers = [.. _running.Values];
        }

        _socket?.Dispose();
        TimeSpan end = SystemClock.Instance.Elapsed + Patience;
        foreach (Thread thread in _listener is null ? transfers : [_listener, .. transfers])
        {
            TimeSpan left = end - SystemClock.Instance.Elapsed;
            // A handler of TransferEnded may dispose the server from one of these threads.
            if (thread != Thread.CurrentThread && left > TimeSpan.Zero)
            {
                thread.Join(left);
            }
        }
    }

    private void Listen()
    {
        byte[] buffer = new byte[2048];
        while (!_disposed)
        {
            EndPoint from = Anybody(_options.Bind.AddressFamily);
            try
            {
                int count = _socket!.ReceiveFrom(buffer, ref from);
                Handle(buffer, count, (IPEndPoint)from);
            }
            catch (SocketException exception)
            {
                // Whatever came of one datagram (a closed port, a datagram larger than any request) does not concern the next one.
                bool usual = exception.SocketErrorCode is SocketError.ConnectionReset or SocketError.MessageSize;
                if (!usual && !_disposed)
                {
                    SystemClock.Instance.Wait(ShortRest, CancellationToken.None);
                }
            }
            catch (ObjectDisposedException)
            {
                return;
            }
        }
    }

    private void Handle(byte[] buffer, int count, IPEndPoint client)
    {
        // Anything but a request is passed over: an answer to an ERROR could go to and fro between two servers for ever (RFC 1350 section 7).
        if (count < 2 || buffer[0] != 0 || (TftpOpcode)buffer[1] is not (TftpOpcode.ReadRequest or TftpOpcode.WriteRequest))
        {
            return;
        }

        if (TftpPacket.Read(buffer, count) is not { } packet)
        {
            Answer(client, TftpErrorCode.IllegalOperation, "that request cannot be read");
            return;
        }

        (TftpErrorCode code, string? wrong, ServedFile? file) = Look(packet, client.Address);
        if (wrong is not null)
        {
            Answer(client, code, wrong);
            Note(new TftpTransfer { Client = client.ToString(), File = Excerpt.Of(packet.File), StartUtc = SystemClock.Instance.UtcNow, Outcome = $"Refused: {wrong}." });
            return;
        }

        Begin(packet, file!, client);
    }

    private void Begin(TftpPacket request, ServedFile file, IPEndPoint client)
    {
        string name = client.ToString();
        var thread = new Thread(() => Transfer(request, file, client)) { IsBackground = true, Name = "PoeOps file transfer" };
        lock (_gate)
        {
            // The same request again, from the same port, while its transfer runs: the first answer was lost or is on its way.
            if (_disposed || _running.ContainsKey(name))
            {
                return;
            }

            if (_running.Count < _options.MostTransfers)
            {
                _running.Add(name, thread);
                thread.Start();
                return;
            }
        }

        Answer(client, TftpErrorCode.NotDefined, "too many transfers at once; ask again later");
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

            return file.IsFor(client) ? (default, null, file) : (TftpErrorCode.AccessViolation, "that file is not for this address", null);
        }
    }

    private void Transfer(TftpPacket request, ServedFile file, IPEndPoint client)
    {
        TftpTransfer transfer;
        try
        {
            using var session = new TftpSending(request, file, client, _options.Bind, () => _disposed);
            transfer = session.Run();
        }
        catch (SocketException exception)
        {
            // Run tells of its own trouble; this is a port that could not be had.
            string reason = $"Broken off: {Excerpt.Line(exception.Message).TrimEnd('.')}.";
            transfer = new TftpTransfer { Client = client.ToString(), File = Excerpt.Of(request.File), StartUtc = SystemClock.Instance.UtcNow, Outcome = reason };
        }

        // Before anybody is told, so that the client may ask for the next file from the same port.
        lock (_gate)
        {
            _running.Remove(client.ToString());
        }

        Note(transfer);
    }

    private void Note(TftpTransfer transfer)
    {
        lock (_gate)
        {
            _transfers.Enqueue(transfer);
            while (_transfers.Count > MostNoted)
            {
                _transfers.Dequeue();
            }
        }

        TransferEnded?.Invoke(this, new TftpTransferEventArgs(transfer));
    }

    private void Answer(IPEndPoint client, TftpErrorCode code, string text) => TftpSending.Tell(_socket!, client, code, text);

    private void Withdraw(string name, ServedFile file)
    {
        lock (_gate)
        {
            if (_files.TryGetValue(name, out ServedFile? offered) && ReferenceEquals(offered, file))
            {
                _files.Remove(name);
            }
        }

        file.Withdraw();
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

    internal static IPEndPoint Anybody(AddressFamily family) => new(family == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);

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
