using System.Collections.Concurrent;
using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>Shells on switches over SSH: sessions that the user gave, else sessions of our own, each held to a host key that was let pass before anybody logs in.</summary>
internal sealed class SshSessions
{
    private readonly PoshSsh _module;
    private readonly HostKeyCheck _check;
    private readonly string? _keyFile;
    private readonly GivenSessions _given;
    private readonly ConcurrentQueue<object> _closed = new();

    /// <summary>Prepares; nothing is loaded yet.</summary>
    /// <param name="module">The user's SSH module.</param>
    /// <param name="check">Lets host keys pass, or not.</param>
    /// <param name="keyFile">The full path of a private key, or null to log in by password.</param>
    /// <param name="given">Open sessions of the user's own.</param>
    public SshSessions(PoshSsh module, HostKeyCheck check, string? keyFile, IEnumerable<PSObject> given)
    {
        _module = module;
        _check = check;
        _keyFile = keyFile;
        _given = new GivenSessions([.. given]);
    }

    /// <summary>Loads the module where nobody has yet; on the pipeline's thread.</summary>
    /// <param name="place">The switch that wants it.</param>
    /// <exception cref="PoeOpsException">It is not there, or cannot be used (<see cref="ProblemId.SshModuleMissing"/>).</exception>
    public SshSessions Loaded(Switch place)
    {
        _module.Load(place);
        return this;
    }

    /// <summary>Looks at the key that a switch shows, on whichever thread: a switch that does not answer holds nobody else up.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="credential">User and password, or the passphrase of the key; null where none was given.</param>
    /// <returns>The key; null where a session was given, which is held to a key already.</returns>
    /// <exception cref="PoeOpsException">The switch shows none, or nobody could log in to it.</exception>
    public SeenKey? Look(Switch place, PSCredential? credential)
    {
        if (_given.Find(place, mayOpen: credential is not null) is not null)
        {
            return null;
        }

        if (credential is null)
        {
            throw PoshSsh.NoUser(place);
        }

        PoshSsh.DemandFile(place, _keyFile);
        return _module.Probe.Look(place, _check.Known(place.Address, place.TcpPort), PoshSsh.Patience);
    }

    /// <summary>Opens a session, or takes one that was given, and a shell on it; on the pipeline's thread. The stream may be used on any.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="credential">User and password, or the passphrase of the key; null where none was given.</param>
    /// <param name="seen">The key that the switch showed, or null for a session that was given.</param>
    /// <returns>The shell's stream; the session ends with it, except one that was given.</returns>
    /// <exception cref="PoeOpsException">No session could be opened.</exception>
    public Stream Open(Switch place, PSCredential? credential, SeenKey? seen)
    {
        Sweep();
        bool isOurs = seen is not null;
        object session = isOurs ? LogIn(place, credential!, seen!) : _given.Find(place, mayOpen: false) ?? throw PoshSsh.NoUser(place);
        Stream? shell = null;
        try
        {
            shell = _module.Shell(place, session);
            return new WatchedStream(shell, () => GivenSessions.IsConnected(session), () => Close(session, isOurs), _module.Probe.ReadsNothing);
        }
        finally
        {
            if (shell is null)
            {
                Close(session, isOurs);
            }
        }
    }

    /// <summary>Takes sessions that were closed from the module's list; on the pipeline's thread.</summary>
    public void Sweep()
    {
        while (_closed.TryDequeue(out object? session))
        {
            _module.Remove(session);
        }
    }

    // Nothing of the user's is sent before the key has passed; the session is then held to that very key.
    private object LogIn(Switch place, PSCredential credential, SeenKey seen)
    {
        _check.Demand(seen.Key);
        return _module.LogIn(place, credential, _keyFile, seen);
    }

    // The session says good-bye by itself; a peer that takes nothing may keep this thread, but nobody waits for it.
    private void Close(object session, bool isOurs)
    {
        if (isOurs)
        {
            SshProbe.Disconnect(session);
            _closed.Enqueue(session);
        }
    }
}
