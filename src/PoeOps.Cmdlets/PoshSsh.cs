using System.Collections;
using System.Globalization;
using System.Management.Automation;
using System.Reflection;
using PoeOps.Estate;

namespace PoeOps.Cmdlets;

/// <summary>
/// The user's own Posh-SSH module, which is loaded when the first host wants it; nothing of it ships with this one. Everything here is called on the
/// pipeline's thread, as that module wants it.
/// </summary>
internal sealed class PoshSsh
{
    private const string Module = "Posh-SSH";
    private static readonly Version Least = new(3, 0);
    private static readonly Version Most = new(3, 999);

    private readonly SessionState _state;
    private SshProbe? _probe;

    /// <summary>Prepares; nothing is loaded yet.</summary>
    /// <param name="state">The session that the cmdlet runs in.</param>
    public PoshSsh(SessionState state) => _state = state;

    /// <summary>How long a host may take to answer.</summary>
    public static TimeSpan Patience { get; } = TimeSpan.FromSeconds(15);

    /// <summary>Looks at host keys; there once the module is loaded.</summary>
    public SshProbe Probe => _probe ?? throw new InvalidOperationException("The module is not loaded.");

    /// <summary>Loads the module where nobody has yet.</summary>
    /// <param name="place">The host that wants it.</param>
    /// <exception cref="PoeOpsException">It is not there, of another version, or cannot be used (<see cref="ProblemId.SshModuleMissing"/>).</exception>
    public void Load(Switch place)
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

    /// <summary>Opens a session for shells.</summary>
    /// <param name="place">The host.</param>
    /// <param name="credential">User and password, or the passphrase of the key.</param>
    /// <param name="keyFile">The full path of a private key, or null to log in by password.</param>
    /// <param name="seen">The key that the host is held to.</param>
    /// <exception cref="PoeOpsException">Nobody could log in (<see cref="ProblemId.LogInRefused"/>, <see cref="ProblemId.KeyFileUnusable"/>, <see cref="ProblemId.ConnectFailed"/>).</exception>
    public object LogIn(Switch place, PSCredential credential, string? keyFile, SeenKey seen) => LogIn("New-SSHSession", place, credential, keyFile, seen);

    /// <summary>Opens a session for files; as <see cref="LogIn(Switch, PSCredential, string?, SeenKey)"/>.</summary>
    public object LogInForFiles(Switch place, PSCredential credential, string? keyFile, SeenKey seen) => LogIn("New-SFTPSession", place, credential, keyFile, seen);

    /// <summary>Takes a session for shells from the module's list.</summary>
    /// <remarks>The module gives a word for each session, which is for nobody.</remarks>
    public void Remove(object session) => _ = Invoke(@"Posh-SSH\Remove-SSHSession", new Hashtable { ["SSHSession"] = session }, out _);

    /// <summary>Closes a session for files.</summary>
    public void RemoveFiles(object session) => _ = Invoke(@"Posh-SSH\Remove-SFTPSession", new Hashtable { ["SFTPSession"] = session }, out _);

    /// <summary>Opens a shell: as wide as the terminal that Telnet names, so that lines are not wrapped; without height, so that nothing is paged by it.</summary>
    /// <exception cref="PoeOpsException">The host gives none (<see cref="ProblemId.ConnectFailed"/>).</exception>
    public Stream Shell(Switch place, object session)
    {
        var parameters = new Hashtable { ["SSHSession"] = session, ["TerminalName"] = "dumb", ["Columns"] = 200, ["Rows"] = 0, ["Width"] = 0, ["Height"] = 0 };
        return Invoke(@"Posh-SSH\New-SSHShellStream", parameters, out ErrorRecord? error).FirstOrDefault()?.BaseObject as Stream
            ?? throw Problem(place, ProblemId.ConnectFailed, $"The SSH session to {Place(place)} gives no shell: {Why(error)}", "Check that the switch lets this user have one.");
    }

    /// <summary>Opens a file of a host for reading.</summary>
    /// <param name="session">A session for files.</param>
    /// <param name="path">Its path there.</param>
    /// <param name="cancel">Ends the call.</param>
    /// <param name="error">Why it was not opened.</param>
    public Stream? OpenFile(object session, string path, CancellationToken cancel, out ErrorRecord? error)
    {
        var parameters = new Hashtable { ["SFTPSession"] = session, ["Path"] = path, ["FileMode"] = FileMode.Open, ["FileAccess"] = FileAccess.Read };
        return Invoke(@"Posh-SSH\New-SFTPFileStream", parameters, out error, cancel).FirstOrDefault()?.BaseObject as Stream;
    }

    /// <summary>Copies a file from a host over a connection of its own.</summary>
    /// <param name="place">The host.</param>
    /// <param name="credential">User and password, or the passphrase of the key.</param>
    /// <param name="keyFile">The full path of a private key, or null to log in by password.</param>
    /// <param name="seen">The key that the host is held to.</param>
    /// <param name="from">Its path there, which is quoted: the far end hands it to a shell.</param>
    /// <param name="to">The full path of the copy, which must not exist.</param>
    /// <param name="cancel">Ends the call.</param>
    /// <returns>What went wrong, or null.</returns>
    /// <exception cref="PoeOpsException">Nobody could log in (<see cref="ProblemId.LogInRefused"/>).</exception>
    public ErrorRecord? CopyItem(Switch place, PSCredential credential, string? keyFile, SeenKey seen, string from, string to, CancellationToken cancel)
    {
        Hashtable parameters = Connecting(place, credential, keyFile, seen);
        parameters["Path"] = from;
        parameters["PathType"] = "File";
        parameters["PathTransformation"] = "ShellQuote";
        parameters["Destination"] = Path.GetDirectoryName(to);
        parameters["NewName"] = Path.GetFileName(to);
        _ = Invoke(@"Posh-SSH\Get-SCPItem", parameters, out ErrorRecord? error, cancel);
        return Kind(error).EndsWith("SshAuthenticationException", StringComparison.Ordinal) ? throw Refused(place, credential, keyFile, error) : error;
    }

    /// <summary>The problem of a host to which nobody can log in.</summary>
    public static PoeOpsException NoUser(Switch place) =>
        Problem(place, ProblemId.SecretMissing, $"SSH to {Place(place)} needs a user, and no credential was given.", "Give -Credential, or -CredentialMap with the credential that the estate names; with -KeyFile its password is the key's passphrase.");

    /// <summary>Throws where a key file was named that is not there.</summary>
    /// <exception cref="PoeOpsException"><see cref="ProblemId.FileNotFound"/>.</exception>
    public static void DemandFile(Switch place, string? keyFile)
    {
        if (keyFile is not null && !File.Exists(keyFile))
        {
            throw Problem(place, ProblemId.FileNotFound, $"The key file '{keyFile}' does not exist.", "Give the path of a private key with -KeyFile.");
        }
    }

    /// <summary>The cause of an error as the end of a sentence.</summary>
    public static string Why(ErrorRecord? error) => SshProbe.OneSentence(Cause(error)?.Message ?? "it says nothing");

    private object LogIn(string command, Switch place, PSCredential credential, string? keyFile, SeenKey seen) =>
        Invoke($@"{Module}\{command}", Connecting(place, credential, keyFile, seen), out ErrorRecord? error).FirstOrDefault()?.BaseObject ?? throw Refused(place, credential, keyFile, error);

    // The module's own list of keys is not asked: it knows no ports, and is not locked.
    private Hashtable Connecting(Switch place, PSCredential credential, string? keyFile, SeenKey seen)
    {
        object store = Invoke(@"Posh-SSH\New-SSHMemoryKnownHost", [], out ErrorRecord? noStore).FirstOrDefault()?.BaseObject
            ?? throw Missing(place, $"what is loaded cannot be used: {Why(noStore).TrimEnd('.')}");
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
        if (keyFile is not null)
        {
            parameters["KeyFile"] = WildcardPattern.Escape(keyFile);
        }

        return parameters;
    }

    private static bool IsUsable(PSModuleInfo module) => module.Version >= Least && module.Version <= Most;

    private static PSModuleInfo[] Modules(IEnumerable<PSObject> found) => [.. found.Select(one => one.BaseObject).OfType<PSModuleInfo>()];

    private static PoeOpsException Missing(Switch place, string why) => Problem(
        place, ProblemId.SshModuleMissing,
        $"SSH to {Place(place)} needs the module Posh-SSH, version 3.0 or later and before 4.0, and {why}.",
        "Install it with 'Install-Module Posh-SSH -MaximumVersion 3.999 -Scope CurrentUser'; for a jump host without internet, save it elsewhere with 'Save-Module Posh-SSH -MaximumVersion 3.999 -Path .' and copy the folder Posh-SSH into a folder of $env:PSModulePath.");

    private static PoeOpsException Refused(Switch place, PSCredential credential, string? keyFile, ErrorRecord? error)
    {
        string kind = Kind(error);
        bool isNet = kind.StartsWith("System.Net.", StringComparison.Ordinal) || kind.EndsWith("SshConnectionException", StringComparison.Ordinal) || kind.EndsWith("SshOperationTimeoutException", StringComparison.Ordinal);
        if (kind.EndsWith("SshAuthenticationException", StringComparison.Ordinal))
        {
            return Problem(place, ProblemId.LogInRefused, $"The SSH server at {Place(place)} refused the log-in of '{credential.UserName}': {Why(error)}", "Check user and password, or the key; a locked account may need some minutes.");
        }

        return keyFile is not null && !isNet
            ? Problem(place, ProblemId.KeyFileUnusable, $"The key file '{keyFile}' cannot be used: {Why(error)}", "Give an OpenSSH private key with -KeyFile, and its passphrase as the password of the credential.")
            : Problem(place, ProblemId.ConnectFailed, $"No SSH session to {Place(place)}: {Why(error)}", "Check address, port and kind of link in the estate, and that the switch has a session free.");
    }

    private static PoeOpsException Problem(Switch place, ProblemId id, string sentence, string advice) => new(new Problem(id, sentence, advice) { Target = place.Name });

    private static string Place(Switch place) => $"{place.Address} port {place.TcpPort.ToString(CultureInfo.InvariantCulture)}";

    private static string Kind(ErrorRecord? error) => Cause(error)?.GetType().FullName ?? string.Empty;

    private static Exception? Cause(ErrorRecord? error)
    {
        Exception? cause = error?.Exception;
        while (cause is CmdletInvocationException or MethodInvocationException or TargetInvocationException or AggregateException && cause.InnerException is { } inner)
        {
            cause = inner;
        }

        return cause;
    }

    private PSObject[] Invoke(string command, Hashtable parameters, out ErrorRecord? error, CancellationToken cancel = default)
    {
        using var shell = PowerShell.Create(RunspaceMode.CurrentRunspace);
        shell.AddCommand(command).AddParameters(parameters).AddParameter("ErrorAction", ActionPreference.Continue);
        PSObject[] result = [];
        try
        {
            using CancellationTokenRegistration stop = cancel.Register(shell.Stop);
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
