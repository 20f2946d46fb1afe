using System.Text.RegularExpressions;

namespace PoeOps.Dialects;

/// <summary>What the lines of a row or of a block gave: the text of each property, and the line on which it stood.</summary>
internal sealed class GatheredTexts
{
    // A record has a dozen properties at the most: a list is gone through sooner than a table is filled, and this is done for every row.
    private readonly List<GatheredText> _texts = new(12);

    /// <summary>The texts, in the order in which they came.</summary>
    public IReadOnlyList<GatheredText> All => _texts;

    /// <summary>The first property that was given twice and differently, or null.</summary>
    public Disagreement? Disagreeing { get; private set; }

    /// <summary>The text of a property, or null.</summary>
    public string? this[string property] => Find(property) is >= 0 and int at ? _texts[at].Text : null;

    /// <summary>The line on which a property stood, or another where no line gave it.</summary>
    public CaptureLine LineOf(string property, CaptureLine otherwise) => Find(property) is >= 0 and int at ? _texts[at].Line ?? otherwise : otherwise;

    /// <summary>Sets a text that no line gave; a line may say otherwise.</summary>
    public void Assume(string property, string text) => Put(property, text, null);

    /// <summary>Sets a text, whatever was there.</summary>
    /// <param name="property">The property.</param>
    /// <param name="text">The text.</param>
    /// <param name="line">Where it stood; null where no line gave it.</param>
    public void Put(string property, string text, CaptureLine? line)
    {
        GatheredText put = new(property, text, line);
        int at = Find(property);
        if (at < 0)
        {
            _texts.Add(put);
        }
        else
        {
            _texts[at] = put;
        }
    }

    /// <summary>Forgets all.</summary>
    public void Clear()
    {
        _texts.Clear();
        Disagreeing = null;
    }

    /// <summary>Forgets a property.</summary>
    public void Remove(string property)
    {
        if (Find(property) is >= 0 and int at)
        {
            _texts.RemoveAt(at);
        }
    }

    /// <summary>Takes the named groups that took part in a match.</summary>
    public void Take(Regex pattern, Match match, CaptureLine line)
    {
        foreach (NamedGroup group in GroupNames.In(pattern))
        {
            Group part = match.Groups[group.Number];
            if (!part.Success || group.Counts)
            {
                continue;
            }

            if (group.MayRepeat && GroupNames.Earlier(part) is { } earlier)
            {
                Disagreeing ??= new Disagreement(new(group.Name, earlier, line), new(group.Name, part.Value, line));
            }

            Take(group.Name, part.Value, line);
        }
    }

    /// <summary>Takes what another has gathered.</summary>
    public void Take(GatheredTexts other, CaptureLine line)
    {
        Disagreeing ??= other.Disagreeing;
        foreach (GatheredText one in other._texts)
        {
            Take(one.Property, one.Text, one.Line ?? line);
        }
    }

    /// <summary>What this hands down to a row, with the row's own word in its place where there is one.</summary>
    public GatheredTexts HandedDownTo(GatheredTexts row)
    {
        if (_texts.Count == 0)
        {
            return row;
        }

        var all = new GatheredTexts { Disagreeing = Disagreeing ?? row.Disagreeing };
        foreach (GatheredText one in _texts)
        {
            all._texts.Add(one with { Line = null });
        }

        foreach (GatheredText one in row._texts)
        {
            all.Put(one.Property, one.Text, one.Line);
        }

        return all;
    }

    private int Find(string property)
    {
        for (int i = 0; i < _texts.Count; i++)
        {
            if (string.Equals(_texts[i].Property, property, StringComparison.Ordinal))
            {
                return i;
            }
        }

        return -1;
    }

    private void Take(string property, string text, CaptureLine line)
    {
        int at = Find(property);
        if (at < 0)
        {
            _texts.Add(new GatheredText(property, text, line));
            return;
        }

        if (_texts[at].Line is not null && !string.Equals(_texts[at].Text.Trim(), text.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            Disagreeing ??= new Disagreement(_texts[at], new GatheredText(property, text, line));
        }

        _texts[at] = new GatheredText(property, text, line);
    }
}

/// <summary>The text of a property.</summary>
/// <param name="Property">The property's name.</param>
/// <param name="Text">What stood there, as it stood.</param>
/// <param name="Line">Where; null where no line gave it.</param>
internal readonly record struct GatheredText(string Property, string Text, CaptureLine? Line);

/// <summary>One property, given twice and differently.</summary>
/// <param name="Earlier">What came first.</param>
/// <param name="Here">What came then.</param>
internal sealed record Disagreement(GatheredText Earlier, GatheredText Here);
