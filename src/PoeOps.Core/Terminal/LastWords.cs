namespace PoeOps.Terminal;

/// <summary>The last lines that a device said since something was sent: before it closes they are often why.</summary>
internal sealed class LastWords
{
    private const int Most = 3;

    private readonly Queue<string> _lines = new();

    /// <summary>The last of them; empty where there is none.</summary>
    public string Last => _lines.LastOrDefault() ?? string.Empty;

    /// <summary>Keeps lines that are not blank, the last few.</summary>
    public void Keep(IEnumerable<string> lines)
    {
        foreach (string line in lines.Where(line => line.Trim().Length > 0))
        {
            _lines.Enqueue(line);
            if (_lines.Count > Most)
            {
                _ = _lines.Dequeue();
            }
        }
    }

    /// <summary>Forgets them: something was sent.</summary>
    public void Clear() => _lines.Clear();

    /// <summary>Keeps what else is there, and gives all in quotes; empty where nothing was said.</summary>
    /// <param name="others">What was said behind them.</param>
    /// <param name="shown">Makes a line fit for a sentence.</param>
    public string Tell(IEnumerable<string> others, Func<string, string> shown)
    {
        LastWords all = new();
        all.Keep(_lines.Concat(others));
        return string.Join(", ", all._lines.Select(line => $"'{shown(line)}'"));
    }
}
