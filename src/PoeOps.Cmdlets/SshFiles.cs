using System.Globalization;
using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Images;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>
/// Files of servers over SSH, on the pipeline's thread alone. A server is held to a host key that was let pass before anybody logs in, like a switch.
/// </summary>
internal sealed class SshFiles : IDisposable
{
    private const string ReadAdvice = "Check the name, letter by letter, and whether the user may read it.";

    private readonly PoshSsh _module;
    private readonly HostKeyCheck _check;
    private readonly string? _keyFile;
    private readonly CancellationToken _cancel;
    private readonly string _folder = Path.Combine(Path.GetTempPath(), "poeops-" + Path.GetRandomFileName());
    private object? _session;
    private string _sessionOf = string.Empty;
    private Problem? _unreachable;

    /// <summary>Makes one; nothing is loaded yet.</summary>
    /// <param name="module">The user's SSH module.</param>
    /// <param name="check">Lets host keys pass, or not.</param>
    /// <param name="keyFile">The full path of a private key, or null to log in by password.</param>
    /// <param name="cancel">Ends a transfer.</param>
    public SshFiles(PoshSsh module, HostKeyCheck check, string? keyFile, CancellationToken cancel)
    {
        _module = module;
        _check = check;
        _keyFile = keyFile;
        _cancel = cancel;
    }

    /// <summary>Loads the module where nobody has yet.</summary>
    /// <param name="address">The server that wants it.</param>
    /// <exception cref="PoeOpsException">It is not there, or cannot be used (<see cref="ProblemId.SshModuleMissing"/>).</exception>
    public void Load(ImageAddress address) => _module.Load(PlaceOf(address));

    /// <summary>Fetches a file.</summary>
    /// <param name="address">The server.</param>
    /// <param name="file">The name of the file.</param>
    /// <param name="most">The most octets that are taken; a byte more is enough to see that it is too large.</param>
    /// <param name="credential">Who asks; with a key, its secret is the key's passphrase.</param>
    /// <returns>Where it lies until the next one is fetched, or this is disposed.</returns>
    /// <exception cref="PoeOpsException">The server's key did not pass, nobody could log in, or the file did not come (<see cref="ProblemId.ImageFetchFailed"/>).</exception>
    public string Fetch(ImageAddress address, string file, long most, PSCredential credential)
    {
        Directory.CreateDirectory(_folder);
        string path = Path.Combine(_folder, "image");
        File.Delete(path);
        object session = Session(address, credential);
        string failed = $"Fetching {address.Of(file)} failed";
        if (address.Scheme == "scp")
        {
            Copied(_module.CopyItem(PlaceOf(address), credential, _keyFile, (SeenKey)session, "/" + address.PathOf(file), path, _cancel), failed);
        }
        else
        {
            Copy(_module.OpenFile(session, "/" + address.PathOf(file), _cancel, out ErrorRecord? error) ?? throw Failed(failed, error), path, most, failed);
        }

        return File.Exists(path) ? path : throw Failed(failed, null);
    }

    /// <summary>Closes what is open, where the pipeline still takes commands.</summary>
    public void Close()
    {
        if (_session is { } session and not SeenKey)
        {
            _module.RemoveFiles(session);
        }

        _session = null;
    }

    /// <summary>Takes away what was fetched, and hangs up where <see cref="Close"/> was not reached.</summary>
    public void Dispose()
    {
        if (_session is { } session and not SeenKey)
        {
            (PSObject.AsPSObject(session).Properties["Session"]?.Value as IDisposable)?.Dispose();
        }

        _session = null;
        if (Directory.Exists(_folder))
        {
            Directory.Delete(_folder, recursive: true);
        }
    }

    // Every rule of a link to a switch holds for a file server.
    private static Switch PlaceOf(ImageAddress address) => new() { Name = address.Host, Address = address.Host, Port = address.Port, Link = LinkKind.Ssh };

    // A session for files; of a server by scp, which wants a connection a file, the key that it is held to. A host that failed is not tried again for each image.
    private object Session(ImageAddress address, PSCredential credential)
    {
        string of = string.Join(" ", address.Scheme, address.Host, address.Port.ToString(CultureInfo.InvariantCulture));
        if (_sessionOf != of)
        {
            Close();
            _sessionOf = of;
            try
            {
                _session = LogIn(address, credential);
            }
            catch (PoeOpsException exception)
            {
                _unreachable = exception.Problem;
                throw;
            }
        }

        return _session ?? throw new PoeOpsException(_unreachable!);
    }

    private object LogIn(ImageAddress address, PSCredential credential)
    {
        Switch place = PlaceOf(address);
        PoshSsh.DemandFile(place, _keyFile);
        SeenKey seen = _module.Probe.Look(place, _check.Known(place.Address, place.TcpPort), PoshSsh.Patience);
        _check.Demand(seen.Key);
        return address.Scheme == "scp" ? seen : _module.LogInForFiles(place, credential, _keyFile, seen);
    }

    private static PoeOpsException Failed(string failed, ErrorRecord? error) =>
        new(new Problem(ProblemId.ImageFetchFailed, $"{failed}: {PoshSsh.Why(error)}", ReadAdvice), error?.Exception);

    private static void Copied(ErrorRecord? error, string failed)
    {
        if (error is not null)
        {
            throw Failed(failed, error);
        }
    }

    private void Copy(Stream from, string path, long most, string failed)
    {
#pragma warning disable CA1031 // What a stream of the other module throws is known to that module alone.
        try
        {
            using (from)
            using (FileStream into = new(path, FileMode.CreateNew, FileAccess.Write))
            {
                byte[] buffer = new byte[1 << 16];
                for (int read = 1; read > 0 && into.Length <= most; into.Write(buffer, 0, read))
                {
                    _cancel.ThrowIfCancellationRequested();
                    read = from.Read(buffer, 0, buffer.Length);
                }
            }
        }
        catch (Exception exception)
        {
            throw new PoeOpsException(new Problem(ProblemId.ImageFetchFailed, $"{failed}: {SshProbe.OneSentence(exception.GetBaseException().Message)}", "Check the network between, and try again."), exception);
        }
#pragma warning restore CA1031
    }
}
