using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads the fields of one row of a list of switches by their column.</summary>
/// <param name="header">The columns.</param>
/// <param name="row">The fields, as many.</param>
/// <param name="report">Reports a mistake: the column, the sentence and the advice.</param>
internal sealed class EstateCsvCells(IReadOnlyList<string> header, CsvRow row, Action<string, string, string> report)
{
    /// <summary>The field of a column without space around it; empty where there is no such column.</summary>
    public string Text(string column)
    {
        for (int i = 0; i < header.Count; i++)
        {
            if (string.Equals(header[i].Trim(), column, StringComparison.OrdinalIgnoreCase))
            {
                return row.Fields[i].Trim();
            }
        }

        return string.Empty;
    }

    /// <summary>A field that must not be empty.</summary>
    public string Written(string column)
    {
        string text = Text(column);
        if (text.Length == 0)
        {
            report(column, $"The field of the column '{column}' is empty.", "Write what it stands for.");
        }

        return text;
    }

    /// <summary>A field that names a site or switch; empty where it cannot.</summary>
    public string Name(string column)
    {
        string text = Written(column);
        return text.Length > 0 && EstateTexts.WrongName(text) is { } wrong
            ? Refused(column, $"'{Excerpt.Of(text)}' cannot be a name: {wrong}.", "Names have no slash and no control character, and 200 characters at the most.")
            : text;
    }

    /// <summary>A field that names a host; empty where it cannot.</summary>
    public string Address(string column)
    {
        string text = Written(column);
        return text.Length > 0 && EstateTexts.WrongAddress(text) is { } wrong
            ? Refused(column, $"'{Excerpt.Of(text)}' is no host name or IP address: {wrong}.", "Write the host alone, without port or protocol, such as 192.0.2.11 or north-1.example.org.")
            : text;
    }

    /// <summary>A field that names a kind of link.</summary>
    public LinkKind Link(string column)
    {
        string text = Written(column);
        if (text.Length > 0 && EstateTexts.Link(text) is null)
        {
            Refused(column, $"'{Excerpt.Of(text)}' is no kind of link{Nearest.Hint(text, EstateTexts.LinkWords)}.", $"Write one of {string.Join(", ", EstateTexts.LinkWords)}.");
        }

        return EstateTexts.Link(text) ?? LinkKind.Telnet;
    }

    /// <summary>A field that holds a TCP port; null where it is empty or none.</summary>
    public int? Port(string column, bool required)
    {
        string text = Text(column);
        if (text.Length == 0)
        {
            if (required)
            {
                Refused(column, $"The field of the column '{column}' is empty, and a link by 'tcp' has no port of its own.", "Write the TCP port.");
            }

            return null;
        }

        if (text.All(c => c is >= '0' and <= '9') && int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int port) && port is >= 1 and <= 65535)
        {
            return port;
        }

        Refused(column, $"'{Excerpt.Of(text)}' is no TCP port, which is a number from 1 to 65535.", "Write the port, or leave the field empty for the link's own.");
        return null;
    }

    /// <summary>A field that holds true or false, without regard to case; false where it is empty or neither.</summary>
    public bool Flag(string column)
    {
        string text = Text(column);
        if (text.Length > 0 && !bool.TryParse(text, out _))
        {
            Refused(column, $"'{Excerpt.Of(text)}' is neither true nor false.", "Write true or false, or leave the field empty for false.");
        }

        return bool.TryParse(text, out bool flag) && flag;
    }

    private string Refused(string column, string sentence, string advice)
    {
        report(column, sentence, advice);
        return string.Empty;
    }
}
