using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>What stands beside a line: the problems that name it, and behind the last of some unread lines the way to the next ones.</summary>
internal sealed class PageSigns
{
    private readonly ILookup<(string? File, int Line), (int Number, ProblemId Id)> _problems;
    private readonly Dictionary<string, (string Anchor, string Name)> _next = new(StringComparer.Ordinal);
    private readonly int _mostListed;

    /// <summary>Goes through the captures once.</summary>
    /// <param name="captures">In the order of the page.</param>
    /// <param name="problems">In the order of the page.</param>
    /// <param name="mostListed">How many of the problems the page lists; only those can be led to.</param>
    public PageSigns(IReadOnlyList<CapturePart> captures, IReadOnlyList<Problem> problems, int mostListed)
    {
        _mostListed = mostListed;
        _problems = problems.Select((problem, at) => (problem, Number: at + 1)).Where(one => one.problem.Line is not null)
            .ToLookup(one => (one.problem.File, one.problem.Line!.Value), one => (one.Number, one.problem.Id));
        string? last = null;
        foreach (CapturePart capture in captures)
        {
            int before = 0;
            foreach (LineReading line in capture.LinesShown.Where(line => line.ReadAs == ReadAs.Unread))
            {
                if (last is not null && line.Line != before + 1)
                {
                    _next.Add(last, (capture.AnchorOf(line.Line), before > 0 ? $"line {DialectPage.Number(line.Line)}" : $"{capture.Name}, line {DialectPage.Number(line.Line)}"));
                }

                before = line.Line;
                last = capture.AnchorOf(before);
            }
        }
    }

    /// <summary>The place of a problem on the page.</summary>
    public static string AnchorOf(int problem) => $"p{DialectPage.Number(problem)}";

    /// <summary>Writes what stands beside a line.</summary>
    public void Write(PageWriter page, CapturePart capture, LineReading line)
    {
        foreach ((int number, ProblemId id) in _problems[(line.File, line.Line)])
        {
            page.Open("div");
            string name = $"problem {DialectPage.Number(number)}: {id}";
            if (number <= _mostListed)
            {
                page.Link(AnchorOf(number), name);
            }
            else
            {
                page.Text(name);
            }

            page.Close();
        }

        if (_next.TryGetValue(capture.AnchorOf(line.Line), out (string Anchor, string Name) next))
        {
            page.Open("div");
            page.Link(next.Anchor, $"next unread: {next.Name}");
            page.Close();
        }
    }
}
