using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>Something that a draft guesses of a console.</summary>
/// <param name="Pattern">The pattern.</param>
/// <param name="Why">What it rests on.</param>
/// <param name="Line">An example.</param>
internal sealed record DraftPatternGuess(string Pattern, string Why, DraftLine Line);

/// <summary>Finds beginnings of lines that recur before different commands, or alone where a device echoes none.</summary>
internal sealed class DraftPrompts
{
    private const int Widest = 80;
    private const int MostKeys = 100_000;
    private const int MostPrompts = 4;
    private const int MostCommands = 50;
    private const string Signs = ">#$%:;)]}=|!?~";
    private const string Host = "\u0001";

    private readonly Dictionary<string, Candidate> _candidates = new(StringComparer.Ordinal);

    /// <summary>Finds the prompts, and sets their lines apart.</summary>
    public static IReadOnlyList<DraftPatternGuess> Find(IReadOnlyList<DraftLine> lines)
    {
        DraftPrompts prompts = new();
        prompts.Gather(lines);
        List<Candidate> found = prompts.Choose(lines);
        foreach (DraftLine line in lines)
        {
            line.Apart |= !line.Blank && found.Exists(one => Keys(line).Any(cut => cut.Key == one.Key));
        }

        return [.. found.Select(one => one.Guess())];
    }

    private void Gather(IReadOnlyList<DraftLine> lines)
    {
        bool first = true;
        bool[] pairs = [.. lines.Select(line => DraftPair.Of(line.Text) is not null)];
        for (int i = 0; i < lines.Count; i++)
        {
            DraftLine line = lines[i];
            foreach ((string key, string behind) in line.Blank ? [] : Keys(line))
            {
                if (!_candidates.TryGetValue(key, out Candidate? candidate))
                {
                    if (_candidates.Count >= MostKeys)
                    {
                        continue;
                    }

                    _candidates.Add(key, candidate = new Candidate(key, line));
                }

                candidate.Take(line, behind, first, IsNear(lines, pairs, i - 1, key) || IsNear(lines, pairs, i + 1, key));
            }

            first = line.Number == 0 || (first && line.Blank);
        }
    }

    // A name and a value beside another are no prompt.
    private static bool IsNear(IReadOnlyList<DraftLine> lines, bool[] pairs, int at, string key) =>
        at >= 0 && at < lines.Count && pairs[at] && !lines[at].Text.StartsWith(key, StringComparison.Ordinal);

    // Of the beginnings of one line the longest counts that recurs.
    private List<Candidate> Choose(IReadOnlyList<DraftLine> lines)
    {
        HashSet<Candidate> chosen = [];
        foreach (DraftLine line in lines.Where(line => !line.Blank))
        {
            Candidate? longest = Keys(line).Select(cut => _candidates.TryGetValue(cut.Key, out Candidate? one) && one.IsLikely ? one : null).LastOrDefault(one => one is not null);
            if (longest is not null)
            {
                chosen.Add(longest);
            }
        }

        bool strong = chosen.Any(one => one.IsStrong);
        return [.. chosen.Where(one => one.IsStrong || !strong).OrderByDescending(one => one.Lines).Take(MostPrompts)];
    }

    // Each beginning that ends in a sign, from the shortest, and what stands behind it. A beginning with the file's name in it is the same in all files.
    private static IEnumerable<(string Key, string Behind)> Keys(DraftLine line)
    {
        string text = line.Text;
        string stem = CaptureName.SwitchOf(line.File);
        for (int i = 0; i < Math.Min(Widest, text.Length); i++)
        {
            bool ends = i + 1 == text.Length || text[i + 1] == ' ' || (char.IsLetter(text[i + 1]) && text[i] is '>' or '#' or '$' or '%');
            if (ends && Signs.IndexOf(text[i]) >= 0 && (i == 0 ? text[0] is '>' or '#' or '$' or '%' : text.Take(i).Any(char.IsLetterOrDigit)))
            {
                string key = text.Substring(0, i + 1);
                int at = stem.Length == 0 ? -1 : key.IndexOf(stem, StringComparison.OrdinalIgnoreCase);
                yield return (at < 0 || IsInWord(key, at - 1) || IsInWord(key, at + stem.Length) ? key : key.Remove(at, stem.Length).Insert(at, Host), text.Substring(i + 1).Trim());
            }
        }
    }

    private static bool IsInWord(string key, int at) => at >= 0 && at < key.Length && char.IsLetterOrDigit(key[at]);

    private sealed class Candidate
    {
        private readonly HashSet<string> _commands = new(StringComparer.Ordinal);
        private readonly DraftLine _example;
        private int _alone;
        private int _blankBehind;
        private int _nearPair;
        private int _first;

        public Candidate(string key, DraftLine example) => (Key, _example) = (key, example);

        public string Key { get; }

        public int Lines { get; private set; }

        public bool IsStrong => _alone > 0 || _first > 0;

        public bool IsLikely => (!IsLikePair || _nearPair * 2 <= Lines) && (_commands.Count > 1 || (_commands.Count == 1 && _alone > 0) || IsSilent);

        private bool IsLikePair => Key[Key.Length - 1] is ':' or '=' && Key.IndexOf(Host, StringComparison.Ordinal) < 0;

        // Where nothing is echoed, the prompt alone recurs.
        private bool IsSilent => _alone > 2 && _alone == Lines && (_blankBehind * 2 > Lines || Key[Key.Length - 1] is '>' or '#' or '$' or '%');

        public void Take(DraftLine line, string rest, bool first, bool nearPair)
        {
            bool command = rest.Length > 0 && char.IsLetter(rest[0]);
            if (!command && rest.Length > 0)
            {
                return;
            }

            Lines++;
            _alone += rest.Length == 0 ? 1 : 0;
            _first += first ? 1 : 0;
            _nearPair += nearPair ? 1 : 0;
            _blankBehind += line.Text.IndexOf(' ', Math.Min(line.Text.Length - 1, Key.Length)) >= 0 ? 1 : 0;
            if (command && _commands.Count < MostCommands)
            {
                _commands.Add(rest);
            }
        }

        public DraftPatternGuess Guess()
        {
            string pattern = string.Join("[A-Za-z0-9._-]+", Regex.Split(Key, Host).Select(DraftPattern.Exact));
            string blank = _blankBehind > 0 ? " " : string.Empty;
            string why = FormattableString.Invariant($"lines that begin so: {Lines}; different commands behind it: {_commands.Count}; lines with nothing behind it: {_alone}");
            return new DraftPatternGuess($"^{pattern}{blank}$", why, _example);
        }
    }
}
