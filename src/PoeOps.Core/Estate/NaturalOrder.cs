namespace PoeOps.Estate;

/// <summary>Orders names as a person would: runs of digits by their number, everything else by letter without regard to case.</summary>
public sealed class NaturalOrder : IComparer<string>
{
    private NaturalOrder()
    {
    }

    /// <summary>The one there is.</summary>
    public static NaturalOrder Instance { get; } = new();

    /// <inheritdoc/>
    public int Compare(string? x, string? y)
    {
        string left = x ?? string.Empty;
        string right = y ?? string.Empty;
        int order = InOrder(left, right);
        return order != 0 ? order : string.CompareOrdinal(left, right);
    }

    /// <summary>True for two names that stand at the same place in the order, and whose numbers have other zeros in front: 7 and 07, or 1/7 and 01/7.</summary>
    internal static bool AreOneButForZeros(string left, string right) => !string.Equals(left, right, StringComparison.OrdinalIgnoreCase) && InOrder(left, right) == 0;

    private static int InOrder(string left, string right)
    {
        int i = 0, j = 0;
        while (i < left.Length && j < right.Length)
        {
            int order = IsDigit(left[i]) && IsDigit(right[j])
                ? CompareNumbers(left, ref i, right, ref j)
                : char.ToUpperInvariant(left[i++]).CompareTo(char.ToUpperInvariant(right[j++]));
            if (order != 0)
            {
                return order;
            }
        }

        return (left.Length - i).CompareTo(right.Length - j);
    }

    // Without the zeros in front the longer run is the larger number.
    private static int CompareNumbers(string left, ref int i, string right, ref int j)
    {
        int a = SkipNumber(left, ref i);
        int b = SkipNumber(right, ref j);
        int order = (i - a).CompareTo(j - b);
        return order != 0 ? order : string.CompareOrdinal(left, a, right, b, i - a);
    }

    // Gives where its first digit that counts is.
    private static int SkipNumber(string text, ref int at)
    {
        while (at < text.Length - 1 && text[at] == '0' && IsDigit(text[at + 1]))
        {
            at++;
        }

        int start = at;
        while (at < text.Length && IsDigit(text[at]))
        {
            at++;
        }

        return start;
    }

    private static bool IsDigit(char c) => c is >= '0' and <= '9';
}
