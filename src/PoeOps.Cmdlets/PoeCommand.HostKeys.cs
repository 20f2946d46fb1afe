using System.Management.Automation;
using System.Management.Automation.Host;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>The part that asks whoever watches about host keys.</summary>
public abstract partial class PoeCommand
{
    /// <summary>Makes a check of SSH servers' host keys.</summary>
    /// <param name="path">The file that keeps them, as it stands on the line; null for this user's own.</param>
    /// <param name="trustNew">True to accept unknown keys without asking.</param>
    private protected HostKeyCheck HostKeys(string? path, bool trustNew) =>
        new(new HostKeyFile(path is null ? HostKeyFile.DefaultPath() : FilePath(path)), AskHostKey, Tell) { TrustNew = trustNew, KeepsNothing = IsWhatIf };

    private bool? AskHostKey(string question)
    {
        if (!IsAttended || Stopped.IsCancellationRequested)
        {
            return null;
        }

        try
        {
            return ShouldContinue(question, "A host key that is not known");
        }
        catch (Exception exception) when (exception is HostException or PSInvalidOperationException or NotImplementedException)
        {
            // A host that cannot ask has nobody who could answer.
            return null;
        }
    }

    /// <summary>Warns, also when the pipeline was stopped and takes nothing any more.</summary>
    private protected void Tell(string line)
    {
        if (Stopped.IsCancellationRequested)
        {
            WarnHost(line);
        }
        else
        {
            WriteWarning(line);
        }
    }
}
