using System.Net;
using System.Net.Sockets;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

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
    private readonly RunningTransfers _running;
    private readonly object _gate = new();
    private Socket? _socket;
    private Thread? _listener;
    private volatile bool _disposed;

    /// <summary>Makes a server that does not listen yet.</summary>
    public TftpServer(TftpServerOptions options)
    {
        _options = options;
        _running = new RunningTransfers(options.MostTransfers, Note);
    }

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

        try
        {
            _socket = UdpPort.Open(new IPEndPoint(_options.Bind, _options.Port));
        }
        catch (SocketException exception)
        {
            throw new PoeOpsException(CannotListen(exception), exception);
        }

        Endpoint = (IPEndPoint)_socket.LocalEndPoint;
        _listener = new Thread(Listen) { IsBackground = true, Name = "PoeOps file server" };
        _listener.Start();
    }

    /// <summary>Offers a file until the result is disposed.</summary>
    /// <param name="name">The name to ask for.</param>
    /// <param name="path">The file; it is read now, so that what happens to it afterwards changes nothing of what is served.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// The file is not there (<see cref="ProblemId.ImageNotFound"/>), cannot be read (<see cref="ProblemId.FileUnreadable"/>) or is too large
    /// (<see cref="ProblemId.TftpFileTooLarge"/>), or the name is offered already (<see cref="ProblemId.NameTwice"/>).
    /// </exception>
    public IDisposable Serve(string name, string path, IPAddress? only) => Offered(name, ServedFile.Open(path, only));

    /// <summary>Offers an approved image by its file name until the result is disposed. The octets that are served are those that were checked.</summary>
    /// <param name="spec">What the baseline says of it.</param>
    /// <param name="folder">The folder that holds it.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// As for any file; or it is not the approved one (<see cref="ProblemId.ImageWrongSize"/>, <see cref="ProblemId.ImageWrongDigest"/>).
    /// </exception>
    public IDisposable Serve(ImageSpec spec, string folder, IPAddress? only)
    {
        string path = Path.Combine(folder, spec.File);
        var file = ServedFile.Open(path, only);
        return file.Check(path, spec).Problem is { } problem ? throw new PoeOpsException(problem) : Offered(spec.File, file);
    }

    /// <summary>Offers a file that was read already, until the result is disposed.</summary>
    internal IDisposable Serve(string name, ServedFile file) => Offered(name, file);

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_gate)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
            _files.Clear();
        }

        _socket?.Dispose();
        _running.Stop();
        if (_listener is { } listener && listener != Thread.CurrentThread)
        {
            listener.Join(Patience);
        }
    }

    private Offer Offered(string name, ServedFile file)
    {
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

    private void Listen()
    {
        byte[] buffer = new byte[2048];
        while (!_disposed)
        {
            EndPoint from = UdpPort.Anybody(_options.Bind.AddressFamily);
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

        if (TftpPacket.Read(buffer, count, out Problem? malformed) is not { } packet)
        {
            UdpPort.Tell(_socket!, client, TftpErrorCode.IllegalOperation, "that request cannot be read");
            Note(client, string.Empty, malformed!);
        }
        else if (Refusal(packet, client.Address, out ServedFile? file) is { } refusal)
        {
            Refuse(client, packet.File, refusal);
        }
        else if (!_running.IsAnswered(client))
        {
            Begin(packet, file!, client);
        }
    }

    private void Begin(TftpPacket request, ServedFile file, IPEndPoint client)
    {
        try
        {
            if (!_running.TryRun(new TftpSending(request, file, client, _options)))
            {
                Refuse(client, request.File, new TftpRefusal(TftpErrorCode.NotDefined, "too many transfers at once; ask again later", "Wait for the others to end."));
            }
        }
        catch (SocketException exception)
        {
            string what = $"no port can be had: {Excerpt.Line(exception.Message).TrimEnd('.')}";
            Refuse(client, request.File, new TftpRefusal(TftpErrorCode.NotDefined, what, "Check this machine's network, and what else uses its ports."));
        }
    }

    private TftpRefusal? Refusal(TftpPacket packet, IPAddress client, out ServedFile? file)
    {
        file = null;
        if (packet.Opcode == TftpOpcode.WriteRequest)
        {
            return new TftpRefusal(TftpErrorCode.AccessViolation, "nothing can be written here", "Let the client read, or use another server.");
        }

        if (packet.Mode != "octet")
        {
            string what = $"mode {Excerpt.Of(packet.Mode)} would change an image; ask for octet";
            return new TftpRefusal(TftpErrorCode.IllegalOperation, what, "Let the client ask for octet mode, also called binary.");
        }

        lock (_gate)
        {
            if (!_files.TryGetValue(packet.File, out file))
            {
                return new TftpRefusal(TftpErrorCode.FileNotFound, "no file of that name is offered", "Compare the name, letter by letter, with the one that is offered.");
            }
        }

        return file.IsFor(client) ? null : new TftpRefusal(TftpErrorCode.AccessViolation, "that file is not for this address", "Find out who asks: the file is offered to one unit.");
    }

    private void Refuse(IPEndPoint client, string file, TftpRefusal refusal)
    {
        UdpPort.Tell(_socket!, client, refusal.Code, refusal.Text);
        Note(client, file, new Problem(ProblemId.TftpRefused, $"Refused: {refusal.Text}.", refusal.Advice));
    }

    private void Note(IPEndPoint client, string file, Problem problem) => Note(new TftpTransfer
    {
        Client = client.ToString(),
        File = Excerpt.Of(file),
        StartUtc = _options.Clock.UtcNow,
        Problem = problem with { Target = client.ToString() },
    });

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

    private sealed class Offer(TftpServer server, string name, ServedFile file) : IDisposable
    {
        public void Dispose() => server.Withdraw(name, file);
    }

    /// <summary>Why a request is refused: what the client is told, and what to do about it.</summary>
    private sealed record TftpRefusal(TftpErrorCode Code, string Text, string Advice);
}
