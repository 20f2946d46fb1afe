using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>
/// Tries on every line, once it has been read, the other rules that could stand there: those of the block that it is in, the beginnings of all
/// blocks, and what is ignored everywhere. Tells which would take it as well, and which take long.
/// </summary>
internal sealed class RuleTrial
{
    // A tenth of what a pattern may take on a line; anything shorter can be the machine's.
    private static readonly TimeSpan Slow = TimeSpan.FromTicks(PatternJson.MatchTimeout.Ticks / 10);

    // A pattern that has taken so long in all is known to be slow, and is not tried on.
    private static readonly TimeSpan Enough = TimeSpan.FromSeconds(2);

    private readonly Clock _clock;
    private readonly List<TrialRule> _everywhere = [];
    private readonly Dictionary<string, TrialRule[]> _within = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Block> _blocks = new(StringComparer.Ordinal);
    private readonly Dictionary<(string Takes, string WouldTake), RuleOverlap> _overlaps = [];
    private readonly Dictionary<TrialRule, SlowPattern> _slow = [];
    private Block? _open;

    /// <summary>Prepares to try the rules of a dialect.</summary>
    /// <param name="dialect">The dialect.</param>
    /// <param name="clock">Measures how long a pattern takes.</param>
    public RuleTrial(Dialect dialect, Clock clock)
    {
        _clock = clock;
        _everywhere.AddRange(dialect.Ignore.Select(rule => new TrialRule(rule.Name, rule.Pattern)));
        foreach (Block block in dialect.Blocks)
        {
            _everywhere.AddRange(block.Begins.Select(pattern => new TrialRule(Beginning(block), pattern)));
            _blocks[Beginning(block)] = block;
            _within[block.Name] =
            [
                .. block.Ends.Select(pattern => new TrialRule(End(block), pattern)),
                .. block.Ignore.Select(rule => new TrialRule($"{block.Name}, {rule.Name}", rule.Pattern)),
                .. block.Rows.Select(row => new TrialRule(row.Name, row.Lines[0])),
            ];
        }
    }

    /// <summary>The rules that would take the same lines, the most lines first.</summary>
    public IReadOnlyList<RuleOverlap> Overlaps => [.. _overlaps.Values.OrderByDescending(one => one.Lines).ThenBy(one => one.Takes, StringComparer.Ordinal)];

    /// <summary>The slow patterns, the slowest first.</summary>
    public IReadOnlyList<SlowPattern> SlowPatterns => [.. _slow.Values.OrderByDescending(one => one.Milliseconds)];

    /// <summary>Tries the rules on the lines of one capture.</summary>
    public void Take(IReadOnlyList<LineReading> lines)
    {
        _open = null;
        foreach (LineReading line in lines)
        {
            Take(line);
        }
    }

    private static string Beginning(Block block) => $"{block.Name}, beginning";

    private static string End(Block block) => $"{block.Name}, end";

    // The block is that of the line: one that it begins is open already, one that it ends is open still.
    private void Take(LineReading line)
    {
        bool ends = _open is { Ends.Count: 0 } && line.ReadAs == ReadAs.Blank;
        if (line.ReadAs == ReadAs.Prompt || ends)
        {
            _open = null;
        }

        if (line.ReadAs is ReadAs.Blank or ReadAs.Prompt || line.Text.Length > CaptureLines.LongestLine)
        {
            return;
        }

        // On a first line the rules of the block that was open before it could stand as well.
        TrialRule[] within = _open is null ? [] : _within[_open.Name];
        foreach (TrialRule rule in _everywhere.Concat(within))
        {
            if (Fits(rule, line) && line.ReadAs != ReadAs.Unread && rule.Name != line.Rule && !rule.IsPartOf(line.Rule, within))
            {
                Note(line, rule.Name);
            }
        }

        if (_blocks.TryGetValue(line.Rule, out Block? begun))
        {
            _open = begun;
        }
        else if (_open is { } open && line.Rule == End(open))
        {
            _open = null;
        }
    }

    private void Note(LineReading line, string rule) =>
        _overlaps[(line.Rule, rule)] = _overlaps.TryGetValue((line.Rule, rule), out RuleOverlap? before)
            ? before with { Lines = before.Lines + 1 }
            : new RuleOverlap(line.Rule, rule, 1, line.File, line.Line);

    private bool Fits(TrialRule rule, LineReading line)
    {
        if (rule.Spent >= Enough)
        {
            return false;
        }

        bool fits = Fits(rule.Pattern, line.Text, out TimeSpan took);
        if (took >= Slow)
        {
            // The machine may have been held up; a slow pattern is slow twice.
            fits = Fits(rule.Pattern, line.Text, out TimeSpan again);
            took = again < took ? again : took;
            rule.Spent += took;
        }

        if (took >= Slow && (!_slow.TryGetValue(rule, out SlowPattern? before) || before.Milliseconds < took.TotalMilliseconds))
        {
            _slow[rule] = new SlowPattern(rule.Name, Math.Round(took.TotalMilliseconds, 1), line.File, line.Line, Excerpt.Of(rule.Pattern.ToString()));
        }

        return fits;
    }

    private bool Fits(Regex pattern, string text, out TimeSpan took)
    {
        TimeSpan began = _clock.Elapsed;
        try
        {
            return pattern.IsMatch(text);
        }
        catch (RegexMatchTimeoutException)
        {
            // A pattern that comes to no end takes nothing; its time is told.
            return false;
        }
        finally
        {
            took = _clock.Elapsed - began;
        }
    }

    private sealed class TrialRule
    {
        public TrialRule(string name, Regex pattern)
        {
            Name = name;
            Pattern = pattern;
        }

        public string Name { get; }

        public Regex Pattern { get; }

        public TimeSpan Spent { get; set; }

        // Two rows of a block that begin with the same line are meant to: the one with more lines is tried first.
        public bool IsPartOf(string rule, TrialRule[] within) => within.Any(one => one.Name == rule && one.Pattern.ToString() == Pattern.ToString());
    }
}
