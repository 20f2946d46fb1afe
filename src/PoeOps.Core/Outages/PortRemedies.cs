namespace PoeOps.Outages;

/// <summary>Tries changes of a unit's ports until every load comes back: each alone, then each two, then the ports that are refused one after the other.</summary>
internal sealed class PortRemedies
{
    private readonly RestartUnit _unit;
    private readonly Dictionary<string, int> _turns;
    private readonly RestartChange[] _fixes;
    private readonly RestartChange[] _raises;

    /// <summary>Prepares the changes; ports that are refused come first, then those that save most.</summary>
    /// <param name="unit">The unit.</param>
    /// <param name="now">What becomes of it as it is.</param>
    public PortRemedies(RestartUnit unit, RestartResult now)
    {
        _unit = unit;
        _turns = now.Ports.Select((port, turn) => (port.Name, turn)).ToDictionary(pair => pair.Name, pair => pair.turn, StringComparer.OrdinalIgnoreCase);
        HashSet<string> refused = new(now.Refused.Select(port => port.Name), StringComparer.OrdinalIgnoreCase);
        _fixes =
        [
            .. unit.Ports.Where(port => Saving(port) > 0).OrderByDescending(port => refused.Contains(port.Name)).ThenByDescending(Saving).ThenBy(port => _turns[port.Name])
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
        RestartRemedy? fix = First(_fixes.Select(One)) ?? First(Pairs(_fixes)) ?? Further();
        RestartRemedy? raise = First(_raises.Select(One)) ?? First(Pairs(_raises));
        int least = new[] { fix, raise }.OfType<RestartRemedy>().Select(remedy => remedy.Changes.Count).DefaultIfEmpty(int.MaxValue).Min();
        RestartRemedy? mixed = least > 2 ? First(_fixes.SelectMany(one => _raises.Where(other => other.Port != one.Port).Select(other => new[] { one, other }))) : null;
        return new[] { fix, raise, mixed }.OfType<RestartRemedy>();
    }

    private RestartRemedy? First(IEnumerable<RestartChange[]> sets)
    {
        foreach (RestartChange[] set in sets)
        {
            RestartRemedy remedy = Remedy(set, isLeast: true);
            if (Left(remedy).Count == 0)
            {
                return remedy;
            }
        }

        return null;
    }

    // All sets of one and two were tried before, so that one of three is a least one; a larger one is smaller by all that it can do without.
    private RestartRemedy? Further()
    {
        List<RestartChange> chosen = [];
        IReadOnlyList<PortRestart> left = Left(Remedy([], isLeast: false));
        while (left.Count > 0)
        {
            RestartChange? next = left.Select(port => _fixes.FirstOrDefault(fix => fix.Port == port.Name && !chosen.Contains(fix))).FirstOrDefault(fix => fix is not null)
                ?? _fixes.FirstOrDefault(fix => !chosen.Contains(fix));
            if (next is null)
            {
                return null;
            }

            chosen.Add(next);
            left = Left(Remedy(chosen, isLeast: false));
        }

        foreach (RestartChange one in chosen.ToArray())
        {
            RestartChange[] without = [.. chosen.Where(other => other != one)];
            if (Left(Remedy(without, isLeast: false)).Count == 0)
            {
                _ = chosen.Remove(one);
            }
        }

        return Remedy(chosen, isLeast: chosen.Count == 3);
    }

    private IReadOnlyList<PortRestart> Left(RestartRemedy remedy) => Restart.Simulate(remedy.Changes.Count == 0 ? _unit : remedy.ApplyTo(_unit)).Refused;

    private RestartRemedy Remedy(IEnumerable<RestartChange> changes, bool isLeast) => new([.. changes.OrderBy(change => _turns[change.Port])], isLeast);

    // What a port claims less from turn-on when it is fixed at what its load negotiates.
    private decimal Saving(RestartPort port) => port is { FixedWatts: null, NegotiatedWatts: { } negotiated } ? _unit.FirstClaimWatts(port) - negotiated : 0;

    private static RestartChange[] One(RestartChange change) => [change];

    private static IEnumerable<RestartChange[]> Pairs(RestartChange[] changes) => changes.SelectMany((one, at) => changes.Skip(at + 1).Select(other => new[] { one, other }));
}
