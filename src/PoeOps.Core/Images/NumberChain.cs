using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Images;

/// <summary>Numbers of a text that stand together with at most one mark between, as those of a version do.</summary>
internal sealed class NumberChain
{
    private static readonly Regex Words = new("[A-Za-z0-9]+", RegexOptions.CultureInvariant, OwnPattern.Longest);
    private static readonly Regex Runs = new("(?<letters>[A-Za-z]*)(?<digits>[0-9]+)", RegexOptions.CultureInvariant, OwnPattern.Longest);

    // A day, a build's number, or a piece of a digest: no part of a version.
    private static readonly Regex Stray = new(@"\A(?:[0-9]{6,}|(?=[0-9a-fA-F]{7,}\z)[0-9]*[a-fA-F].*)\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    // Words that say that it is not the version yet.
    private static readonly HashSet<string> Early = new(StringComparer.OrdinalIgnoreCase) { "rc", "alpha", "beta", "pre", "dev" };

    // Words that a version may begin with.
    private static readonly HashSet<string> Openers = new(StringComparer.OrdinalIgnoreCase) { "v", "r", "ver", "fw", "rel" };

    private readonly string _text;
    private readonly List<Number> _numbers = [];

    private NumberChain(string text) => _text = text;

    /// <summary>How many numbers it has.</summary>
    public int Count => _numbers.Count;

    /// <summary>True where it is but the digits of a name, such as those of KL48.</summary>
    public bool IsOfAName => Count == 1 && _numbers[0].OfAName;

    /// <summary>The part that looks most like a version: numbers with full stops between and what hangs on them; where there are none, all of it.</summary>
    public string Version
    {
        get
        {
            if (!_numbers.Skip(1).Any(number => number.Before == "."))
            {
                return Between(_numbers[0].OfAName && Count > 2 ? 1 : 0, Count);
            }

            int start = _numbers.FindIndex(1, number => number.Before == ".") - 1;
            int end = start + 1;
            while (end < Count && (_numbers[end].Before is "." or "" || _numbers[end].Lead.Length > 0))
            {
                end++;
            }

            return Between(start, end);
        }
    }

    /// <summary>The chains of a text.</summary>
    public static IReadOnlyList<NumberChain> Of(string text)
    {
        List<NumberChain> chains = [];
        NumberChain chain = new(text);
        int end = 0;
        string lead = string.Empty;
        foreach (Match word in Words.Matches(text))
        {
            string between = text.Substring(end, word.Index - end);
            end = word.Index + word.Length;
            bool early = Early.Contains(word.Value);
            bool joins = chain.Count > 0 && between.Length == 1 && between[0] is '.' or '_' or '-' or '+' or ' ' && (early || IsPart(word.Value));
            if (!joins)
            {
                chain = new NumberChain(text);
                chains.Add(chain);
            }

            if (early)
            {
                lead = word.Value;
            }
            else
            {
                chain.Take(word, between, lead);
                lead = string.Empty;
            }
        }

        return [.. chains.Where(one => one.Count > 0)];
    }

    /// <summary>The stretch that is this version, no more and no less of it; null where there is none.</summary>
    /// <param name="version">The chain of the version.</param>
    public string? Holds(NumberChain version)
    {
        List<Number> wanted = [.. version._numbers];
        while (wanted.Count > 1 && wanted[wanted.Count - 1] is { Value: "0", Tail: "" })
        {
            wanted.RemoveAt(wanted.Count - 1);
        }

        for (int start = 0; start + wanted.Count <= Count; start++)
        {
            int end = start + wanted.Count;
            if (wanted.Select((number, i) => IsSame(number, _numbers[start + i])).All(same => same))
            {
                HashSet<string> inside = [.. _numbers.Skip(start + 1).Take(wanted.Count - 1).Select(number => number.Before)];
                while (end < Count && _numbers[end] is { Value: "0", Lead: "" } zero && (inside.Count == 0 || inside.Contains(zero.Before)))
                {
                    inside.Add(zero.Before);
                    end++;
                }

                if (Begins(start, inside) && Ends(end, inside))
                {
                    return Between(start, end);
                }
            }
        }

        return null;
    }

    private static bool IsSame(Number wanted, Number found) =>
        wanted.Value == found.Value && string.Equals(EarlyOf(wanted), EarlyOf(found), StringComparison.OrdinalIgnoreCase) &&
        string.Equals(wanted.Tail, found.Tail, StringComparison.OrdinalIgnoreCase);

    private static string EarlyOf(Number number) => Early.Contains(number.Lead) ? number.Lead : string.Empty;

    // What stands before belongs to it where it hangs on as its own parts do.
    private bool Begins(int start, HashSet<string> inside) =>
        start == 0 || _numbers[start - 1].OfAName || Openers.Contains(_numbers[start].Lead) ||
        (_numbers[start].Before.Length > 0 && inside.Count > 0 && !inside.Contains(_numbers[start].Before));

    private bool Ends(int end, HashSet<string> inside) =>
        end == Count || (_numbers[end].Before.Length > 0 && _numbers[end].Lead.Length == 0 && inside.Count > 0 && !inside.Contains(_numbers[end].Before));

    private static bool IsPart(string word) => Runs.Match(word) is { Success: true, Index: 0 } first && IsLead(first.Groups["letters"].Value) && !Stray.IsMatch(word);

    private static bool IsLead(string letters) => letters.Length <= 1 || Early.Contains(letters) || Openers.Contains(letters) || letters is "sp" or "SP";

    private void Take(Match word, string between, string lead)
    {
        if (Stray.IsMatch(word.Value))
        {
            return;
        }

        foreach (Match run in Runs.Matches(word.Value))
        {
            bool first = run.Index == 0;
            string letters = run.Groups["letters"].Value;
            string digits = run.Groups["digits"].Value.TrimStart('0');
            int digitsStart = word.Index + run.Groups["digits"].Index;
            _numbers.Add(new Number(
                digits.Length == 0 ? "0" : digits, IsLead(letters) ? word.Index + run.Index : digitsStart, word.Index + run.Index + run.Length, first ? between : string.Empty,
                first && lead.Length > 0 ? lead : letters, string.Empty, first && !IsLead(letters)));
        }

        // A letter or two behind the last number, as in 3.10.2a.
        Match? last = Runs.Matches(word.Value).Cast<Match>().LastOrDefault();
        string tail = last is null ? string.Empty : word.Value.Substring(last.Index + last.Length);
        if (tail.Length is 1 or 2)
        {
            Number number = _numbers[_numbers.Count - 1];
            _numbers[_numbers.Count - 1] = number with { Tail = tail, End = number.End + tail.Length };
        }
    }

    private string Between(int start, int end) => _text.Substring(_numbers[start].Start, _numbers[end - 1].End - _numbers[start].Start);

    /// <summary>A number of a text.</summary>
    /// <param name="Value">Its digits without zeros in front.</param>
    /// <param name="Start">Where it begins, with letters that belong to it.</param>
    /// <param name="End">Where it ends, with letters that belong to it.</param>
    /// <param name="Before">What stands between it and the number before; empty inside a word.</param>
    /// <param name="Lead">The letters before it.</param>
    /// <param name="Tail">A letter or two behind it.</param>
    /// <param name="OfAName">True where the letters before it look like a name: these digits may belong to that.</param>
    private sealed record Number(string Value, int Start, int End, string Before, string Lead, string Tail, bool OfAName);
}
