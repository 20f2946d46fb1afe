namespace PoeOps.Files;

/// <summary>Finds, for a word that is not known, the known one that was most likely meant.</summary>
public static class Nearest
{
    private const int LeastBeginning = 4;

    /// <summary>The known word with the fewest edits to the given one, without regard to case; the first of equals.</summary>
    /// <param name="word">What was found.</param>
    /// <param name="known">What could have been meant.</param>
    /// <returns>The nearest, or null where nothing is known.</returns>
    public static string? To(string word, IEnumerable<string> known)
    {
        string? best = null;
        int least = int.MaxValue;
        foreach (string candidate in known)
        {
            int edits = Edits(word.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (edits < least)
            {
                (best, least) = (candidate, edits);
            }
        }

        return best;
    }

    /// <summary>A known word that was meant, very likely: every third letter of it differs at the most, or the given one is its beginning.</summary>
    /// <param name="word">What was found.</param>
    /// <param name="known">What could have been meant.</param>
    /// <returns>The word, or null where none is so near.</returns>
    public static string? Close(string word, IEnumerable<string> known)
    {
        string[] all = [.. known];
        return To(word, all) is { } near && Edits(word.ToUpperInvariant(), near.ToUpperInvariant()) * 3 <= near.Length
            ? near
            : all.FirstOrDefault(one => word.Length >= LeastBeginning && one.StartsWith(word, StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>The end of a sentence that names the nearest known word: <c>; the nearest is 'zone'</c>, or nothing where none is known.</summary>
    /// <param name="word">What was found.</param>
    /// <param name="known">What could have been meant.</param>
    public static string Hint(string word, IEnumerable<string> known) => To(word, known) is { } nearest ? $"; the nearest is '{nearest}'" : string.Empty;

    /// <summary>The same where the nearest is so near that it may be meant: one begins the other, or one letter in three differs at the most; else nothing.</summary>
    /// <param name="word">What was found.</param>
    /// <param name="known">What could have been meant.</param>
    public static string HintIfNear(string word, IEnumerable<string> known)
    {
        string[] all = [.. known];
        string? nearest = all.FirstOrDefault(one => Begins(one, word) || Begins(word, one)) ?? To(word, all);
        return nearest is not null && (Begins(nearest, word) || Begins(word, nearest) || Edits(word.ToUpperInvariant(), nearest.ToUpperInvariant()) * 3 <= Math.Max(word.Length, nearest.Length))
            ? $"; the nearest is '{nearest}'" : string.Empty;
    }

    private static bool Begins(string word, string beginning) => beginning.Length >= 3 && word.StartsWith(beginning, StringComparison.OrdinalIgnoreCase);

    // Insertions, deletions, replacements and swaps of neighbours (optimal string alignment), one row at a time.
    private static int Edits(string left, string right)
    {
        int[] beforeLast = new int[right.Length + 1];
        int[] last = [.. Enumerable.Range(0, right.Length + 1)];
        for (int i = 1; i <= left.Length; i++)
        {
            int[] row = new int[right.Length + 1];
            row[0] = i;
            for (int j = 1; j <= right.Length; j++)
            {
                int cost = left[i - 1] == right[j - 1] ? 0 : 1;
                row[j] = Math.Min(Math.Min(last[j] + 1, row[j - 1] + 1), last[j - 1] + cost);
                if (i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1])
                {
                    row[j] = Math.Min(row[j], beforeLast[j - 2] + 1);
                }
            }

            (beforeLast, last) = (last, row);
        }

        return last[right.Length];
    }
}
