using System.Text;

namespace PoeOps.Report;

/// <summary>
/// The look of a page: paper by day and night, and a tint for each rule. A tint is never the only sign of anything. Every ink on every ground that it
/// stands on has a contrast of 4.5 to 1 or more (WCAG 2.2, success criterion 1.4.3).
/// </summary>
internal static class PageStyle
{
    // Ground by day, ground by night; the ink of the page stands on each.
    private static readonly (string Day, string Night)[] Tints =
    [
        ("#e3eef9", "#16324a"), ("#e6f2e1", "#1d3a1e"), ("#f9ebdc", "#46301a"), ("#efe5f6", "#38264a"),
        ("#dff2f0", "#123c3a"), ("#f7e4ea", "#46222e"), ("#f3f0d4", "#3c3914"), ("#e8e8ef", "#2e2e3c"),
    ];

    /// <summary>How many tints there are.</summary>
    public static int TintCount => Tints.Length;

    /// <summary>The style sheet.</summary>
    public static string Sheet { get; } = Build();

    private static string Build()
    {
        StringBuilder sheet = new(Body);
        for (int i = 0; i < Tints.Length; i++)
        {
            sheet.Append(FormattableString.Invariant($"\n.t{i} {{ background: {Tints[i].Day}; }}"));
        }

        sheet.Append("\n@media screen and (prefers-color-scheme: dark) {\n").Append(Night);
        for (int i = 0; i < Tints.Length; i++)
        {
            sheet.Append(FormattableString.Invariant($"\n  .t{i} {{ background: {Tints[i].Night}; }}"));
        }

        return sheet.Append("\n}\n").Append(Paper).Append('\n').ToString().Replace("\r\n", "\n");
    }

    private const string Body = """

        :root { color-scheme: light dark; }
        body { margin: 0 auto; max-width: 84rem; padding: 1rem; color: #1c1b19; background: #fbfaf7; font: 1rem/1.5 Georgia, 'Times New Roman', serif; }
        h1 { font-size: 1.6rem; line-height: 1.25; margin: 0 0 .5rem; }
        h2 { font-size: 1.2rem; margin: 2rem 0 .5rem; border-bottom: 1px solid currentColor; overflow-wrap: anywhere; }
        p, li { max-width: 60rem; overflow-wrap: anywhere; }
        a { color: #0b4f8a; }
        header { border-bottom: 3px double currentColor; }
        .verdict { font-size: 1.1rem; font-weight: bold; }
        nav ul { columns: 20rem; padding-left: 1.25rem; }
        dl { display: grid; grid-template-columns: minmax(8rem, 16rem) 1fr; gap: .25rem 1rem; max-width: 60rem; }
        dt { grid-column: 1; font-weight: bold; }
        dd { grid-column: 2; margin: 0; overflow-wrap: anywhere; }
        @media (max-width: 40rem) { dl { display: block; } dt { margin-top: .5rem; } }
        tr:target { outline: 2px solid currentColor; outline-offset: -2px; }
        .wide { overflow-x: auto; }
        table { border-collapse: collapse; font-size: .875rem; }
        caption { text-align: left; font-style: italic; padding: .25rem 0; }
        th, td { text-align: left; vertical-align: top; padding: .15rem .5rem; border-bottom: 1px solid #b9b4a7; }
        td.count, th.count { text-align: right; }
        code { font: .8125rem/1.5 Consolas, 'DejaVu Sans Mono', monospace; white-space: pre-wrap; overflow-wrap: anywhere; unicode-bidi: isolate; direction: ltr; }
        .line { min-width: 38rem; }
        .fills, .prose { min-width: 14rem; overflow-wrap: anywhere; }
        .unread { background: #fff1b8; font-weight: bold; }
        .unread th::before { content: '\25B6\00A0'; }
        .gap td { font-style: italic; }
        """;

    private const string Night = """
          body { color: #eceae4; background: #1a1a1c; }
          a { color: #9ecbff; }
          th, td { border-bottom-color: #5c5a54; }
          .unread { background: #5a4a00; }
        """;

    private const string Paper = """
        @page { size: A4; margin: 15mm; }
        @media print {
          body { max-width: none; padding: 0; font-size: 9pt; color: #000; background: #fff; }
          table { font-size: 7.5pt; width: 100%; }
          code { font-size: 7.5pt; }
          .line, .fills, .prose { min-width: 0; }
          th, td { overflow-wrap: anywhere; padding: .1rem .25rem; }
          .unread th, .unread td { border-top: 2px solid; border-bottom: 2px solid; }
          .wide { overflow: visible; }
          nav { display: none; }
          tr { break-inside: avoid; }
          thead { display: table-header-group; }
          a { color: inherit; text-decoration: none; }
        }
        """;
}
