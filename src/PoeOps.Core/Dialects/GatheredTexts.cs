using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>What the lines of a row or of a block gave: the text of each property, and the line on which it stood.</summary>
internal sealed class GatheredTexts
{
    private readonly Dictionary<string, string> _values = new(StringComparer.Ordinal);
    private readonly Dictionary<string, CaptureLine> _lines = new(StringComparer.Ordinal);

    /// <summary>The texts by property.</summary>
    public IReadOnlyDictionary<string, string> Values => _values;

    /// <summary>A property that two lines gave differently, or null.</summary>
    public string? Disagreeing { get; private set; }

    /// <summary>The line on which a property stood, or another where no line gave it.</summary>
    public CaptureLine LineOf(string property, CaptureLine otherwise) => _lines.TryGetValue(property, out CaptureLine line) ? line : otherwise;

    /// <summary>Sets a text that no line gave; a line may say otherwise.</summary>
    public void Assume(string property, string text) => _values[property] = text;

    /// <summary>Takes the named groups that took part in a match.</summary>
    public void Take(Regex pattern, Match match, CaptureLine line)
    {
        foreach (KeyValuePair<string, string> text in Of(pattern, match))
        {
            Take(text.Key, text.Value, line);
        }
    }

    /// <summary>Takes what another has gathered.</summary>
    public void Take(GatheredTexts other, CaptureLine line)
    {
        Disagreeing ??= other.Disagreeing;
        foreach (KeyValuePair<string, string> text in other._values)
        {
            Take(text.Key, text.Value, other.LineOf(text.Key, line));
        }
    }

    /// <summary>What this hands down to a row, with the row's own word in its place where there is one.</summary>
    public GatheredTexts HandedDownTo(GatheredTexts row)
    {
        var all = new GatheredTexts { Disagreeing = row.Disagreeing };
        foreach (GatheredTexts one in new[] { this, row })
        {
            foreach (KeyValuePair<string, string> text in one._values)
            {
                all._values[text.Key] = text.Value;
            }
        }

        foreach (KeyValuePair<string, CaptureLine> line in row._lines)
        {
            all._lines[line.Key] = line.Value;
        }

        return all;
    }

    /// <summary>The named groups that took part in a match, and what they hold.</summary>
    public static IEnumerable<KeyValuePair<string, string>> Of(Regex pattern, Match match) =>
        from name in GroupNames.Of(pattern)
        let part = match.Groups[name]
        where part.Success
        select new KeyValuePair<string, string>(name, part.Value);

    private void Take(string property, string text, CaptureLine line)
    {
        if (_lines.ContainsKey(property) && !string.Equals(_values[property].Trim(), text.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            Disagreeing ??= property;
        }

        _values[property] = text;
        _lines[property] = line;
    }
}
