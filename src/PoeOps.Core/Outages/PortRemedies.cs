namespace PoeOps.Outages;

/// <summary>
/// Tries changes of a unit's ports until every load comes back: each alone, then each two, and of ports to fix, those that are refused one after the other.
/// Ports are fixed whose loads negotiate another figure than they claim at turn-on; ports are raised that have not the highest priority, two at the most.
/// </summary>
internal sealed class PortRemedies
{
    private readonly RestartTrials _trials;
    private readonly Dictionary<string, int> _turns;
    private readonly RestartChange[] _fixes;
    private readonly RestartChange[] _raises;

    /// <summary>Prepares the changes; ports that are refused come first, then those that save most.</summary>
    /// <param name="trials">Tries them.</param>
    public PortRemedies(RestartTrials trials)
    {
        _trials = trials;
        RestartUnit unit = trials.Unit;
        _turns = trials.Now.Ports.Select((port, turn) => (port.Name, turn)).ToDictionary(pair => pair.Name, pair => pair.turn, StringComparer.OrdinalIgnoreCase);
        HashSet<string> refused = new(trials.Now.Refused.Select(port => port.Name), StringComparer.OrdinalIgnoreCase);
        _fixes =
        [
            .. unit.Ports.Where(port => Saving(port) != 0).OrderByDescending(port => refused.Contains(port.Name)).ThenByDescending(Saving).ThenBy(port => _turns[port.Name])
                .Select(port => new RestartChange(RemedyKind.Fix, port.Name, port.NegotiatedWatts!.Value)),
        ];
        _raises =
        [
            .. unit.Ports.Where(port => port.Priority > 1).OrderByDescending(port => refused.Contains(port.Name)).ThenBy(port => _turns[port.Name])
                .Select(port => new RestartChange(RemedyKind.Raise, port.Name, 0)),
        ];
    }

    /// <summary>Finds the least change of each kind that helps.</summary>
    public IEnumerable<RestartRemedy> Find()
    {
        RestartRemedy? fix = First(_fixes.Select(One));
        RestartRemedy? raise = First(_raises.Select(One));
        fix ??= First(Pairs(_fixes)) ?? Further();
        raise ??= First(Pairs(_raises));
        int least = new[] { fix, raise }.OfType<RestartRemedy>().Select(remedy => remedy.Changes.Count).DefaultIfEmpty(int.MaxValue).Min();
        RestartRemedy? mixed = least > 2 ? First(_fixes.SelectMany(one => _raises.Where(other => other.Port != one.Port).Select(other => new[] { one, other }))) : null;
        return new[] { fix, raise, mixed }.OfType<RestartRemedy>();
    }

    private RestartRemedy? First(IEnumerable<RestartChange[]> sets)
    {
        foreach (RestartChange[] set in sets.TakeWhile(_ => !_trials.AreUsedUp))
        {
            RestartRemedy remedy = Remedy(set, isLeast: true);
            if (_trials.Helps(Try(remedy)))
            {
                return remedy;
            }
        }

        return null;
    }

    // All sets of one and two were tried before, where trials were left, so that one of three is a least one; a larger one is smaller by all that it can do without.
    private RestartRemedy? Further()
    {
        bool allTried = !_trials.AreUsedUp;
        List<RestartChange> chosen = [];
        RestartResult result = _trials.Now;
        while (!_trials.Helps(result))
        {
            RestartChange? next = result.Refused.Select(port => _fixes.FirstOrDefault(fix => fix.Port == port.Name && !chosen.Contains(fix))).FirstOrDefault(fix => fix is not null)
                ?? _fixes.FirstOrDefault(fix => !chosen.Contains(fix));
            if (next is null)
            {
                return null;
            }

            chosen.Add(next);
            result = Try(Remedy(chosen, isLeast: false));
        }

        foreach (RestartChange one in chosen.ToArray().TakeWhile(_ => !_trials.AreUsedUp))
        {
            RestartChange[] without = [.. chosen.Where(other => other != one)];
            if (without.Length > 0 && _trials.Helps(Try(Remedy(without, isLeast: false))))
            {
                _ = chosen.Remove(one);
            }
        }

        return Remedy(chosen, isLeast: allTried && chosen.Count == 3);
    }

    private RestartResult Try(RestartRemedy remedy) => _trials.Try(remedy.ApplyTo(_trials.Unit));

    private RestartRemedy Remedy(IEnumerable<RestartChange> changes, bool isLeast) => new([.. changes.OrderBy(change => _turns[change.Port])], isLeast);

    // What a port claims less from turn-on when it is fixed at what its load negotiates.
    private decimal Saving(RestartPort port) => port is { FixedWatts: null, NegotiatedWatts: { } negotiated } ? _trials.Unit.FirstClaimWatts(port) - negotiated : 0;

    private static RestartChange[] One(RestartChange change) => [change];

    private static IEnumerable<RestartChange[]> Pairs(RestartChange[] changes) => changes.SelectMany((one, at) => changes.Skip(at + 1).Select(other => new[] { one, other }));
}
