using System.Globalization;

namespace PoeOps.Rehearsal;

/// <summary>A mishap that somebody asked for, written as <c>TARGET:MOMENT:WHAT</c>, such as <c>north-1/2:Transfer:Damaged</c>.</summary>
/// <remarks>
/// A fourth part says on which occasions it happens: <c>1</c> the first only, <c>2-</c> from the second on, <c>2-3</c> on those two. An occasion is a
/// connection, a log-in, an answer, or a refresh of the unit. Without it, the catalogue says whether it happens once or always.
/// </remarks>
/// <param name="Target">The switch, or the unit as its id prints.</param>
/// <param name="Kind">What happens.</param>
/// <param name="First">The first occasion, from 1.</param>
/// <param name="Last">The last occasion; <see cref="int.MaxValue"/> for all that follow.</param>
public sealed record Mishap(string Target, MishapKind Kind, int First, int Last)
{
    private const string Shape = "Write the switch or unit, the moment and what happens with colons between them, such as north-1/2:Transfer:Damaged";

    /// <summary>Reads a mishap's text; case does not matter.</summary>
    /// <exception cref="PoeOpsException">No such mishap (<see cref="ProblemId.MishapUnknown"/>); names the nearest and lists all.</exception>
    public static Mishap Parse(string text)
    {
        string[] parts = (text ?? string.Empty).Split(':').Select(part => part.Trim()).ToArray();
        if (parts.Length is < 3 or > 4 || parts[0].Length == 0)
        {
            throw new PoeOpsException(new Problem(ProblemId.MishapUnknown, $"'{text}' is not a mishap: it has {parts.Length} of the 3 or 4 parts.", $"{Shape}. {ListAll()}"));
        }

        string name = parts[1] + ":" + parts[2];
        MishapEntry entry = MishapCatalogue.All.FirstOrDefault(candidate => string.Equals(candidate.Name, name, StringComparison.OrdinalIgnoreCase))
            ?? throw new PoeOpsException(new Problem(
                ProblemId.MishapUnknown, $"'{text}': no rehearsal plays the mishap '{name}'; the nearest is '{Nearest(name)}'.", ListAll()));
        (int first, int last) = parts.Length == 4 ? ReadOccasions(text!, parts[3]) : (1, entry.OnceOnly ? 1 : int.MaxValue);
        return new Mishap(parts[0], entry.Kind, first, last);
    }

    /// <summary>The text that <see cref="Parse"/> reads back.</summary>
    public override string ToString()
    {
        string last = Last == int.MaxValue ? string.Empty : Last.ToString(CultureInfo.InvariantCulture);
        string first = First.ToString(CultureInfo.InvariantCulture);
        return $"{Target}:{MishapCatalogue.Of(Kind).Name}:{(first == last ? first : first + "-" + last)}";
    }

    private static (int First, int Last) ReadOccasions(string text, string occasions)
    {
        string[] ends = occasions.Split('-');
        if (ends.Length <= 2 && ReadCount(ends[0], out int first))
        {
            if (ends.Length == 1)
            {
                return (first, first);
            }

            if (ends[1].Length == 0)
            {
                return (first, int.MaxValue);
            }

            if (ReadCount(ends[1], out int last) && last >= first)
            {
                return (first, last);
            }
        }

        throw new PoeOpsException(new Problem(
            ProblemId.MishapUnknown, $"'{text}': '{occasions}' does not say on which occasions the mishap happens.", "Write 1 for the first only, 2- for the second and all that follow, or 2-3 for those two."));
    }

    private static bool ReadCount(string digits, out int count) =>
        int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out count) && count >= 1;

    private static string ListAll() => "There are: " + string.Join(", ", MishapCatalogue.All.Select(entry => entry.Name)) + ".";

    private static string Nearest(string name) => MishapCatalogue.All.OrderBy(entry => Distance(entry.Name.ToUpperInvariant(), name.ToUpperInvariant())).First().Name;

    // The number of letters to add, drop or change, row by row.
    private static int Distance(string left, string right)
    {
        int[] above = Enumerable.Range(0, right.Length + 1).ToArray();
        for (int i = 1; i <= left.Length; i++)
        {
            int[] row = new int[right.Length + 1];
            row[0] = i;
            for (int j = 1; j <= right.Length; j++)
            {
                row[j] = Math.Min(Math.Min(row[j - 1], above[j]) + 1, above[j - 1] + (left[i - 1] == right[j - 1] ? 0 : 1));
            }

            above = row;
        }

        return above[right.Length];
    }
}
