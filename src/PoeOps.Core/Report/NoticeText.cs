using System.Text;

namespace PoeOps.Report;

/// <summary>A notice as plain text and as a page that stands for itself; both say the same.</summary>
internal static class NoticeText
{
    /// <summary>The notice as text: headings on lines of their own, items behind a hyphen.</summary>
    /// <param name="notice">The notice.</param>
    public static string Text(SiteNotice notice)
    {
        StringBuilder text = new();
        text.Append(PlainText.Of(notice.Title)).Append('\n');
        foreach (NoticePart part in notice.Parts)
        {
            text.Append('\n').Append(PlainText.Of(part.Heading).ToUpperInvariant()).Append('\n');
            foreach (string sentence in part.Sentences)
            {
                text.Append(PlainText.Of(sentence)).Append('\n');
            }

            foreach (string item in part.Items)
            {
                text.Append("- ").Append(PlainText.Of(item)).Append('\n');
            }
        }

        return text.ToString();
    }

    /// <summary>The notice as a page (HTML): for a screen by day and night, and for paper of A4.</summary>
    /// <param name="notice">The notice.</param>
    public static string Html(SiteNotice notice)
    {
        using PageWriter page = new(notice.Title);
        page.Open("main");
        page.Element("h1", notice.Title);
        page.Line();
        foreach (NoticePart part in notice.Parts)
        {
            page.Open("section");
            page.Element("h2", part.Heading);
            foreach (string sentence in part.Sentences)
            {
                page.Element("p", sentence);
            }

            if (part.Items.Count > 0)
            {
                List(page, part.Items);
            }

            page.Close();
            page.Line();
        }

        page.Close();
        page.Line();
        return page.End();
    }

    private static void List(PageWriter page, IReadOnlyList<string> items)
    {
        page.Open("ul");
        foreach (string item in items)
        {
            page.Element("li", item);
        }

        page.Close();
    }
}
