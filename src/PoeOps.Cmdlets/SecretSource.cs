using System.Collections;
using System.Collections.Concurrent;
using System.Management.Automation;
using PoeOps.Estate;
using PoeOps.Rehearsal;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets;

/// <summary>
/// The secrets for a switch: those that the map has for the credential that the estate names, else those given on the line, else those of the rehearsal that
/// wrote the estate.
/// </summary>
internal sealed class SecretSource
{
    private readonly EstateMap? _estate;
    private readonly LinkCommand _given;
    private readonly Func<Func<PSCredential?>, PSCredential?> _onPipeline;
    private readonly ConcurrentDictionary<string, PSCredential?> _mapped = new(StringComparer.Ordinal);

    /// <summary>Takes the secrets of a command.</summary>
    /// <param name="estate">The estate that is read, or null.</param>
    /// <param name="given">What stands on the line.</param>
    /// <param name="onPipeline">Has something done on the pipeline's thread; null where the caller is on it.</param>
    public SecretSource(EstateMap? estate, LinkCommand given, Func<Func<PSCredential?>, PSCredential?>? onPipeline = null)
    {
        _estate = estate;
        _given = given;
        _onPipeline = onPipeline ?? (turn => turn());
    }

    /// <summary>The secrets of a switch, or null where none were given.</summary>
    /// <exception cref="PoeOpsException">The map fails (<see cref="ProblemId.SecretMissing"/>).</exception>
    public LogInSecrets? Of(Switch place)
    {
        string? elevation = _given.ElevationCredential?.GetNetworkCredential().Password;
        if (CredentialOf(place) is { } credential)
        {
            string password = credential.GetNetworkCredential().Password;
            return place.Link == LinkKind.Ssh && _given.KeyFile is not null
                ? new LogInSecrets(credential.UserName, null, elevation, passphrase: password)
                : new LogInSecrets(credential.UserName, password, elevation);
        }

        return _estate?.Rehearsal is not null && RunningRehearsal.Find(_estate.SourcePath) is { } rehearsal
            ? new LogInSecrets(rehearsal.User, rehearsal.Password, rehearsal.ElevationPassword)
            : elevation is null ? null : new LogInSecrets(null, null, elevation);
    }

    /// <summary>The credential of a switch, or null.</summary>
    /// <exception cref="PoeOpsException">The map fails (<see cref="ProblemId.SecretMissing"/>).</exception>
    public PSCredential? CredentialOf(Switch place)
    {
        if (_given.CredentialMap is not { } map || place.Credential.Length == 0)
        {
            return _given.Credential;
        }

        if (!_mapped.TryGetValue(place.Credential, out PSCredential? mapped))
        {
            mapped = _onPipeline(() => Mapped(map is PSObject wrapped ? wrapped.BaseObject : map, place));
            _mapped[place.Credential] = mapped;
        }

        return mapped ?? _given.Credential;
    }

    // What a map gives instead of a credential may be a secret, so its type alone is told.
    private static PSCredential? Mapped(object map, Switch place)
    {
        object? found = map switch
        {
            IDictionary table => table[place.Credential],
            ScriptBlock script => Run(script, place),
            _ => throw Wrong(place, $"The credential map is a {map.GetType()}, and a hashtable or a script block was expected."),
        };
        found = found is PSObject wrapped ? wrapped.BaseObject : found;
        return found is null or PSCredential
            ? (PSCredential?)found
            : throw Wrong(place, $"The credential map has a {found.GetType()} for '{place.Credential}', and a credential was expected.");
    }

    private static PSObject? Run(ScriptBlock script, Switch place)
    {
        try
        {
            PSObject[] given = [.. script.Invoke(place.Credential).Where(one => one is not null)];
            return given.Length <= 1 ? given.FirstOrDefault() : throw Wrong(place, $"The credential map gave {given.Length} things for '{place.Credential}', and one credential was expected.");
        }
        catch (RuntimeException exception) when (exception is not PipelineStoppedException)
        {
            throw Wrong(place, $"The credential map failed for '{place.Credential}': {Why(exception)}");
        }
    }

    // The words of a throw are the user's own; what a conversion or a command says may quote what it was given.
    private static string Why(RuntimeException exception) => exception.WasThrownFromThrowStatement
        ? SshProbe.OneSentence((exception.InnerException ?? exception).Message)
        : $"{exception.ErrorRecord.FullyQualifiedErrorId}; what else it says is left out, for it may hold a secret.";

    private static PoeOpsException Wrong(Switch place, string sentence) => new(new Problem(
        ProblemId.SecretMissing, sentence, "Give -CredentialMap a hashtable of names and credentials, or a script block that takes a name and gives its credential.") { Target = place.Name });
}
