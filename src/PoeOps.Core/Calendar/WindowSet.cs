namespace PoeOps.Calendar;

/// <summary>Windows of one site, each once.</summary>
internal sealed class WindowSet
{
    private readonly Dictionary<(DateTime Opens, DateTime Closes), Window> _windows = [];

    /// <summary>How many there are.</summary>
    public int Count => _windows.Count;

    /// <summary>Adds windows. The same window again counts once; it is attended where either says so, and its local time was decided where that of either was.</summary>
    public void AddRange(IEnumerable<Window> windows)
    {
        foreach (Window window in windows)
        {
            _windows[KeyOf(window)] = _windows.TryGetValue(KeyOf(window), out Window? known) ? Merge(known, window) : window;
        }
    }

    /// <summary>Takes a window away where it is there.</summary>
    public void Remove(Window window) => _windows.Remove(KeyOf(window));

    /// <summary>The first of them, in order of opening, then of close.</summary>
    public IReadOnlyList<Window> First(int count) => [.. _windows.Values.OrderBy(window => window.OpensUtc).ThenBy(window => window.ClosesUtc).Take(count)];

    private static Window Merge(Window one, Window other) =>
        (one.LocalTime >= other.LocalTime ? one : other) with { Attended = one.Attended || other.Attended, InsideFreeze = one.InsideFreeze || other.InsideFreeze };

    private static (DateTime Opens, DateTime Closes) KeyOf(Window window) => (window.OpensUtc, window.ClosesUtc);
}
