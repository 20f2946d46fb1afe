using System.Globalization;

namespace PoeOps.Refresh;

/// <summary>What an entry of a run's record says, in one line for people.</summary>
public static class RunStory
{
    // What a gate's line says otherwise than as a fact that was found.
    private static readonly string[] OfEachGate = ["gate", "passed", "skipped", "problem", "reason"];

    /// <summary>Puts an entry into words.</summary>
    /// <param name="entry">The entry.</param>
    public static string Of(RunEntry entry) => entry.Kind switch
    {
        RunEntryKind.RunBegan => RunBegan(entry),
        RunEntryKind.Gate => $"{entry.Unit}: gate {Fact(entry, "gate")} is {Gate(entry)}",
        RunEntryKind.Begin => Begin(entry),
        RunEntryKind.StageBegan => $"{entry.Unit} {Fact(entry, "stage")} begins: {Sentence(Fact(entry, "text"))}",
        RunEntryKind.Progress => $"{entry.Unit} {Fact(entry, "stage")}: {Fact(entry, "percent")} %.",
        RunEntryKind.StageEnded => $"{entry.Unit} {Fact(entry, "stage")} ended after {Fact(entry, "seconds")} s.",
        RunEntryKind.Served => Served(entry),
        RunEntryKind.PutBack => PutBack(entry),
        RunEntryKind.LoadsBack => LoadsBack(entry),
        RunEntryKind.Note => entry.Unit.Length == 0 ? Sentence(Fact(entry, "text")) : $"{entry.Unit}: {Sentence(Fact(entry, "text"))}",
        RunEntryKind.End => $"{Ended(entry)}{Seen(entry)}",
        RunEntryKind.Passed => Ended(entry),
        RunEntryKind.StopAsked => $"The run is to stop: {Sentence(Fact(entry, "reason"))}",
        RunEntryKind.RunEnded => RunEnded(entry),
        _ => $"{entry.Unit} {entry.Kind}: {Listed(entry, [])}.",
    };

    private static string RunBegan(RunEntry entry)
    {
        string resumed = Fact(entry, "resumes") is { Length: > 0 } line ? $" It goes on with the run that began in line {line} of the journal." : string.Empty;
        string whatIf = Is(entry, "whatIf") ? " Nothing is changed." : string.Empty;
        return $"A run of the plan '{Fact(entry, "plan")}' begins, with {Count(Fact(entry, "units"), "unit")}.{resumed}{whatIf}";
    }

    private static string Gate(RunEntry entry)
    {
        if (Is(entry, "passed"))
        {
            string found = Listed(entry, OfEachGate);
            return found.Length == 0 ? "open." : $"open ({found}).";
        }

        return $"closed{(Is(entry, "skipped") ? " and skipped" : string.Empty)} ({Fact(entry, "problem")}): {Fact(entry, "reason")}";
    }

    private static string Begin(RunEntry entry)
    {
        string lifeSafety = Fact(entry, "lifeSafety") is { Length: > 0 } count && count != "0" ? $", {count} of them life-safety" : string.Empty;
        return $"{entry.Unit} begins: from {Fact(entry, "from")} to {Fact(entry, "to")} by {Fact(entry, "image")} of {Fact(entry, "bytes")} bytes from {Fact(entry, "server")}. {Count(Fact(entry, "loads"), "load")}{lifeSafety}.";
    }

    private static string Served(RunEntry entry) =>
        $"{entry.Unit}: {Fact(entry, "file")} went to {Fact(entry, "client")}, {Count(Fact(entry, "bytes"), "byte")} in {Count(Fact(entry, "blocks"), "block")}, {Fact(entry, "retransmissions")} sent again: {Sentence(Fact(entry, "outcome"))}";

    private static string PutBack(RunEntry entry) =>
        $"{entry.Unit}: {Fact(entry, "found")}: {(Is(entry, "done") ? "it was put back." : $"it could not be put back, {Sentence(Fact(entry, "trouble"))}")}";

    private static string LoadsBack(RunEntry entry)
    {
        List<double> dark = [.. entry.Facts.Select(load => load.Value).OfType<double>()];
        string last = dark.Count == 0 ? string.Empty : $", the last after {Words(dark.Max())} s in the dark";
        return $"{entry.Unit}: {Words(dark.Count)} of {Count(Words(entry.Facts.Count), "load")} have power again{last}.";
    }

    private static string Ended(RunEntry entry) => $"{entry.Unit} ended {Fact(entry, "outcome")}: {Fact(entry, "reason")}";

    private static string Seen(RunEntry entry)
    {
        string[] seen =
        [
            .. Fact(entry, "firmware") is { Length: > 0 } firmware ? new[] { $"firmware {firmware}" } : [],
            .. Fact(entry, "loads") is { Length: > 0 } loads ? new[] { $"{Fact(entry, "loadsBack")} of {Count(loads, "load")} back" } : [],
            .. Fact(entry, "darkSeconds") is { Length: > 0 } dark ? new[] { $"{dark} s in the dark" } : [],
            .. Fact(entry, "waitedSeconds") is { Length: > 0 } waited ? new[] { $"{waited} s waited and {Fact(entry, "ownSeconds")} s of our own, by this machine's time" } : [],
        ];
        return seen.Length == 0 ? string.Empty : $" Last seen: {string.Join(", ", seen)}.";
    }

    private static string RunEnded(RunEntry entry)
    {
        string left = Fact(entry, "notBegun") is { Length: > 0 } units ? $" Not begun: {units}." : string.Empty;
        return $"The run ended because {Sentence(Fact(entry, "because"))}{left}";
    }

    private static string Listed(RunEntry entry, string[] without) =>
        string.Join(", ", entry.Facts.Where(fact => !without.Contains(fact.Key) && Words(fact.Value).Length > 0).Select(fact => $"{fact.Key} {Words(fact.Value)}"));

    private static bool Is(RunEntry entry, string name) => Found(entry, name) is true;

    private static string Fact(RunEntry entry, string name) => Words(Found(entry, name));

    private static object? Found(RunEntry entry, string name) => entry.Facts.FirstOrDefault(fact => fact.Key == name).Value;

    private static string Count(string count, string what) => $"{count} {what}{(count == "1" ? string.Empty : "s")}";

    private static string Sentence(string text) => text.EndsWith(".", StringComparison.Ordinal) ? text.Trim() : $"{text.Trim()}.";

    private static string Words(object? value) => value switch
    {
        null => string.Empty,
        DateTime utc => utc.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) + " UTC",
        string text => text,
        IEnumerable<string> texts => string.Join(", ", texts),
        IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
        _ => value.ToString() ?? string.Empty,
    };
}
