using System.Net;

namespace PoeOps.Images;

/// <summary>The files that a server offers, by the names it was given. A name is looked up here and never on disk. Safe to use from any thread.</summary>
internal sealed class OfferedFiles : IDisposable
{
    private readonly Dictionary<string, ServedFile> _files = new(StringComparer.Ordinal);
    private readonly object _gate = new();
    private readonly IReadOnlyCollection<IPAddress> _clients;
    private bool _disposed;

    /// <summary>Nothing is offered yet.</summary>
    /// <param name="clients">The addresses that are served at all; empty for any.</param>
    public OfferedFiles(IReadOnlyCollection<IPAddress> clients) => _clients = clients;

    /// <summary>Offers a file until the result is disposed. The file is closed then, and at once where it cannot be offered.</summary>
    /// <exception cref="PoeOpsException">The name is offered already (<see cref="ProblemId.NameTwice"/>).</exception>
    /// <exception cref="ObjectDisposedException">The server was stopped.</exception>
    public IDisposable Add(string name, ServedFile file)
    {
        lock (_gate)
        {
            if (!_disposed && !_files.ContainsKey(name))
            {
                _files.Add(name, file);
                return new Offer(this, name, file);
            }
        }

        file.Dispose();
        throw _disposed
            ? new ObjectDisposedException(nameof(TftpServer))
            : new PoeOpsException(new Problem(ProblemId.NameTwice, $"A file is offered as '{name}' already.", "Wait for the other transfer to end, or offer it by another name."));
    }

    /// <summary>Looks up what a client asks for.</summary>
    /// <param name="request">Its request.</param>
    /// <param name="client">Its address.</param>
    /// <param name="refusal">Why it gets nothing, or null.</param>
    /// <returns>The file, or null.</returns>
    public ServedFile? Find(TftpPacket request, IPAddress client, out TftpRefusal? refusal)
    {
        refusal = TftpRefusal.OfKind(request);
        if (refusal is null && _clients.Count > 0 && !_clients.Any(one => HostAddress.IsSame(one, client)))
        {
            refusal = new TftpRefusal(TftpErrorCode.AccessViolation, "nothing is for this address", "Find out who asks: the server was told whom to serve.");
        }

        ServedFile? file = null;
        lock (_gate)
        {
            if (refusal is null && !_files.TryGetValue(request.File, out file))
            {
                refusal = new TftpRefusal(TftpErrorCode.FileNotFound, "no file of that name is offered", "Compare the name, letter by letter, with the one that is offered.");
            }
        }

        if (file is not null && !file.IsFor(client))
        {
            refusal = new TftpRefusal(TftpErrorCode.AccessViolation, "that file is not for this address", "Find out who asks: the file is offered to one unit.");
        }

        return refusal is null ? file : null;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_gate)
        {
            _disposed = true;
            foreach (ServedFile file in _files.Values)
            {
                file.Dispose();
            }

            _files.Clear();
        }
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

        file.Dispose();
    }

    private sealed class Offer(OfferedFiles files, string name, ServedFile file) : IDisposable
    {
        public void Dispose() => files.Withdraw(name, file);
    }
}

/// <summary>Why a request is refused: what the client is told, and what to do about it.</summary>
internal sealed record TftpRefusal(TftpErrorCode Code, string Text, string Advice)
{
    /// <summary>Why a request of this kind is refused whatever it asks for, or null: nothing is written, and nothing but octets is sent.</summary>
    public static TftpRefusal? OfKind(TftpPacket request) =>
        request.Opcode == TftpOpcode.WriteRequest
            ? new TftpRefusal(TftpErrorCode.AccessViolation, "nothing can be written here", "Let the client read, or use another server.")
        : request.Mode != "octet"
            ? new TftpRefusal(TftpErrorCode.IllegalOperation, $"mode {Files.Excerpt.Of(request.Mode)} would change an image; ask for octet", "Let the client ask for octet mode, also called binary.")
        : null;
}
