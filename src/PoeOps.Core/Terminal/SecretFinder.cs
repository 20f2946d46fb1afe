using System.Text;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// Strikes secrets out of text that comes in pieces of any size: in either case of its letters, in the encodings of <see cref="SecretForms"/>, and with
/// what a device puts between its characters where it wraps or masks them. A secret of fewer than four characters stands in every text: striking it
/// there would spoil the text and tell the secret. So it is looked for only while logging in, and only as a word of its own.
/// </summary>
internal sealed class SecretFinder
{
    /// <summary>What stands in the place of a secret.</summary>
    public const string Struck = "[secret]";

    /// <summary>A secret as long as this is looked for everywhere; of a longer one, a beginning as long as this is not given away either where the text breaks off.</summary>
    public const int Least = 4;

    // The beginning of a secret that a broken line or a cut text ends with is struck out where it is as long as this.
    private const int LeastBeginning = 3;

    private readonly string[] _forms;
    private readonly string[] _words;
    private readonly HashSet<char> _firsts;

    /// <summary>Takes secrets in all their forms.</summary>
    /// <param name="secrets">The secrets.</param>
    /// <param name="forms">The forms of one.</param>
    /// <param name="isLogIn">True while logging in.</param>
    public SecretFinder(IEnumerable<string> secrets, Func<string, IEnumerable<string>> forms, bool isLogIn)
    {
        string[] all = [.. secrets.Distinct()];
        _forms = [.. all.Where(secret => secret.Trim().Length >= Least).SelectMany(forms).Where(form => form.Length >= Least).Distinct().OrderByDescending(form => form.Length)];
        _words = [.. all.Where(secret => isLogIn && secret.Trim().Length < Least).SelectMany(secret => forms(secret).Take(1)).Where(form => form.Trim().Length > 0).OrderByDescending(form => form.Length)];
        _firsts = [.. _forms.Concat(_words).Select(form => Folded(form[0]))];
    }

    /// <summary>Strikes secrets out of a whole text. A beginning of one that an excerpt cut off is struck too.</summary>
    public string Strike(string text)
    {
        string before = string.Empty;
        return Strike(text, ref before, isLast: true, out _, beginnings: false);
    }

    /// <summary>Strikes secrets out of the next piece of a text.</summary>
    /// <param name="text">What was held back of the pieces before, and the piece.</param>
    /// <param name="before">The last character that was given out before, or nothing; the last one of this piece afterwards.</param>
    /// <param name="isLast">True where nothing comes behind it: what is the beginning of a secret there is struck as well.</param>
    /// <param name="held">The end of the text, which may become a secret.</param>
    public string Strike(string text, ref string before, bool isLast, out string held) => Strike(text, ref before, isLast, out held, beginnings: isLast);

    /// <summary>True for a text that is a part of a secret, or blank: a part of an echo, where a line holds nothing else.</summary>
    public bool IsPart(string text)
    {
        string part = text.Trim();
        return _forms.Any(form => form.IndexOf(part, StringComparison.OrdinalIgnoreCase) >= 0);
    }

    private string Strike(string text, ref string before, bool isLast, out string held, bool beginnings)
    {
        held = string.Empty;
        var struck = new StringBuilder(text.Length);
        for (int at = 0; at < text.Length;)
        {
            int end = _firsts.Contains(Folded(text[at])) ? End(text, at, before, isLast, beginnings) : at;
            if (end < 0)
            {
                held = text.Substring(at);
                break;
            }

            struck.Append(end > at ? Struck : text[at].ToString());
            before = text[Math.Max(at, end - 1)].ToString();
            at = Math.Max(at + 1, end);
        }

        return struck.ToString();
    }

    // Where the longest secret that begins at a place ends; the place itself where none does; -1 where it cannot be told yet.
    private int End(string text, int at, string before, bool isLast, bool beginnings)
    {
        int end = at;
        foreach (string form in _forms)
        {
            int match = Match(text, at, form, beginnings);
            if (match == text.Length + 1)
            {
                if (!isLast)
                {
                    return -1;
                }
            }
            else
            {
                end = Math.Max(end, match);
            }
        }

        bool isInWord = before.Length > 0 && char.IsLetterOrDigit(before[0]);
        foreach (string word in isInWord ? [] : _words)
        {
            int match = Match(text, at, word, beginnings: false);
            if (match == text.Length + 1 || match == text.Length)
            {
                if (!isLast)
                {
                    return -1;
                }
            }

            end = match > at && match <= text.Length && (match == text.Length || !char.IsLetterOrDigit(text[match])) ? Math.Max(end, match) : end;
        }

        return end;
    }

    // The end of a form that begins at a place; the place where it does not; one beyond the text where the text ends before the form does.
    private static int Match(string text, int at, string form, bool beginnings)
    {
        int place = at;
        for (int i = 0; i < form.Length; i++)
        {
            int next = i == 0 ? place : Noise.Skip(text, place, form[i]);
            if (next >= text.Length)
            {
                return beginnings && i >= LeastBeginning ? text.Length : text.Length + 1;
            }

            if (text[next] == Excerpt.Cut && i >= LeastBeginning)
            {
                return next;
            }

            if (Folded(text[next]) != Folded(form[i]))
            {
                return at;
            }

            place = next + 1;
        }

        return place;
    }

    private static char Folded(char c) => char.ToUpperInvariant(c);
}
