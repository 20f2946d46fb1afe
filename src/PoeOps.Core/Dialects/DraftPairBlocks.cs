using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>Makes a block of the names and values that stand behind lines of one kind.</summary>
internal static class DraftPairBlocks
{
    // More names than a card has are a list of another kind.
    private const int MostNames = 40;

    private static readonly Regex Names = new(@"^[A-Za-z0-9][A-Za-z0-9:/_-]{0,29}$", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly string[] OfPortAlone = ["PdClass", "Priority", "LimitWatts", "AdminEnabled", "Neighbour"];
    private static readonly string[] OfControllerAlone = ["Firmware", "Serial", "Model", "BudgetWatts", "GuardBandWatts"];

    /// <summary>The blocks, in the order of their first lines.</summary>
    public static IEnumerable<DraftBlock> Of(IReadOnlyList<DraftLine> lines) =>
        DraftPairRun.Find(lines).GroupBy(KindOf, StringComparer.Ordinal).Select(alike => Make([.. alike])).OfType<DraftBlock>();

    private static string KindOf(DraftPairRun run) => run.Before is { } before ? new DraftPhrase(before.Text).Shape : "\u0001" + run.Pairs[0].Pair.Name;

    private static DraftBlock? Make(List<DraftPairRun> runs)
    {
        string[] names = [.. runs.SelectMany(run => run.Pairs).Select(one => one.Pair.Name).Distinct(StringComparer.Ordinal)];
        if (names.Length > MostNames)
        {
            return null;
        }

        DraftBlock block = new() { Kind = Kind(names, runs[0].Before), OneRecord = true };
        DraftPairRun first = runs[0];
        int pairs = runs.Sum(run => run.Pairs.Count);
        block.Why = FormattableString.Invariant($"names and values in {pairs} lines, found {runs.Count} times, first in {(first.Before ?? first.Pairs[0].Line).Where}");
        DraftField[] keys = TakeBeginning(block, runs);
        TakePairs(block, runs, keys.Length);
        TakeEnd(block, runs);
        return block;
    }

    private static DraftField[] TakeBeginning(DraftBlock block, List<DraftPairRun> runs)
    {
        if (runs[0].Before is not { } before)
        {
            return [];
        }

        DraftPhrase phrase = new(before.Text);
        DraftField[] keys = [.. phrase.Keys.Select(key => new DraftField(key.Before, KeyOf(block.Kind, key.Before, phrase.Keys.Count)) { Reason = "by the word before it, or as the one word that differs in the first line" })];
        foreach (DraftPairRun run in runs)
        {
            IReadOnlyList<(string Before, string Word)> words = new DraftPhrase(run.Before!.Text).Keys;
            for (int i = 0; i < keys.Length; i++)
            {
                keys[i].See(words[i].Word);
            }
        }

        foreach (DraftField key in keys.Where(key => key.Property is not null && !key.Values.All(value => Names.IsMatch(value))))
        {
            key.Drop("it does not look like a name");
        }

        block.Fields.AddRange(keys);
        block.Begins = () => phrase.Pattern([.. keys.Select(key => key.Property)]);
        return keys;
    }

    private static string? KeyOf(RecordKind? kind, string before, int count) =>
        kind is { } known && DraftWords.Property(known, before) is "Unit" or "Port" or "Host" ? DraftWords.Property(kind!.Value, before)
        : count > 1 ? null
        : kind == RecordKind.Controller ? "Unit" : kind == RecordKind.Port ? "Port" : kind == RecordKind.Switch ? "Host" : null;

    private static void TakePairs(DraftBlock block, List<DraftPairRun> runs, int keys)
    {
        Dictionary<(int, string, string), DraftField> fields = [];
        List<Func<string>> patterns = [];
        foreach ((DraftLine line, DraftPair pair) in runs.SelectMany(run => run.Pairs))
        {
            var key = (pair.Indent, pair.Name, pair.Sign);
            if (!fields.TryGetValue(key, out DraftField? field))
            {
                field = new DraftField(pair.Name, block.Kind is { } kind ? DraftWords.Property(kind, pair.Name) : null);
                fields.Add(key, field);
                block.Fields.Add(field);
                patterns.Add(() => DraftPair.Pattern(pair.Indent, pair.Name, pair.Sign, field.Property));
            }

            field.See(pair.Value);
            block.Expected.Add((line, () => field.Property is null ? string.Empty : $"{field.Property}={pair.Value}"));
        }

        foreach (DraftField twice in runs.SelectMany(run => run.Pairs.GroupBy(one => one.Pair.Name).Where(one => one.Count() > 1)).Select(one => block.Fields.Skip(keys).First(field => field.Name == one.Key)))
        {
            twice.Drop("the name stands there twice");
        }

        bool itself = runs[0].Before is null;
        block.Begins = itself ? patterns[0] : block.Begins;
        block.Rows = () => patterns.Skip(itself ? 1 : 0).Select(one => one());
    }

    private static void TakeEnd(DraftBlock block, List<DraftPairRun> runs)
    {
        string[] shapes = [.. runs.Select(run => run.After is { } after ? new DraftPhrase(after.Text).Shape : string.Empty).Distinct(StringComparer.Ordinal)];
        if (shapes.Length == 1 && shapes[0].Length > 0)
        {
            DraftPhrase phrase = new(runs[0].After!.Text);
            block.Ends.Add(phrase.Pattern([.. phrase.Keys.Select(_ => (string?)null)]));
            block.EndsWhy = FormattableString.Invariant($"such a line follows every time, {runs.Count} times, first in {runs[0].After!.Where}");
        }
    }

    private static RecordKind? Kind(string[] names, DraftLine? before)
    {
        int port = names.Count(name => OfPortAlone.Contains(DraftWords.Property(RecordKind.Port, name)));
        int controller = names.Count(name => OfControllerAlone.Contains(DraftWords.Property(RecordKind.Controller, name)));
        return port > controller ? RecordKind.Port : controller > 0 ? RecordKind.Controller : DraftWords.KindOf([.. names, .. before is null ? [] : new DraftPhrase(before.Text).Keys.Select(key => key.Before)]);
    }
}
