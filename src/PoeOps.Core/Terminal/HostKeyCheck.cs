namespace PoeOps.Terminal;

/// <summary>Decides whether an SSH server is the one it was before. It is asked before anything of the user's is sent to the server.</summary>
public sealed class HostKeyCheck
{
    private readonly HostKeyFile _store;
    private readonly Func<string, bool?> _ask;
    private readonly Action<string> _tell;
    private readonly List<HostKey> _unkept = [];

    /// <summary>Prepares to check.</summary>
    /// <param name="store">The keys that were accepted before.</param>
    /// <param name="ask">Asks about an unknown key: true to accept it, false to refuse it, null where nobody is there to answer.</param>
    /// <param name="tell">Told of each key that is accepted, in a sentence.</param>
    public HostKeyCheck(HostKeyFile store, Func<string, bool?> ask, Action<string> tell)
    {
        _store = store;
        _ask = ask;
        _tell = tell;
    }

    /// <summary>True to accept unknown keys without asking. A changed key is refused all the same.</summary>
    public bool TrustNew { get; init; }

    /// <summary>True to write nothing: an accepted key holds for this check alone.</summary>
    public bool KeepsNothing { get; init; }

    /// <summary>The key that was accepted for an address and port, or null.</summary>
    /// <exception cref="PoeOpsException">The store has a mistake.</exception>
    public HostKey? Known(string address, int port) => _store.Find(address, port) ?? _unkept.FirstOrDefault(key => key.IsOf(address, port));

    /// <summary>Lets a server's key pass, or throws.</summary>
    /// <param name="offered">The key that the server showed.</param>
    /// <exception cref="PoeOpsException">
    /// Another key was accepted before (<see cref="ProblemId.HostKeyChanged"/>), or none and nobody accepts this one
    /// (<see cref="ProblemId.HostKeyUnknown"/>); the store has a mistake or cannot be written.
    /// </exception>
    public void Demand(HostKey offered)
    {
        if (Known(offered.Address, offered.Port) is { } known)
        {
            if (!known.IsSameKey(offered))
            {
                throw Changed(known, offered);
            }

            return;
        }

        if (!TrustNew && _ask(Question(offered)) != true)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.HostKeyUnknown,
                $"The host key of {HostKeyText.Place(offered)} is not known and was not accepted: {HostKeyText.Shown(offered)}.",
                "Compare the fingerprint with the one that the switch shows at its console, then accept it when asked, or run once with -TrustNewHost."));
        }

        Accept(offered);
    }

    private static string Question(HostKey offered) =>
        $"The host key of {HostKeyText.Place(offered)} is not known. Its fingerprint is {HostKeyText.Shown(offered)}. Compare it with the one that the switch shows at its console. Accept it from now on?";

    private void Accept(HostKey offered)
    {
        HostKey key = offered with { AcceptedUtc = SystemClock.Instance.UtcNow, AcceptedBy = $"{Environment.UserName} on {Environment.MachineName}" };
        if (KeepsNothing)
        {
            _unkept.Add(key);
        }
        else if (_store.Add(key) is { } other)
        {
            throw Changed(other, offered);
        }

        _tell($"The host key of {HostKeyText.Place(key)} was not known and is accepted{(KeepsNothing ? " for this run" : string.Empty)}: {HostKeyText.Shown(key)}.");
    }

    private static PoeOpsException Changed(HostKey known, HostKey offered) => new(new Problem(
        ProblemId.HostKeyChanged,
        $"The host key of {HostKeyText.Place(offered)} has changed: {HostKeyText.Shown(known)} was accepted, and the server shows {HostKeyText.Shown(offered)}.",
        "Somebody may be between you and the switch. Only where you know why the key is new, compare its fingerprint at the switch's console and remove the old one with Remove-PseHostKey."));
}
