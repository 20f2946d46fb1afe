namespace PoeOps.Calendar;

/// <summary>Windows of one site, each once.</summary>
internal sealed class WindowSet
{
    private readonly Dictionary<(DateTime Opens, DateTime Closes), Window> _windows = [];

    /// <summary>How many there are.</summary>
    public int Count => _windows.Count;

    /// <summary>Adds a window where it is wanted. The same window again counts once; it is attended where either says so, and its local time was decided where that of either was.</summary>
    public void Add(Window window, Func<Window, bool> isWanted)
    {
        if (isWanted(window))
        {
            (DateTime Opens, DateTime Closes) key = (window.OpensUtc, window.ClosesUtc);
            _windows[key] = _windows.TryGetValue(key, out Window? known) ? Merge(known, window) : window;
        }
    }

    /// <summary>The first of them, in order of opening, then of close.</summary>
    public IReadOnlyList<Window> First(int count) => [.. InOrder().Select(one => one.Value).Take(count)];

    /// <summary>Those that another set has not, in the same order.</summary>
    public IReadOnlyList<Window> Without(WindowSet other) => [.. InOrder().Where(one => !other._windows.ContainsKey(one.Key)).Select(one => one.Value)];

    private static Window Merge(Window one, Window other) =>
        (one.LocalTime >= other.LocalTime ? one : other) with { Attended = one.Attended || other.Attended, InsideFreeze = one.InsideFreeze || other.InsideFreeze };

    private IEnumerable<KeyValuePair<(DateTime Opens, DateTime Closes), Window>> InOrder() => _windows.OrderBy(one => one.Key.Opens).ThenBy(one => one.Key.Closes);
}
