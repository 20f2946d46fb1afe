using System.Management.Automation;
using Renci.SshNet;
using Renci.SshNet.Common;

namespace SSH;

/// <summary>An open session for files.</summary>
public sealed record SftpSession(SftpClient Session);

/// <summary>Opens a session for files.</summary>
[Cmdlet(VerbsCommon.New, "SFTPSession")]
[OutputType(typeof(SftpSession))]
public sealed class NewSftpSessionCommand : ConnectCommand
{
    protected override BaseClient Client(ConnectionInfo info) => new SftpClient(info);

    protected override void Use(BaseClient client) => WriteObject(new SftpSession((SftpClient)client));
}

/// <summary>Opens a file of a host.</summary>
[Cmdlet(VerbsCommon.New, "SFTPFileStream")]
[OutputType(typeof(Stream))]
public sealed class NewSftpFileStreamCommand : PSCmdlet
{
    [Parameter(Mandatory = true)]
    public SftpSession SFTPSession { get; set; } = null!;

    [Parameter(Mandatory = true)]
    public string Path { get; set; } = "";

    [Parameter(Mandatory = true)]
    public FileMode FileMode { get; set; }

    [Parameter(Mandatory = true)]
    public FileAccess FileAccess { get; set; }

    protected override void ProcessRecord()
    {
        try
        {
            WriteObject(SFTPSession.Session.Open(Path, FileMode, FileAccess));
        }
        catch (SshException exception)
        {
            WriteError(new ErrorRecord(exception, null, ErrorCategory.OpenError, Path));
        }
    }
}

/// <summary>Ends a session for files.</summary>
[Cmdlet(VerbsCommon.Remove, "SFTPSession")]
[OutputType(typeof(bool))]
public sealed class RemoveSftpSessionCommand : PSCmdlet
{
    [Parameter(Mandatory = true)]
    public SftpSession SFTPSession { get; set; } = null!;

    protected override void ProcessRecord()
    {
        SFTPSession.Session.Dispose();
        WriteObject(true);
    }
}

/// <summary>Copies a file from a host over a connection of its own.</summary>
[Cmdlet(VerbsCommon.Get, "SCPItem")]
public sealed class GetScpItemCommand : ConnectCommand
{
    [Parameter(Mandatory = true)]
    public string Path { get; set; } = "";

    [Parameter(Mandatory = true)]
    [ValidateSet("File")]
    public string PathType { get; set; } = "";

    [Parameter]
    [ValidateSet("ShellQuote")]
    public string PathTransformation { get; set; } = "";

    [Parameter(Mandatory = true)]
    public string Destination { get; set; } = "";

    [Parameter(Mandatory = true)]
    public string NewName { get; set; } = "";

    protected override BaseClient Client(ConnectionInfo info) => new ScpClient(info, RemotePathTransformation.ShellQuote);

    protected override void Use(BaseClient client)
    {
        using (client)
        {
            try
            {
                ((ScpClient)client).Download(Path, new FileInfo(System.IO.Path.Combine(Destination, NewName)));
            }
            catch (SshException exception)
            {
                WriteError(new ErrorRecord(exception, null, ErrorCategory.ReadError, Path));
            }
        }
    }
}
