namespace PoeOps.Report;

/// <summary>
/// The look of a report: calm and dense, by day, by night and on paper. Nothing is told by a colour alone: states are words, and the parts of a picture differ in
/// lightness and line. Every ink on every ground that it stands on has a contrast of 4.5 to 1 or more (WCAG 2.2, success criterion 1.4.3).
/// </summary>
internal static class ReportStyle
{
    /// <summary>The style sheet.</summary>
    public static string Sheet { get; } = (Body + Pictures + Narrow + Screen + Paper + "@media print {" + PaperWidths.Rules + "\n}\n").Replace("\r\n", "\n");

    private const string Body = """

        :root { color-scheme: light dark; --ink: #1c1b19; --ground: #fbfaf7; --line: #8f8a7d; --mid: #b5b0a3; --link: #0b4f8a; --calm: #e6f2e1; --stir: #f9ebdc; }
        * { box-sizing: border-box; }
        body { margin: 0 auto; max-width: 84rem; padding: .75rem 1rem 2rem; color: var(--ink); background: var(--ground); font: .9375rem/1.45 Georgia, 'Times New Roman', serif; overflow-wrap: anywhere; }
        h1 { font-size: 1.4rem; line-height: 1.2; margin: 0; unicode-bidi: isolate; }
        h2 { font-size: 1.15rem; line-height: 1.25; margin: 2rem 0 .25rem; border-bottom: 1px solid var(--line); }
        h3 { font-size: .9375rem; margin: 1rem 0 .25rem; }
        p { margin: .25rem 0; max-width: 64rem; }
        a { color: var(--link); }
        .skip { position: absolute; left: -100rem; top: .25rem; padding: .25rem .5rem; background: var(--ground); }
        .skip:focus { left: .5rem; }
        header { border-bottom: 3px double var(--line); padding-bottom: .375rem; }
        .alert { border: 2px solid var(--ink); padding: .25rem .5rem; margin: .5rem 0; font-weight: bold; }
        #short h2 { margin-top: .75rem; }
        .answers { display: grid; grid-template-columns: repeat(3, 1fr); gap: .75rem; margin: .5rem 0; }
        .answer { background: var(--calm); border-left: .25rem solid var(--line); padding: .375rem .625rem; min-width: 0; }
        .answer.stir { background: var(--stir); border-left-color: var(--ink); }
        .answer h3 { margin: 0; font-weight: normal; font-style: italic; }
        .answer .verdict { font-size: 1.25rem; line-height: 1.25; font-weight: bold; margin: .125rem 0; }
        .answer ul { margin: .125rem 0; padding-left: 1.125rem; }
        .answer .ids { font-weight: bold; }
        .answer li, .answer p { font-size: .875rem; line-height: 1.35; unicode-bidi: isolate; }
        nav { margin: .75rem 0; }
        nav h2 { margin-top: 1rem; }
        nav ul { columns: 14rem; margin: .25rem 0; padding-left: 1.125rem; }
        .wide { overflow-x: auto; max-width: 100%; }
        .wide:focus-visible, a:focus-visible { outline: 3px solid var(--link); outline-offset: 1px; }
        table { border-collapse: collapse; font-size: .8125rem; line-height: 1.35; font-variant-numeric: tabular-nums; }
        caption { text-align: left; font-style: italic; padding: .25rem 0; }
        th, td { text-align: left; vertical-align: top; padding: .125rem .5rem; border-bottom: 1px solid var(--mid); min-width: 4rem; max-width: 26rem; unicode-bidi: isolate; overflow-wrap: break-word; }
        thead th { border-bottom: 2px solid var(--line); vertical-align: bottom; }
        tbody th { font-weight: normal; min-width: 6rem; }
        .n { text-align: right; }
        td.n { white-space: nowrap; }
        .prose { min-width: 16rem; }
        .bad { font-weight: bold; }
        .bad::before { content: '\25B2\00A0'; }
        code { font: .75rem/1.4 Consolas, 'DejaVu Sans Mono', monospace; overflow-wrap: anywhere; }
        td.digest { min-width: 18rem; }
        figure { margin: .5rem 0 1.25rem; min-width: 0; }
        figcaption { font-weight: bold; overflow-wrap: anywhere; unicode-bidi: isolate; }
        .curves { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 25rem), 1fr)); gap: 0 1.5rem; }
        footer { margin-top: 2rem; border-top: 3px double var(--line); font-size: .875rem; }
        """;

    private const string Pictures = """

        svg { display: block; max-width: none; color: var(--ink); font: 12px Georgia, 'Times New Roman', serif; }
        svg text { fill: currentColor; stroke: var(--ground); stroke-width: 3px; paint-order: stroke; }
        .timeline { width: 60rem; max-width: 100%; min-width: 44rem; height: auto; }
        .curve { width: 100%; height: auto; font-size: 13px; }
        .axis { stroke: var(--line); stroke-width: 1; fill: none; }
        .edge { stroke: currentColor; stroke-width: 1; stroke-dasharray: 5 3; fill: none; }
        .planned { fill: var(--ground); stroke: var(--line); stroke-width: 1; }
        .planned-dark { fill: var(--mid); }
        .lit { fill: var(--ground); stroke: currentColor; stroke-width: 1; }
        .dark { fill: currentColor; stroke: var(--ground); stroke-width: .5; }
        .back { fill: var(--mid); stroke: currentColor; stroke-width: 1; }
        .open { fill: none; stroke: currentColor; stroke-width: 1; stroke-dasharray: 3 2; }
        .mark { stroke: var(--link); stroke-width: 2; }
        .budget { stroke: currentColor; stroke-width: 1.5; stroke-dasharray: 7 4; fill: none; }
        .by-plan { stroke: currentColor; stroke-width: 1.5; fill: none; }
        .real { stroke: var(--link); stroke-width: 3; stroke-dasharray: 2 3; fill: none; }
        """;

    private const string Narrow = """

        @media (max-width: 48rem) {
          .answers { grid-template-columns: 1fr; gap: .375rem; }
          body { padding: .5rem .625rem 2rem; }
          h1 { font-size: 1.125rem; }
          #short h2 { margin-top: .5rem; font-size: 1rem; }
          header p { font-size: .8125rem; line-height: 1.3; }
          .answer { padding: .25rem .5rem; }
          .answer .verdict { font-size: 1.125rem; }
          .answer li, .answer p { font-size: .8125rem; }
          .alert { font-size: .8125rem; }
        }
        """;

    // Long tables are laid out when they are near: with all at once, a night of thousands of units takes seconds to open.
    private const string Screen = """

        @media screen { .long { content-visibility: auto; contain-intrinsic-size: auto 100rem; } }
        @media screen and (prefers-color-scheme: dark) {
          :root { --ink: #eceae4; --ground: #1a1a1c; --line: #8d8a82; --mid: #5c5a54; --link: #9ecbff; --calm: #1d3a1e; --stir: #46301a; }
        }
        """;

    private const string Paper = """

        @page { size: A4; margin: 14mm; }
        @page broad { size: A4 landscape; margin: 12mm; }
        @media print {
          :root { --ink: #000; --ground: #fff; --line: #555; --mid: #bbb; --link: #000; --calm: #fff; --stir: #fff; }
          body { max-width: none; padding: 0; font-size: 9.5pt; }
          .answers { grid-template-columns: repeat(3, 1fr); }
          .answer { border: 1px solid #555; }
          .answer.stir { border: 2.5px solid #000; }
          nav, .skip { display: none; }
          .broad { page: broad; }
          .wide { overflow: visible; }
          table { width: 100%; font-size: 7pt; }
          th, td { min-width: 0; max-width: none; padding: .06rem .2rem; overflow-wrap: anywhere; }
          .prose, td.digest { min-width: 0; }
          td.n { white-space: normal; }
          .bad { text-decoration: underline; }
          code { font-size: 6.5pt; }
          tr, figure, .answer { break-inside: avoid; }
          figure.windows { break-inside: auto; }
          thead { display: table-header-group; }
          h2, h3, caption, figcaption { break-after: avoid; }
          .timeline { width: 100%; min-width: 0; }
          .curves { grid-template-columns: 1fr 1fr; }
          a { color: inherit; text-decoration: none; }
        }

        """;
}
