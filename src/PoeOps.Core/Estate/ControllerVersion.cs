using System.Text;

namespace PoeOps.Estate;

/// <summary>
/// A version that can be ordered. It is made of parts in order of weight, each a number or letters; how a text is taken apart into parts is the
/// dialect's to say, so two spellings of one version compare equal. Missing parts at the end count as 0.
/// </summary>
public sealed class ControllerVersion : IEquatable<ControllerVersion>, IComparable<ControllerVersion>
{
    private readonly string[] _parts;

    /// <summary>Makes a version of its parts.</summary>
    /// <param name="parts">The parts, heaviest first. A part of digits is a number, an empty one is 0, and one that mixes digits and letters counts as its runs.</param>
    /// <param name="text">The version as it was printed.</param>
    public ControllerVersion(IEnumerable<string> parts, string text)
    {
        _parts = Normalize(parts);
        Text = text;
    }

    /// <summary>The version as it was printed.</summary>
    public string Text { get; }

    /// <summary>The parts, heaviest first, without padding and without zeros at the end.</summary>
    public IReadOnlyList<string> Parts => _parts;

    /// <summary>Takes a text apart where no dialect says how: runs of digits and runs of letters are parts, everything else separates; a leading v before a digit is no part.</summary>
    /// <param name="text">The version as it was printed.</param>
    /// <returns>The version, or null where the text holds no digit: a word such as <c>unknown</c> is no version, and must not pass for a very old one.</returns>
    public static ControllerVersion? ParseNatural(string? text)
    {
        string trimmed = (text ?? string.Empty).Trim();
        int start = trimmed.Length > 1 && trimmed[0] is 'v' or 'V' && IsDigit(trimmed[1]) ? 1 : 0;
        List<string> parts = SplitRuns(trimmed.Substring(start));
        return trimmed.Any(IsDigit) ? new ControllerVersion(parts, trimmed) : null;
    }

    /// <summary>True when both are the same version, whatever their spelling.</summary>
    public static bool operator ==(ControllerVersion? left, ControllerVersion? right) => left is null ? right is null : left.Equals(right);

    /// <summary>True when they are different versions.</summary>
    public static bool operator !=(ControllerVersion? left, ControllerVersion? right) => !(left == right);

    /// <summary>True when the first is older.</summary>
    public static bool operator <(ControllerVersion? left, ControllerVersion? right) => Compare(left, right) < 0;

    /// <summary>True when the first is newer.</summary>
    public static bool operator >(ControllerVersion? left, ControllerVersion? right) => Compare(left, right) > 0;

    /// <summary>True when the first is not newer.</summary>
    public static bool operator <=(ControllerVersion? left, ControllerVersion? right) => Compare(left, right) <= 0;

    /// <summary>True when the first is not older.</summary>
    public static bool operator >=(ControllerVersion? left, ControllerVersion? right) => Compare(left, right) >= 0;

    /// <inheritdoc/>
    public int CompareTo(ControllerVersion? other)
    {
        if (other is null)
        {
            return 1;
        }

        for (int i = 0; i < Math.Max(_parts.Length, other._parts.Length); i++)
        {
            int order = ComparePart(PartAt(i), other.PartAt(i));
            if (order != 0)
            {
                return order;
            }
        }

        return 0;
    }

    /// <inheritdoc/>
    public bool Equals(ControllerVersion? other) => other is not null && CompareTo(other) == 0;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as ControllerVersion);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(string.Join("\0", _parts));

    /// <summary>The version as it was printed.</summary>
    public override string ToString() => Text;

    private static int Compare(ControllerVersion? left, ControllerVersion? right) =>
        left is null ? (right is null ? 0 : -1) : left.CompareTo(right);

    private string PartAt(int index) => index < _parts.Length ? _parts[index] : "0";

    // Letters weigh less than numbers at the same place, so 2.1.rc3 comes before 2.1.0; between them the alphabet decides.
    private static int ComparePart(string left, string right)
    {
        bool leftNumber = IsDigit(left[0]);
        bool rightNumber = IsDigit(right[0]);
        if (leftNumber != rightNumber)
        {
            return leftNumber ? 1 : -1;
        }

        return leftNumber && left.Length != right.Length ? left.Length.CompareTo(right.Length) : string.CompareOrdinal(left, right);
    }

    private static string[] Normalize(IEnumerable<string> parts)
    {
        var kept = new List<string>();
        foreach (string part in parts)
        {
            List<string> runs = SplitRuns(part.ToLowerInvariant());
            kept.AddRange(runs.Count == 0 ? ["0"] : runs.Select(run => IsDigit(run[0]) ? TrimZeros(run) : run));
        }

        while (kept.Count > 0 && kept[kept.Count - 1] == "0")
        {
            kept.RemoveAt(kept.Count - 1);
        }

        return [.. kept];
    }

    private static string TrimZeros(string digits)
    {
        string trimmed = digits.TrimStart('0');
        return trimmed.Length == 0 ? "0" : trimmed;
    }

    private static List<string> SplitRuns(string text)
    {
        var parts = new List<string>();
        var run = new StringBuilder();
        foreach (char c in text + "\0")
        {
            bool belongs = run.Length > 0 && (IsDigit(c) ? IsDigit(run[0]) : IsLetter(c) && IsLetter(run[0]));
            if (run.Length > 0 && !belongs)
            {
                parts.Add(run.ToString());
                run.Clear();
            }

            if (IsDigit(c) || IsLetter(c))
            {
                run.Append(c);
            }
        }

        return parts;
    }

    private static bool IsDigit(char c) => c is >= '0' and <= '9';

    private static bool IsLetter(char c) => c is (>= 'a' and <= 'z') or (>= 'A' and <= 'Z');
}
