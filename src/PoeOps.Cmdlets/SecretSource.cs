using System.Management.Automation;
using System.Net;
using PoeOps.Estate;
using PoeOps.Rehearsal;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>The secrets for a switch: those given on the line, else those of the rehearsal that wrote the estate.</summary>
internal sealed class SecretSource
{
    private readonly LogInSecrets? _secrets;

    /// <summary>Takes the secrets of a command.</summary>
    /// <param name="estate">The estate that is read, or null.</param>
    /// <param name="credential">User and password, or null.</param>
    /// <param name="elevation">The secret for elevation in its password, or null.</param>
    public SecretSource(EstateMap? estate, PSCredential? credential, PSCredential? elevation)
    {
        if (credential is not null)
        {
            NetworkCredential plain = credential.GetNetworkCredential();
            _secrets = new LogInSecrets(credential.UserName, plain.Password, elevation?.GetNetworkCredential().Password);
        }
        else if (estate?.Rehearsal is not null && RunningRehearsal.Find(estate.SourcePath) is { } rehearsal)
        {
            _secrets = new LogInSecrets(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword);
        }
    }

    /// <summary>The secrets of a switch, or null where none were given.</summary>
    public LogInSecrets? Of(Switch place) => _secrets;
}
