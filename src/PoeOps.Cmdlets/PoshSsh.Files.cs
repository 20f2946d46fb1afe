using System.Collections.ObjectModel;
using System.Globalization;
using System.Management.Automation;
using PoeOps.Images;

namespace PoeOps.Cmdlets;

/// <summary>
/// Files over SSH, by the user's own Posh-SSH, which is loaded when it is needed; nothing of it ships with this module. Used on
/// the pipeline's thread alone. A host's key is never taken unseen: one that is not trusted yet is an error.
/// </summary>
internal sealed class PoshSshFiles : IDisposable
{
    private const string Name = "Posh-SSH";
    private const int ConnectSeconds = 10;
    private const int SilenceSeconds = 30;

    // Version 4 gives parameters other names.
    private static readonly Version Oldest = new(3, 0);
    private static readonly Version Newest = new(3, 999);

    private readonly CancellationToken _cancel;
    private readonly string _folder = Path.Combine(Path.GetTempPath(), "poeops-" + Path.GetRandomFileName());
    private PSObject? _session;
    private string _sessionOf = string.Empty;
    private Problem? _unreachable;

    /// <summary>Makes one; nothing is loaded yet.</summary>
    /// <param name="cancel">Ends a transfer.</param>
    public PoshSshFiles(CancellationToken cancel) => _cancel = cancel;

    /// <summary>Loads the module, once a session of PowerShell.</summary>
    /// <exception cref="PoeOpsException">It is not there, or of no version that is known (<see cref="ProblemId.SshModuleMissing"/>).</exception>
    public void Load()
    {
        Version[] loaded = Versions(false);
        if (loaded.Any(IsKnown))
        {
            return;
        }

        Version[] installed = loaded.Length > 0 ? loaded : Versions(true);
        if (loaded.Length > 0 || !installed.Any(IsKnown))
        {
            string found = installed.Length == 0 ? "it is not installed here" : $"{(loaded.Length > 0 ? "loaded" : "installed")} here is {string.Join(" and ", installed.Distinct().Select(one => one.ToString()))}";
            throw new PoeOpsException(new Problem(
                ProblemId.SshModuleMissing, $"sftp and scp need the module {Name}, version 3.0 to 3.999, and {found}.",
                $"With internet: Install-Module {Name} -MaximumVersion 3.999 -Scope CurrentUser; for a jump host without: Save-Module {Name} -MaximumVersion 3.999 -Path .\\saved on a machine that has it, and copy the folder {Name} in it into a folder of $env:PSModulePath here."));
        }

        using PowerShell import = Here().AddCommand("Import-Module").AddParameter("Name", Name).AddParameter("MinimumVersion", Oldest).AddParameter("MaximumVersion", Newest.ToString());
        Call(import, ProblemId.SshModuleMissing, $"The module {Name} could not be loaded", "Import it by hand and see what it says.");
    }

    /// <summary>Fetches a file.</summary>
    /// <param name="address">The server.</param>
    /// <param name="file">The name of the file.</param>
    /// <param name="most">The most octets that are taken; a byte more is enough to see that it is too large.</param>
    /// <param name="credential">Who asks.</param>
    /// <param name="keyFile">A private key, whose passphrase is then the credential's secret; or null.</param>
    /// <returns>Where it lies until the next one is fetched, or this is disposed.</returns>
    /// <exception cref="PoeOpsException">It did not come (<see cref="ProblemId.ImageFetchFailed"/>).</exception>
    public string Fetch(ImageAddress address, string file, long most, PSCredential credential, string? keyFile)
    {
        Directory.CreateDirectory(_folder);
        string path = Path.Combine(_folder, "image");
        File.Delete(path);
        if (address.Scheme == "scp")
        {
            // In quotes: the far end hands the path to a shell.
            using PowerShell get = Connecting("Get-SCPItem", address, credential, keyFile).AddParameter("Path", "/" + address.PathOf(file))
                .AddParameter("PathType", "File").AddParameter("PathTransformation", "ShellQuote").AddParameter("Destination", _folder).AddParameter("NewName", "image");
            Call(get, ProblemId.ImageFetchFailed, Failed(address, file), ConnectAdvice);
        }
        else
        {
            using PowerShell open = Here().AddCommand($"{Name}\\New-SFTPFileStream").AddParameter("SFTPSession", Session(address, credential, keyFile)).AddParameter("Path", "/" + address.PathOf(file))
                .AddParameter("FileMode", "Open").AddParameter("FileAccess", "Read");
            Collection<PSObject> opened = Call(open, ProblemId.ImageFetchFailed, Failed(address, file), "Check the name, letter by letter, and whether the user may read it.");
            Copy((Stream)opened.Single().BaseObject, path, most, Failed(address, file));
        }

        return File.Exists(path) ? path : throw new PoeOpsException(new Problem(ProblemId.ImageFetchFailed, Failed(address, file) + ".", ConnectAdvice));
    }

    /// <summary>Closes what is open, where the pipeline still takes commands.</summary>
    public void Close()
    {
        if (_session is { } session)
        {
            using PowerShell close = Here().AddCommand($"{Name}\\Remove-SFTPSession").AddParameter("SFTPSession", session);
            _session = null;
            close.Invoke();
        }
    }

    /// <summary>Takes away what was fetched, and hangs up where <see cref="Close"/> was not reached.</summary>
    public void Dispose()
    {
        (_session?.Properties["Session"]?.Value as IDisposable)?.Dispose();
        _session = null;
        if (Directory.Exists(_folder))
        {
            Directory.Delete(_folder, recursive: true);
        }
    }

    private static string ConnectAdvice =>
        "Check user, secret and network; where the host's key is not trusted yet, compare what Get-SSHHostKey shows with the server's own, and keep it with New-SSHTrustedHost.";

    private static string Failed(ImageAddress address, string file) => $"Fetching {address.Of(file)} failed";

    private static bool IsKnown(Version version) => version >= Oldest && version <= Newest;

    private static PowerShell Here() => PowerShell.Create(RunspaceMode.CurrentRunspace);

    private static Version[] Versions(bool installed)
    {
        using PowerShell list = Here().AddCommand("Get-Module").AddParameter("Name", Name).AddParameter("ListAvailable", installed);
        return [.. list.Invoke().Select(one => ((PSModuleInfo)one.BaseObject).Version)];
    }

    private static PowerShell Connecting(string command, ImageAddress address, PSCredential credential, string? keyFile)
    {
        PowerShell connect = Here().AddCommand($"{Name}\\{command}").AddParameter("ComputerName", address.Host).AddParameter("Port", address.Port).AddParameter("Credential", credential)
            .AddParameter("ConnectionTimeout", ConnectSeconds).AddParameter("OperationTimeout", SilenceSeconds).AddParameter("ErrorOnUntrusted");
        return keyFile is null ? connect : connect.AddParameter("KeyFile", keyFile);
    }

    // A host that did not take the first connection is not tried again for each image.
    private PSObject Session(ImageAddress address, PSCredential credential, string? keyFile)
    {
        string of = string.Join(" ", address.Host, address.Port.ToString(CultureInfo.InvariantCulture));
        if (_sessionOf == of)
        {
            return _session ?? throw new PoeOpsException(_unreachable!);
        }

        Close();
        _sessionOf = of;
        string failed = $"Connecting to {address.Host} at port {address.Port.ToString(CultureInfo.InvariantCulture)} failed";
        _unreachable = new Problem(ProblemId.ImageFetchFailed, failed + " before.", ConnectAdvice);
        using PowerShell connect = Connecting("New-SFTPSession", address, credential, keyFile);
        _session = Call(connect, ProblemId.ImageFetchFailed, failed, ConnectAdvice).SingleOrDefault();
        return _session ?? throw new PoeOpsException(_unreachable);
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
            throw new PoeOpsException(new Problem(ProblemId.ImageFetchFailed, $"{failed}: {Line(exception)}.", "Check the network between, and try again."), exception);
        }
#pragma warning restore CA1031
    }

    private Collection<PSObject> Call(PowerShell command, ProblemId id, string what, string advice)
    {
        Exception trouble;
        try
        {
            // Whatever the caller's preference is, an error is looked at here.
            using CancellationTokenRegistration stop = _cancel.Register(command.Stop);
            Collection<PSObject> given = command.AddParameter("ErrorAction", ActionPreference.Continue).Invoke();
            if (command.Streams.Error.Count == 0)
            {
                return given;
            }

            trouble = command.Streams.Error[0].Exception;
        }
        catch (PipelineStoppedException)
        {
            throw;
        }
        catch (RuntimeException exception)
        {
            trouble = exception;
        }

        throw new PoeOpsException(new Problem(id, $"{what}: {Line(trouble)}.", advice), trouble);
    }

    // What wraps it speaks of PowerShell's own calls.
    private static string Line(Exception exception) => string.Join(" ", exception.GetBaseException().Message.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries)).TrimEnd('.', ' ');
}
