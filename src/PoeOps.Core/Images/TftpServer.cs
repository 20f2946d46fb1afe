using System.Net;
using System.Net.Sockets;
using PoeOps.Baselines;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>
/// A read-only TFTP server (RFC 1350, 2347, 2348, 2349, 7440). It offers only the files that it was given, by the names it was given, to the addresses
/// it was told; a name is looked up among those, never on disk. Safe to use from any thread.
/// </summary>
public sealed class TftpServer : IDisposable
{
    private const int MostNoted = 10000;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan ShortRest = TimeSpan.FromMilliseconds(20);

    private readonly TftpServerOptions _options;
    private readonly OfferedFiles _files;
    private readonly Queue<TftpTransfer> _transfers = new();
    private readonly RunningTransfers _running;
    private readonly object _gate = new();
    private RequestPort? _port;
    private Thread? _listener;
    private volatile bool _disposed;

    /// <summary>Makes a server that does not listen yet.</summary>
    public TftpServer(TftpServerOptions options)
    {
        _options = options;
        _files = new OfferedFiles(options.Clients);
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
        if (_port is not null || _disposed)
        {
            throw new InvalidOperationException("A file server is started once.");
        }

        try
        {
            _port = new RequestPort(new IPEndPoint(_options.Bind, _options.Port));
        }
        catch (SocketException exception)
        {
            throw new PoeOpsException(TftpServerOptions.CannotListen(new IPEndPoint(_options.Bind, _options.Port), exception), exception);
        }

        Endpoint = _port.Endpoint;
        _listener = new Thread(Listen) { IsBackground = true, Name = "PoeOps file server" };
        _listener.Start();
    }

    /// <summary>Offers a file until the result is disposed.</summary>
    /// <param name="name">The name to ask for: a plain one, without a way through folders.</param>
    /// <param name="path">
    /// The file. It is read now, and held where it is small; a larger one stays open and is read when it is asked for, and what is another one by then is not
    /// sent (<see cref="ProblemId.ImageChanged"/> in the transfer).
    /// </param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// The file is not there (<see cref="ProblemId.ImageNotFound"/>), cannot be read (<see cref="ProblemId.FileUnreadable"/>) or is too large
    /// (<see cref="ProblemId.TftpFileTooLarge"/>), the name or the kind of file is none that is served (<see cref="ProblemId.ImageNotServable"/>), or
    /// the name is offered already (<see cref="ProblemId.NameTwice"/>).
    /// </exception>
    /// <exception cref="ObjectDisposedException">The server was disposed.</exception>
    public IDisposable Serve(string name, string path, IPAddress? only)
    {
        ServedName.Check(name);
        return _files.Add(name, ServedFile.Open(path, Those(only), _options.MostHeldBytes));
    }

    /// <summary>Offers an approved image by its file name until the result is disposed. What is sent is what was checked, or nothing.</summary>
    /// <param name="spec">What the baseline says of it.</param>
    /// <param name="folder">The folder that holds it.</param>
    /// <param name="only">The one address that may have it, or null for any.</param>
    /// <exception cref="PoeOpsException">
    /// As for any file; or it is not the approved one (<see cref="ProblemId.ImageWrongSize"/>, <see cref="ProblemId.ImageWrongDigest"/>).
    /// </exception>
    /// <exception cref="ObjectDisposedException">The server was disposed.</exception>
    public IDisposable Serve(ImageSpec spec, string folder, IPAddress? only)
    {
        ServedName.Check(spec.File);
        var file = ServedFile.Open(Path.Combine(folder, spec.File), Those(only), _options.MostHeldBytes);
        if (file.Check(spec).Problem is { } problem)
        {
            file.Dispose();
            throw new PoeOpsException(problem);
        }

        return _files.Add(spec.File, file);
    }

    /// <summary>Offers a file that was read already, until the result is disposed.</summary>
    internal IDisposable Serve(string name, ServedFile file) => _files.Add(name, file);

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
        }

        _port?.Dispose();
        _running.Stop();
        _files.Dispose();
        if (_listener is { } listener && listener != Thread.CurrentThread)
        {
            listener.Join(Patience);
        }
    }

    private static IPAddress[]? Those(IPAddress? only) => only is null ? null : [only];

    private void Listen()
    {
        byte[] buffer = new byte[2048];
        while (!_disposed)
        {
            try
            {
                int count = _port!.Receive(buffer, out IPEndPoint client, out IPAddress local);
                Handle(buffer, count, client, local);
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

    private void Handle(byte[] buffer, int count, IPEndPoint client, IPAddress local)
    {
        // Anything but a request is passed over: an answer to an ERROR could go to and fro between two servers for ever (RFC 1350 section 7).
        if (count < 2 || buffer[0] != 0 || (TftpOpcode)buffer[1] is not (TftpOpcode.ReadRequest or TftpOpcode.WriteRequest))
        {
            return;
        }

        if (TftpPacket.Read(buffer, count, out Problem? malformed) is not { } packet)
        {
            _port!.Tell(client, TftpErrorCode.IllegalOperation, "that request cannot be read");
            Note(client, string.Empty, malformed!);
        }
        else if (_files.Find(packet, client.Address, out TftpRefusal? refusal) is not { } file)
        {
            Refuse(client, packet.File, refusal!);
        }
        else if (!_running.IsAnswered(client, packet))
        {
            Begin(packet, file, client, local);
        }
    }

    private void Begin(TftpPacket request, ServedFile file, IPEndPoint client, IPAddress local)
    {
        try
        {
            if (!_running.TryRun(new TftpSending(request, file, new TransferPort(local, client), _options.Clock)))
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

    private void Refuse(IPEndPoint client, string file, TftpRefusal refusal)
    {
        _port!.Tell(client, refusal.Code, refusal.Text);
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
}
