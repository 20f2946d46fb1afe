using PoeOps.Estate;

namespace PoeOps.Rehearsal.Devices;

/// <summary>Counts the occasions of every mishap that was asked for, and says on which it is played.</summary>
internal sealed class MishapPlay(IEnumerable<Mishap> mishaps, DeviceLog log)
{
    private readonly List<Mishap> _mishaps = [.. mishaps];
    private readonly Dictionary<(Mishap Mishap, string Target), int> _occasions = [];

    /// <summary>Notes an occasion for a mishap.</summary>
    /// <returns>True when it is to be played now.</returns>
    public bool Now(MishapKind kind, string switchName, string unit = "")
    {
        bool play = false;
        foreach (Mishap mishap in _mishaps.Where(mishap => mishap.Kind == kind && Hits(mishap.Target, switchName, unit)))
        {
            int occasion = Count(mishap, unit);
            play |= occasion >= mishap.First && occasion <= mishap.Last;
        }

        if (play)
        {
            log.Write(DeviceEntryKind.Mishap, switchName, unit, MishapCatalogue.Of(kind).Name);
        }

        return play;
    }

    /// <summary>True when a mishap was asked for at all; counts no occasion and writes nothing.</summary>
    public bool Always(MishapKind kind, string switchName) => _mishaps.Exists(mishap => mishap.Kind == kind && Hits(mishap.Target, switchName, string.Empty));

    private static bool Hits(string target, string switchName, string unit) =>
        string.Equals(target, switchName, StringComparison.OrdinalIgnoreCase) ||
        (unit.Length > 0 && string.Equals(target, new UnitId(switchName, unit).ToString(), StringComparison.OrdinalIgnoreCase));

    private int Count(Mishap mishap, string unit)
    {
        lock (_occasions)
        {
            _occasions.TryGetValue((mishap, unit), out int seen);
            return _occasions[(mishap, unit)] = seen + 1;
        }
    }
}
