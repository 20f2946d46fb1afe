using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>How well a dialect reads some captures.</summary>
/// <param name="Summary">All captures together.</param>
/// <param name="Lines">Every line of every capture.</param>
/// <param name="Problems">What could not be read, and samples of the dialect that fail.</param>
public sealed record CoverageReading(DialectCoverage Summary, IReadOnlyList<LineReading> Lines, IReadOnlyList<Problem> Problems);

/// <summary>What became of the lines of some captures, counted.</summary>
public sealed record DialectCoverage
{
    /// <summary>The dialect's name.</summary>
    public string Dialect { get; init; } = string.Empty;

    /// <summary>How many captures were read.</summary>
    public int Captures { get; init; }

    /// <summary>How many lines they have.</summary>
    public int Lines { get; init; }

    /// <summary>Lines that a block read.</summary>
    public int Read { get; init; }

    /// <summary>Lines that a rule ignores.</summary>
    public int Ignored { get; init; }

    /// <summary>Empty lines.</summary>
    public int Blank { get; init; }

    /// <summary>Prompts, with the command behind them.</summary>
    public int Prompts { get; init; }

    /// <summary>Lines that nobody reads.</summary>
    public int Unread { get; init; }

    /// <summary>Lines that somebody accounts for, of a hundred.</summary>
    public double CoveredPercent { get; init; }

    /// <summary>Controllers that came out.</summary>
    public int Controllers { get; init; }

    /// <summary>Captures that said the release of their switch.</summary>
    public int Releases { get; init; }

    /// <summary>Ports that came out.</summary>
    public int Ports { get; init; }

    /// <summary>Problems that were found.</summary>
    public int Problems { get; init; }

    /// <summary>Properties that a pattern of the dialect could fill and that no line filled.</summary>
    public IReadOnlyList<string> NeverFilled { get; init; } = [];

    /// <summary>Rules of the dialect that took no line.</summary>
    public IReadOnlyList<string> NeverUsed { get; init; } = [];

    /// <summary>Rules that would take the same lines, the most lines first.</summary>
    public IReadOnlyList<RuleOverlap> Overlaps { get; init; } = [];

    /// <summary>Patterns of rules that took 25 ms or more on a line, the slowest first.</summary>
    public IReadOnlyList<SlowPattern> SlowPatterns { get; init; } = [];

    /// <summary>Versions in the captures that no spelling of the dialect reads, each once.</summary>
    public IReadOnlyList<string> UnreadVersions { get; init; } = [];

    /// <summary>The device's own words for how a controller is that the dialect gives no meaning, each once; their controllers are Unknown, and are not refreshed.</summary>
    public IReadOnlyList<string> UnknownWords { get; init; } = [];
}

/// <summary>Runs a dialect over captures and its own samples.</summary>
public static class Coverage
{
    /// <summary>What stands between the rules that read one line, as those of an answer that is one line of JSON.</summary>
    internal const string BetweenRules = " + ";

    /// <summary>Reads the captures.</summary>
    /// <param name="dialect">The dialect.</param>
    /// <param name="files">Capture files; there may be none. Those of one switch in one folder, by <see cref="CaptureName"/>, are read together.</param>
    /// <param name="clock">Measures how long patterns take; null for the machine's.</param>
    public static CoverageReading Of(Dialect dialect, IReadOnlyList<string> files, Clock? clock = null)
    {
        List<LineReading> lines = [];
        List<Problem> problems = [.. DialectSamples.Check(dialect)];
        List<Controller> controllers = [];
        var trial = new RuleTrial(dialect, clock ?? SystemClock.Instance);
        int releases = 0;
        foreach (IGrouping<(string Folder, string Switch), string> together in files.GroupBy(file => (Folder: Path.GetDirectoryName(file) ?? string.Empty, Switch: CaptureName.SwitchOf(file))))
        {
            CaptureText[] texts = [.. together.Select(file => CaptureText.FromFile(file, dialect))];
            CaptureText text = texts.Length == 1 ? texts[0] : CaptureText.Together(texts);
            Reading reading = CaptureReader.Read(dialect, text, new ReadingContext { Switch = together.Key.Switch, Source = text.Source, KeepLines = true });
            trial.Take(reading.Lines);
            lines.AddRange(reading.Lines);
            problems.AddRange(reading.Problems);
            controllers.AddRange(reading.Controllers);
            releases += reading.Release is null ? 0 : 1;
        }

        DialectCoverage summary = Count(dialect, lines) with
        {
            Captures = files.Count,
            Controllers = controllers.Count,
            Releases = releases,
            Ports = controllers.Sum(controller => controller.Ports.Count),
            Problems = problems.Count,
            Overlaps = [.. trial.Overlaps.Select(one => one with { Takes = PlainText.Of(one.Takes), WouldTake = PlainText.Of(one.WouldTake), File = PlainText.Of(one.File) })],
            SlowPatterns = [.. trial.SlowPatterns.Select(one => one with { Rule = PlainText.Of(one.Rule), File = PlainText.Of(one.File) })],
            UnreadVersions = [.. UnreadVersions(dialect, controllers)],
            UnknownWords = [.. controllers.Where(one => one.Condition == ControllerCondition.Unknown).Select(one => one.ConditionText).OfType<string>().Distinct(StringComparer.Ordinal)],
        };
        return new CoverageReading(summary, [.. lines.Select(Shown)], problems);
    }

    // The rules are tried on what the device said; what is handed on can be shown.
    private static LineReading Shown(LineReading line) => line with
    {
        File = PlainText.Of(line.File), Text = PlainText.OfLine(line.Text), Rule = PlainText.Of(line.Rule), Fields = PlainText.Of(line.Fields), Record = PlainText.Of(line.Record),
    };

    private static IEnumerable<string> UnreadVersions(Dialect dialect, List<Controller> controllers) =>
        Unread(dialect.Firmware, controllers.Select(one => one.Firmware), "firmware").Concat(Unread(dialect.Release, controllers.Select(one => one.Release), "release"));

    private static IEnumerable<string> Unread(VersionRule rule, IEnumerable<string?> texts, string what) =>
        texts.OfType<string>().Distinct(StringComparer.Ordinal).Where(text => rule.Read(text, out _) is null).Select(text => $"{what} {text}");

    private static DialectCoverage Count(Dialect dialect, List<LineReading> lines)
    {
        int unread = lines.Count(line => line.ReadAs == ReadAs.Unread);
        HashSet<string> used = new(lines.SelectMany(RulesOf), StringComparer.Ordinal);
        HashSet<string> filled = new(lines.SelectMany(FilledBy), StringComparer.Ordinal);
        return new DialectCoverage
        {
            Dialect = PlainText.Of(dialect.Name),
            Lines = lines.Count,
            Read = lines.Count(line => line.ReadAs == ReadAs.Read),
            Ignored = lines.Count(line => line.ReadAs == ReadAs.Ignored),
            Blank = lines.Count(line => line.ReadAs == ReadAs.Blank),
            Prompts = lines.Count(line => line.ReadAs == ReadAs.Prompt),
            Unread = unread,
            CoveredPercent = lines.Count == 0 ? 100 : Math.Floor(1000.0 * (lines.Count - unread) / lines.Count) / 10,
            NeverFilled = [.. Fillable(dialect).Where(name => !filled.Contains(name)).Select(PlainText.Of)],
            NeverUsed = [.. Rules(dialect).Where(name => !used.Contains(name)).Select(PlainText.Of)],
        };
    }

    private static IEnumerable<string> FilledBy(LineReading line) =>
        line.ReadAs != ReadAs.Read || line.Fields.Length == 0 ? [] : Regex.Split(line.Fields, "; ").Where(field => field.IndexOf('=') > 0).Select(field => field.Substring(0, field.IndexOf('=')));

    private static IEnumerable<string> RulesOf(LineReading line) => Regex.Split(line.Rule, Regex.Escape(BetweenRules)).Append(line.Rule);

    private static IEnumerable<string> Fillable(Dialect dialect) =>
        dialect.Blocks
            .SelectMany(block => block.Begins.Concat(block.Ends).Concat(block.Rows.SelectMany(row => row.Lines)).SelectMany(GroupNames.Of)
                .Concat(block.Columns.Where(column => column.Property is not null).Select(column => column.Property!))
                .Concat(block.Json?.Fields.Select(field => field.Property) ?? []))
            .Where(name => name != GroupNames.Count).Distinct(StringComparer.Ordinal);

    private static IEnumerable<string> Rules(Dialect dialect) =>
        dialect.Blocks.SelectMany(block =>
                (block.Begins.Count > 0 ? new[] { $"{block.Name}, beginning" } : [])
                    .Concat(block.Header.Count > 0 ? [$"{block.Name}, header"] : [])
                    .Concat(block.Columns.Count > 0 || block.Json is not null ? [$"{block.Name}, row"] : [])
                    .Concat(block.Json?.Ignore.Select(path => $"{block.Name}, {path.Text}") ?? [])
                    .Concat(block.Ends.Count > 0 ? [$"{block.Name}, end"] : [])
                    .Concat(block.Rows.Select(row => row.Name))
                    .Concat(block.Ignore.Select(rule => $"{block.Name}, {rule.Name}")))
            .Concat(dialect.Ignore.Select(rule => rule.Name));
}

/// <summary>Checks the samples that a dialect brings along.</summary>
internal static class DialectSamples
{
    /// <summary>Reads each sample and compares what it gives.</summary>
    public static IEnumerable<Problem> Check(Dialect dialect)
    {
        foreach (DialectSample sample in dialect.Samples)
        {
            string? wrong = Wrong(dialect, sample);
            if (wrong is not null)
            {
                yield return new Problem(ProblemId.DialectSampleFails, wrong, "Correct the example or the block.") { File = dialect.SourcePath, Line = sample.Line };
            }
        }
    }

    private static string? Wrong(Dialect dialect, DialectSample sample)
    {
        Block? block = dialect.Blocks.FirstOrDefault(one => string.Equals(one.Name, sample.Block, StringComparison.OrdinalIgnoreCase));
        if (block is null)
        {
            return $"The example is for the block '{Excerpt.Of(sample.Block)}', which the dialect does not have{Nearest.Hint(sample.Block, dialect.Blocks.Select(one => one.Name))}.";
        }

        var walk = new LineWalk(dialect, keepLines: true);
        walk.Run(CaptureText.FromText(string.Join("\n", sample.Lines) + "\n", "example").Lines);
        if (walk.Problems.FirstOrDefault(problem => problem.Id is not ProblemId.BlockNotEnded and not ProblemId.RowsMissing) is { } problem)
        {
            return $"The example of '{block.Name}' is not read: {problem.Sentence}";
        }

        ReadRecord? record = walk.Records.All.LastOrDefault(one => one.Kind == block.Of);
        foreach (KeyValuePair<string, string> field in sample.Fields)
        {
            string? found = record?[field.Key];
            if (!string.Equals(found, field.Value, StringComparison.Ordinal))
            {
                return $"The example of '{block.Name}' gives {field.Key} '{found}', and '{field.Value}' was expected.";
            }
        }

        return null;
    }
}
