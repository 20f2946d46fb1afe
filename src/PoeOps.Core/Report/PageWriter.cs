using System.Globalization;
using System.Xml;

namespace PoeOps.Report;

/// <summary>Writes a page that stands for itself: no script, nothing from elsewhere. Whatever is written is text, never markup.</summary>
internal sealed class PageWriter : IDisposable
{
    private readonly StringWriter _text = new(CultureInfo.InvariantCulture) { NewLine = "\n" };
    private readonly XmlWriter _page;

    /// <summary>Begins a page.</summary>
    /// <param name="title">Its title.</param>
    /// <param name="sheet">Its style sheet; null for that of <see cref="PageStyle"/>.</param>
    /// <param name="isSealed">True for a page that tells the browser to run nothing and to fetch nothing, whatever may have come into it.</param>
    public PageWriter(string title, string? sheet = null, bool isSealed = false)
    {
        _page = XmlWriter.Create(_text, new XmlWriterSettings { OmitXmlDeclaration = true, NewLineHandling = NewLineHandling.None });
        _page.WriteDocType("html", null, null, null);
        Open("html", ("lang", "en"));
        Open("head");
        Empty("meta", ("charset", "utf-8"));
        Empty("meta", ("name", "viewport"), ("content", "width=device-width, initial-scale=1"));
        if (isSealed)
        {
            Empty("meta", ("http-equiv", "Content-Security-Policy"), ("content", "default-src 'none'; style-src 'unsafe-inline'"));
        }

        Element("title", title);
        Open("style");
        _page.WriteRaw(sheet ?? PageStyle.Sheet);
        Close();
        Close();
        Line();
        Open("body");
    }

    /// <summary>Opens an element.</summary>
    public void Open(string name, params (string Name, string Value)[] attributes)
    {
        _page.WriteStartElement(name);
        foreach ((string attribute, string value) in attributes)
        {
            _page.WriteAttributeString(attribute, ShownText.Of(value));
        }
    }

    /// <summary>Closes it. An element without content has an end as well, as HTML wants it.</summary>
    public void Close() => _page.WriteFullEndElement();

    /// <summary>Writes text.</summary>
    public void Text(string text) => _page.WriteString(ShownText.Of(text));

    /// <summary>Writes an element that holds text alone.</summary>
    public void Element(string name, string text, params (string Name, string Value)[] attributes)
    {
        Open(name, attributes);
        Text(text);
        Close();
    }

    /// <summary>Writes a link within the page.</summary>
    public void Link(string anchor, string text) => Element("a", text, ("href", "#" + anchor));

    /// <summary>Begins a new line of the source, which is no part of the page.</summary>
    public void Line() => _page.WriteRaw("\n");

    /// <summary>Ends the page.</summary>
    public string End()
    {
        Close();
        Line();
        Close();
        _page.Flush();
        return _text + "\n";
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _page.Dispose();
        _text.Dispose();
    }

    private void Empty(string name, params (string Name, string Value)[] attributes)
    {
        Open(name, attributes);
        _page.WriteEndElement();
    }
}
