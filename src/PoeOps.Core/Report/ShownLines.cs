using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>
/// Chooses the lines of a capture that a page shows: all of them where they are few; else those that nobody reads or that a problem names, with
/// what stands around them. What is left out is counted.
/// </summary>
internal sealed class ShownLines
{
    // Two lines before and behind say where one stands.
    private const int Around = 2;

    private ShownLines(IReadOnlyList<LineReading> lines, bool[] shown)
    {
        Lines = lines;
        Shown = shown;
    }

    /// <summary>All lines of the capture.</summary>
    public IReadOnlyList<LineReading> Lines { get; }

    /// <summary>Which of them are shown.</summary>
    public IReadOnlyList<bool> Shown { get; }

    /// <summary>Chooses.</summary>
    /// <param name="lines">The lines of one capture.</param>
    /// <param name="problems">The numbers of those that a problem names.</param>
    /// <param name="most">How many may be shown.</param>
    public static ShownLines Of(IReadOnlyList<LineReading> lines, ISet<int> problems, int most)
    {
        bool[] shown = new bool[lines.Count];
        int count = 0;
        bool Show(int at)
        {
            if (at >= 0 && at < shown.Length && !shown[at] && count < most)
            {
                shown[at] = true;
                count++;
            }

            return count < most;
        }

        int[] marked = [.. Enumerable.Range(0, lines.Count).Where(at => lines[at].ReadAs == ReadAs.Unread || problems.Contains(lines[at].Line))];
        bool more = lines.Count <= most
            ? Enumerable.Range(0, lines.Count).All(Show)
            : marked.All(Show) && marked.All(at => Enumerable.Range(at - Around, (2 * Around) + 1).All(Show)) && Enumerable.Range(0, lines.Count).All(Show);
        return new ShownLines(lines, shown) { IsFull = !more };
    }

    /// <summary>True where no more lines may be shown.</summary>
    public bool IsFull { get; private init; }
}
