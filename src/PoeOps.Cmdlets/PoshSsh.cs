using System.Collections;
using System.Collections.Concurrent;
using System.Globalization;
using System.Management.Automation;
using System.Reflection;
using PoeOps.Estate;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>
/// SSH by the user's own Posh-SSH module, which is loaded when the first switch wants it. Everything here is called on the pipeline's thread, as that
/// module wants it; the streams that it gives may be used on any.
/// </summary>
internal sealed class PoshSsh
{
    private const string Module = "Posh-SSH";
    private static readonly Version Least = new(3, 0);
    private static readonly Version Most = new(3, 999);
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(15);

    private readonly SessionState _state;
    private readonly HostKeyCheck _check;
    private readonly string? _keyFile;
    private readonly GivenSessions _given;
    private readonly ConcurrentQueue<object> _closed = new();
    private SshProbe? _probe;

    /// <summary>Prepares; nothing is loaded yet.</summary>
    /// <param name="state">The session that the cmdlet runs in.</param>
    /// <param name="check">Lets host keys pass, or not.</param>
    /// <param name="keyFile">The full path of a private key, or null to log in by password.</param>
    /// <param name="given">Open sessions of the user's own.</param>
    public PoshSsh(SessionState state, HostKeyCheck check, string? keyFile, IEnumerable<PSObject> given)
    {
        _state = state;
        _check = check;
        _keyFile = keyFile;
        _given = new GivenSessions([.. given]);
    }

    /// <summary>Loads the module where nobody has yet.</summary>
    /// <param name="place">The switch that wants it.</param>
    /// <exception cref="PoeOpsException">It is not there, or cannot be used (<see cref="ProblemId.SshModuleMissing"/>).</exception>
    public PoshSsh Loaded(Switch place)
    {
        Load(place);
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
            throw NoUser(place);
        }

        return _keyFile is null || File.Exists(_keyFile)
            ? _probe!.Look(place, _check.Known(place.Address, place.TcpPort), Patience)
            : throw Problem(place, ProblemId.FileNotFound, $"The key file '{_keyFile}' does not exist.", "Give the path of a private key with -KeyFile.");
    }

    /// <summary>Opens a session, or takes one that was given, and a shell on it.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="credential">User and password, or the passphrase of the key; null where none was given.</param>
    /// <param name="seen">The key that the switch showed, or null for a session that was given.</param>
    /// <returns>The shell's stream; the session ends with it, except one that was given.</returns>
    /// <exception cref="PoeOpsException">No session could be opened.</exception>
    public Stream Open(Switch place, PSCredential? credential, SeenKey? seen)
    {
        Sweep();
        object session = seen is not null ? LogIn(place, credential!, seen) : _given.Find(place, mayOpen: false) ?? throw NoUser(place);
        bool isOurs = seen is not null;
        Stream? shell = null;
        try
        {
            shell = Shell(place, session);
            return new WatchedStream(shell, () => GivenSessions.IsConnected(session), () => Close(session, isOurs), _probe!.ReadsNothing);
        }
        finally
        {
            if (shell is null)
            {
                Close(session, isOurs);
            }
        }
    }

    /// <summary>Takes sessions that were closed from the module's list.</summary>
    public void Sweep()
    {
        while (_closed.TryDequeue(out object? session))
        {
            // It gives a word for each session, which is for nobody.
            _ = Invoke(@"Posh-SSH\Remove-SSHSession", new Hashtable { ["SSHSession"] = session }, out _);
        }
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

    // Nothing of the user's is sent before the key has passed; the session is then held to that very key.
    private object LogIn(Switch place, PSCredential credential, SeenKey seen)
    {
        _check.Demand(seen.Key);
        object store = Invoke(@"Posh-SSH\New-SSHMemoryKnownHost", [], out ErrorRecord? noStore).FirstOrDefault()?.BaseObject ?? throw Unusable(place, noStore);
        _ = PSObject.AsPSObject(store).Methods["SetKey"].Invoke(place.Address, seen.Name, seen.Md5);
        var parameters = new Hashtable
        {
            ["ComputerName"] = place.Address,
            ["Port"] = place.TcpPort,
            ["Credential"] = credential,
            ["KnownHost"] = store,
            ["ErrorOnUntrusted"] = true,
            ["ConnectionTimeout"] = (int)Patience.TotalSeconds,
        };
        if (_keyFile is not null)
        {
            parameters["KeyFile"] = WildcardPattern.Escape(_keyFile);
        }

        return Invoke(@"Posh-SSH\New-SSHSession", parameters, out ErrorRecord? error).FirstOrDefault()?.BaseObject ?? throw Refused(place, credential, error);
    }

    // As wide as the terminal that Telnet names, so that lines are not wrapped; no height, so that nothing is paged by it.
    private Stream Shell(Switch place, object session)
    {
        var parameters = new Hashtable { ["SSHSession"] = session, ["TerminalName"] = "dumb", ["Columns"] = 200, ["Rows"] = 0, ["Width"] = 0, ["Height"] = 0 };
        return Invoke(@"Posh-SSH\New-SSHShellStream", parameters, out ErrorRecord? error).FirstOrDefault()?.BaseObject as Stream
            ?? throw Problem(place, ProblemId.ConnectFailed, $"The SSH session to {Place(place)} gives no shell: {Why(error)}", "Check that the switch lets this user have one.");
    }

    private void Load(Switch place)
    {
        if (_probe is not null)
        {
            return;
        }

        PSModuleInfo[] loaded = Modules(Invoke("Microsoft.PowerShell.Core\\Get-Module", new Hashtable { ["Name"] = Module }, out _));
        PSModuleInfo? found = loaded.FirstOrDefault(IsUsable);
        if (found is null && loaded.Length > 0)
        {
            throw Missing(place, $"version {loaded[0].Version} is loaded");
        }

        var wanted = new Hashtable { ["Name"] = Module, ["MinimumVersion"] = Least, ["MaximumVersion"] = Most.ToString(), ["Scope"] = "Global", ["PassThru"] = true };
        ErrorRecord? error = null;
        found ??= Modules(Invoke("Microsoft.PowerShell.Core\\Import-Module", wanted, out error)).FirstOrDefault();
        Type? cmdlet = found is not null && found.ExportedCmdlets.TryGetValue("New-SSHSession", out CmdletInfo? info) ? info.ImplementingType : null;
        Type? client = cmdlet?.Assembly.GetType("SSH.SshSession")?.GetField("Session")?.FieldType;
        bool isThere = found is not null || error?.Exception is not FileNotFoundException;
        _probe = client is not null ? new SshProbe(client) : throw Missing(place, !isThere ? "it is not installed" : error is null ? "what is loaded under its name is another" : $"it does not load: {Why(error).TrimEnd('.')}");
    }

    private static bool IsUsable(PSModuleInfo module) => module.Version >= Least && module.Version <= Most;

    private static PSModuleInfo[] Modules(IEnumerable<PSObject> found) => [.. found.Select(one => one.BaseObject).OfType<PSModuleInfo>()];

    private static PoeOpsException Missing(Switch place, string why) => Problem(
        place, ProblemId.SshModuleMissing,
        $"SSH to {Place(place)} needs the module Posh-SSH, version 3.0 or later and before 4.0, and {why}.",
        "Install it with 'Install-Module Posh-SSH -MaximumVersion 3.999 -Scope CurrentUser'; for a jump host without internet, save it elsewhere with 'Save-Module Posh-SSH -MaximumVersion 3.999 -Path .' and copy the folder Posh-SSH into a folder of $env:PSModulePath.");

    private static PoeOpsException NoUser(Switch place) =>
        Problem(place, ProblemId.SecretMissing, $"SSH to {Place(place)} needs a user, and no credential was given.", "Give -Credential, or -CredentialMap with the credential that the estate names; with -KeyFile its password is the key's passphrase.");

    private PoeOpsException Refused(Switch place, PSCredential credential, ErrorRecord? error)
    {
        Exception? cause = Cause(error);
        string kind = cause?.GetType().FullName ?? string.Empty;
        bool isNet = kind.StartsWith("System.Net.", StringComparison.Ordinal) || kind.EndsWith("SshConnectionException", StringComparison.Ordinal) || kind.EndsWith("SshOperationTimeoutException", StringComparison.Ordinal);
        if (kind.EndsWith("SshAuthenticationException", StringComparison.Ordinal))
        {
            return Problem(place, ProblemId.LogInRefused, $"The SSH server at {Place(place)} refused the log-in of '{credential.UserName}': {Why(error)}", "Check user and password, or the key; a locked account may need some minutes.");
        }

        return _keyFile is not null && !isNet
            ? Problem(place, ProblemId.KeyFileUnusable, $"The key file '{_keyFile}' cannot be used: {Why(error)}", "Give an OpenSSH private key with -KeyFile, and its passphrase as the password of the credential.")
            : Problem(place, ProblemId.ConnectFailed, $"No SSH session to {Place(place)}: {Why(error)}", "Check address, port and kind of link in the estate, and that the switch has a session free.");
    }

    private static PoeOpsException Unusable(Switch place, ErrorRecord? error) => Missing(place, $"what is loaded cannot be used: {Why(error).TrimEnd('.')}");

    private static PoeOpsException Problem(Switch place, ProblemId id, string sentence, string advice) => new(new Problem(id, sentence, advice) { Target = place.Name });

    private static string Place(Switch place) => $"{place.Address} port {place.TcpPort.ToString(CultureInfo.InvariantCulture)}";

    private static Exception? Cause(ErrorRecord? error)
    {
        Exception? cause = error?.Exception;
        while (cause is CmdletInvocationException or MethodInvocationException or TargetInvocationException or AggregateException && cause.InnerException is { } inner)
        {
            cause = inner;
        }

        return cause;
    }

    private static string Why(ErrorRecord? error) => SshProbe.OneSentence(Cause(error)?.Message ?? "it says nothing");

    private PSObject[] Invoke(string command, Hashtable parameters, out ErrorRecord? error)
    {
        using var shell = PowerShell.Create(RunspaceMode.CurrentRunspace);
        shell.AddCommand(command).AddParameters(parameters).AddParameter("ErrorAction", ActionPreference.Continue);
        PSObject[] result = [];
        try
        {
            result = [.. shell.Invoke()];
            error = shell.Streams.Error.FirstOrDefault();
        }
        catch (RuntimeException exception) when (exception is not PipelineStoppedException)
        {
            error = exception.ErrorRecord;
        }

        Forget(error);
        return result;
    }

    // The session's list of errors would keep the client of a failed log-in, and with it what it was to log in with.
    private void Forget(ErrorRecord? error)
    {
        if (error is not null && _state.PSVariable.GetValue("global:Error") is ArrayList errors)
        {
            foreach (object entry in errors.Cast<object>().Where(entry => entry == error || (entry as ErrorRecord)?.Exception == error.Exception || entry == error.Exception).ToArray())
            {
                errors.Remove(entry);
            }
        }
    }
}
