using System.Net;

namespace PoeOps.Images;

/// <summary>
/// A TFTP server (RFC 1350, 2347, 2348, 2349, 7440) that offers named files to the clients that it was told of, from one local address, until it is disposed. It
/// reads every file when it begins; a name is never looked up on disk afterwards, and nothing is sent that was changed since.
/// </summary>
public sealed class ImageServer : IDisposable
{
    private static readonly List<ImageServer> Running = [];

    private readonly TftpServer _server;

    private ImageServer(TftpServer server, IReadOnlyList<string> files, IReadOnlyList<IPAddress> clients, DateTime startedUtc)
    {
        _server = server;
        Files = files;
        Clients = [.. clients.Select(client => client.ToString())];
        (Address, Port) = (server.Endpoint!.Address.ToString(), server.Endpoint.Port);
        StartedUtc = startedUtc;
    }

    /// <summary>The image servers of this process that have not ended.</summary>
    public static IReadOnlyList<ImageServer> All
    {
        get
        {
            lock (Running)
            {
                return [.. Running];
            }
        }
    }

    /// <summary>The local address that it listens at: the host that units are told.</summary>
    public string Address { get; }

    /// <summary>The UDP port that it listens at.</summary>
    public int Port { get; }

    /// <summary>The names that may be asked for.</summary>
    public IReadOnlyList<string> Files { get; }

    /// <summary>The addresses that may ask.</summary>
    public IReadOnlyList<string> Clients { get; }

    /// <summary>When it began, UTC.</summary>
    public DateTime StartedUtc { get; }

    /// <summary>True from its end on.</summary>
    public bool Ended { get; private set; }

    /// <summary>The requests that it has dealt with, refused ones as well, in the order of their ends; of very many the last 10000. They can be read after its end.</summary>
    public IReadOnlyList<TftpTransfer> Transfers => _server.Transfers;

    /// <summary>Starts a server.</summary>
    /// <param name="options">What it offers, to whom, and where.</param>
    /// <returns>The server, and what is not served.</returns>
    /// <exception cref="PoeOpsException">
    /// A client is not known, no one local address reaches them all, or the port cannot be had (<see cref="ProblemId.ClientUnknown"/>,
    /// <see cref="ProblemId.TftpCannotListen"/>).
    /// </exception>
    public static ImageServerResult Start(ImageServerOptions options)
    {
        IReadOnlyList<IPAddress> clients = ImageClients.Of(options.Clients);
        IPAddress bind = ImageClients.LocalAddress(options.Address, clients);
        List<Problem> problems = [];
        TftpServer server = new(new TftpServerOptions { Bind = bind, Port = options.Port, Clock = options.Clock });
        ImageServer? image = null;
        try
        {
            List<string> files = Offer(server, options, clients, problems);
            if (files.Count > 0)
            {
                server.Start();
                image = new ImageServer(server, files, clients, options.Clock.UtcNow);
            }
        }
        finally
        {
            if (image is null)
            {
                server.Dispose();
            }
        }

        if (image is not null)
        {
            lock (Running)
            {
                Running.Add(image);
            }
        }

        return new ImageServerResult(image, problems);
    }

    /// <summary>Ends the server; transfers that run are broken off, and their clients are told.</summary>
    public void Dispose()
    {
        lock (Running)
        {
            Running.Remove(this);
        }

        _server.Dispose();
        Ended = true;
    }

    private static List<string> Offer(TftpServer server, ImageServerOptions options, IReadOnlyList<IPAddress> clients, List<Problem> problems)
    {
        List<string> names = [];
        foreach (OfferedFile file in options.Paths.SelectMany(path => OfferedFile.At(path, options.Baseline, problems)))
        {
            try
            {
                server.Serve(file.Name, file.Open(clients));
                names.Add(file.Name);
            }
            catch (PoeOpsException exception)
            {
                problems.Add(exception.Problem);
            }
        }

        return names;
    }
}
