using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>
/// Ports of one unit as a person lists them: names and ranges with commas between, such as <c>1-8,12,A3</c> or <c>A1-A4</c>. A range counts in
/// the digits at the end of a name; what stands before them is the same on both sides and may be left out on the right.
/// </summary>
public sealed class PortList
{
    private const int MostPorts = 4096;

    private static readonly Regex NumberAtEnd = new(@"\A(?<name>.*?)(?<number>[0-9]{1,9})\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    // As others write a range: with full stops, or with a dash that is no hyphen.
    private static readonly Regex OtherRange = new(@"\A(?<first>\S*[0-9])\s*(\.{2,}|[\u2010-\u2015\u2026\u2212])\s*(?<last>\S*[0-9])\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    private readonly List<Span> _spans = [];

    private PortList()
    {
    }

    /// <summary>How many ports it names.</summary>
    public int Count => _spans.Sum(span => span.Last - span.First + 1);

    /// <summary>Reads a list.</summary>
    /// <param name="text">The list.</param>
    /// <param name="wrong">Why it is none, as the end of a sentence, or null.</param>
    /// <returns>The list, or null.</returns>
    public static PortList? Read(string text, out string? wrong)
    {
        var list = new PortList();
        wrong = null;
        foreach (string part in text.Split(','))
        {
            wrong ??= list.Add(part.Trim());
        }

        return wrong is null ? list : null;
    }

    /// <summary>True where the list names the port; case and zeros before a number do not matter.</summary>
    /// <param name="port">The port, as the device names it within the unit.</param>
    public bool Contains(string port)
    {
        Span one = SpanOf(port);
        return _spans.Any(span => span.Overlaps(one));
    }

    /// <summary>The first port that two lists have in common, or null.</summary>
    /// <param name="other">The other list.</param>
    public string? FirstInCommon(PortList other)
    {
        foreach (Span span in _spans)
        {
            if (other._spans.FirstOrDefault(span.Overlaps) is { } common)
            {
                return span.NameOf(Math.Max(span.First, common.First));
            }
        }

        return null;
    }

    private static Span SpanOf(string name)
    {
        Match match = NumberAtEnd.Match(name);
        if (!match.Success)
        {
            return new Span(name, 0, 0, HasNumber: false);
        }

        int number = int.Parse(match.Groups["number"].Value, NumberStyles.None, CultureInfo.InvariantCulture);
        return new Span(match.Groups["name"].Value, number, number, HasNumber: true);
    }

    private string? Add(string part)
    {
        if (NameParts.Check(part, slashAllowed: true) is { } wrong)
        {
            return wrong;
        }

        if (OtherRange.Match(part) is { Success: true } other)
        {
            return $"'{part}' is no range; {other.Groups["first"].Value}-{other.Groups["last"].Value} is";
        }

        Span span = RangeOf(part) ?? SpanOf(part);
        if (span.Last < span.First)
        {
            return $"the range '{part}' ends before it begins";
        }

        if (span.Last - span.First >= MostPorts)
        {
            return $"the range '{part}' has more than {MostPorts.ToString(CultureInfo.InvariantCulture)} ports";
        }

        if (_spans.Any(span.Overlaps))
        {
            return $"'{part}' names a port that the list has already";
        }

        _spans.Add(span);
        return null;
    }

    // A hyphen is a range only between two numbers, so that a port may be called left-3.
    private static Span? RangeOf(string part)
    {
        for (int hyphen = part.IndexOf('-'); hyphen >= 0; hyphen = part.IndexOf('-', hyphen + 1))
        {
            Span first = SpanOf(part.Substring(0, hyphen).TrimEnd());
            Span last = SpanOf(part.Substring(hyphen + 1).TrimStart());
            bool samePrefix = last.Prefix.Length == 0 || string.Equals(first.Prefix, last.Prefix, StringComparison.OrdinalIgnoreCase);
            if (first.HasNumber && last.HasNumber && samePrefix)
            {
                return first with { Last = last.First };
            }
        }

        return null;
    }

    private sealed record Span(string Prefix, int First, int Last, bool HasNumber)
    {
        public bool Overlaps(Span other) =>
            HasNumber == other.HasNumber && First <= other.Last && other.First <= Last && string.Equals(Prefix, other.Prefix, StringComparison.OrdinalIgnoreCase);

        public string NameOf(int number) => HasNumber ? Prefix + number.ToString(CultureInfo.InvariantCulture) : Prefix;
    }
}
