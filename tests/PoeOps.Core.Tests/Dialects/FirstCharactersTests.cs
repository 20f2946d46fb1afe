using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using PoeOps.Dialects;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A pattern is not tried where its matches cannot begin with what a line begins with; .NET's own expressions say whether that is so.</summary>
public class FirstCharactersTests
{
    private static readonly string[] Atoms =
    [
        "a", "Z", "0", " ", "-", "~", "é", ".", "\\d", "\\D", "\\s", "\\S", "\\w", "\\W", "\\.", "\\-", "\\^", "\\t", "\\x41", "\\u0041", "\\p{L}", "\\b", "\\B", "\\A", "\\z",
        "[a-f]", "[^a-f]", "[]a]", "[^]a]", "[\\d-]", "[\\s\\w]", "[a-f-[c]]", "[\\]-]", "[-a]", "[é]", "[\\x41-\\x43]", "^", "$", "{", "}", "]", "a{,2}", "(?i:q)", "(?=a)", "(?!a)", "(?<=a)", "(?#note)", "(?<n>a|b)", "(?<n-n>)",
        "(?:|x)", "(a)(?(1)b|c)",
    ];

    private static readonly string[] Counts = ["", "", "", "*", "+", "?", "{0}", "{2}", "{0,3}", "{1,}", "*?", "+?", "??"];

    private static readonly string[] Texts =
    [
        "", .. Enumerable.Range(0, 0x180).Select(c => ((char)c).ToString()), .. Enumerable.Range(0, 128).Select(c => (char)c + "ab"), "aab", "ba", "A1", "\u2003x", "\u200dx", "\u0660", "aaa{,2}", "12 W4",
    ];

    [Theory]
    [InlineData("^(?:told: \\d+ ports?)\\s*$", "t", "T 1\u00e9")]
    [InlineData("^(?:(Who calls\\?|Secret word\\?)( .*)?)\\s*$", "WS", "wsX1")]
    [InlineData("^(?:^-+( +-+)*$)\\s*$", "-", "a 1")]
    [InlineData("^(?: *(?<Unit>\\d+) .*)\\s*$", " 019\u0661", "a-")]
    [InlineData("^(?:a?b{0,2}c)\\s*$", "abc", "d")]
    [InlineData("^(?:[^a-z]x)\\s*$", "A1\u00e9 ", "az")]
    public void A_pattern_that_is_understood_keeps_lines_away(string pattern, string begin, string never)
    {
        FirstCharacters first = FirstCharacters.Of(pattern, RegexOptions.CultureInvariant)!;
        Assert.All(begin, c => Assert.True(first.MayBegin(c + "x")));
        Assert.All(never, c => Assert.False(first.MayBegin(c + "x")));
        Assert.False(first.MayBegin(""));
    }

    [Theory]
    [InlineData("a")]
    [InlineData("^a|b")]
    [InlineData("^*a")]
    [InlineData("^(?:a*)\\s*$")]
    [InlineData("^(?:.*a)\\s*$")]
    [InlineData("^(?i)a")]
    [InlineData("^(?:(?=a).b)\\s*$")]
    public void What_may_begin_otherwise_keeps_none_away(string pattern) => Assert.Null(FirstCharacters.Of(pattern, RegexOptions.CultureInvariant));

    [Fact]
    public void Options_that_change_what_fits_are_not_understood()
    {
        Assert.Null(FirstCharacters.Of("^a", RegexOptions.IgnoreCase));
        Assert.Null(FirstCharacters.Of("^a", RegexOptions.Multiline));
        Assert.NotNull(FirstCharacters.Of("^a", RegexOptions.Compiled));
    }

    [Fact]
    public void No_text_is_kept_away_from_a_pattern_that_fits_it()
    {
        var chance = new Random(20261125);
        int understood = 0;
        for (int i = 0; i < 4_000; i++)
        {
            string pattern = chance.Next(8) == 0 ? $"^{Sequence(chance, 2)}" : $"^(?:{Sequence(chance, 3)})\\s*$";
            if (Compile(pattern) is not { } regex || FirstCharacters.Of(pattern, RegexOptions.CultureInvariant) is not { } first)
            {
                continue;
            }

            understood++;
            foreach (string text in Texts.Where(text => !first.MayBegin(text)))
            {
                Assert.False(regex.IsMatch(text), string.Create(CultureInfo.InvariantCulture, $"{pattern} fits U+{(text.Length > 0 ? (int)text[0] : -1):X4} '{text}'."));
            }
        }

        Assert.InRange(understood, 700, 4_000);
    }

    [Fact]
    public void Each_class_has_every_character_that_it_fits()
    {
        foreach (string atom in Atoms)
        {
            if (Compile($"^{atom}x") is { } regex && FirstCharacters.Of($"^{atom}x", RegexOptions.CultureInvariant) is { } first)
            {
                Assert.All(Enumerable.Range(0, 0x3000).Select(c => (char)c + "x").Where(text => !first.MayBegin(text)), text => Assert.False(regex.IsMatch(text), $"{atom} fits {(int)text[0]:X4}"));
            }
        }
    }

    private static string Sequence(Random chance, int depth)
    {
        StringBuilder text = new();
        for (int atoms = chance.Next(1, 4); atoms > 0; atoms--)
        {
            string atom = depth > 0 && chance.Next(4) == 0
                ? $"{new[] { "(", "(?:", "(?<n>" }[chance.Next(3)]}{Sequence(chance, depth - 1)}{(chance.Next(2) == 0 ? "|" + Sequence(chance, depth - 1) : "")})"
                : Atoms[chance.Next(Atoms.Length)];
            text.Append(atom).Append(Counts[chance.Next(Counts.Length)]);
        }

        return text.ToString();
    }

    private static Regex? Compile(string pattern)
    {
        try
        {
            return new Regex(pattern, RegexOptions.CultureInvariant, TimeSpan.FromSeconds(5));
        }
        catch (ArgumentException)
        {
            return null;
        }
    }
}
