namespace PoeOps.Report;

/// <summary>
/// A summary as one page that stands for itself: no script, nothing from elsewhere, for a browser or for paper. The three answers come first, then what was
/// done, what is not back, what needs a hand, and what it all rests on. Of long lists it says what it leaves out. The same summary gives the same page.
/// </summary>
public static class ReportHtml
{
    private const int MostProblems = 200;
    private const int MostLoads = 800;
    private const int MostSmall = 500;
    private const int MostRestarts = 1000;
    private const int MostCurves = 24;
    private const int MostBars = 160;

    /// <summary>Makes the page.</summary>
    /// <param name="summary">The summary.</param>
    /// <returns>HTML, complete in itself.</returns>
    public static string Of(RunSummary summary)
    {
        using PageWriter page = new(ReportTitle.Of(summary), ReportStyle.Sheet, isSealed: true);
        page.Element("a", "Skip to the answers", ("class", "skip"), ("href", "#short"));
        page.Open("header");
        page.Element("h1", ReportTitle.Of(summary));
        page.Element("p", ReportTitle.About(summary));
        page.Close();
        page.Line();
        page.Open("main");
        WriteShort(page, summary);
        WriteContents(page, summary);
        WriteProblems(page, summary);
        if (summary.IsPlanAlone)
        {
            TableWriter.Table(page, PlanTables.Windows(summary));
        }
        else
        {
            TableWriter.Table(page, ReportTables.NotBack(summary));
        }

        TableWriter.Table(page, ReportTables.Hand(summary));
        WriteCautions(page, summary);
        WriteTimeline(page, summary);
        WriteRestart(page, summary);
        TableWriter.Table(page, summary.IsPlanAlone ? PlanTables.Units(summary) : ReportTables.Done(summary));
        TableWriter.Table(page, ReportTables.Stages(summary));
        WriteLoads(page, summary);
        WriteEvidence(page, summary);
        page.Close();
        WriteFoot(page);
        return page.End();
    }

    private static void WriteShort(PageWriter page, RunSummary summary)
    {
        DialectPage.Section(page, "short", "In short");
        if (summary.Problems.Count > 0)
        {
            string others = summary.Problems.Count > 1 ? $" And {ReportText.Number(summary.Problems.Count - 1)} more under Problems." : string.Empty;
            page.Element("p", $"Not everything can be relied on. {ReportText.ClipWords(summary.Problems[0].Sentence, 100)}{others}", ("class", "alert"));
        }

        page.Open("div", ("class", "answers"));
        AnswerCard.Write(page, summary.StillDark, summary.IsPlanAlone ? "windows" : "not-back");
        AnswerCard.Write(page, summary.LifeSafety, "life-safety");
        AnswerCard.Write(page, summary.ByHand, "by-hand");
        page.Close();
        page.Element("p", ReportTitle.States(summary) + (summary.NothingToDo is > 0 and { } none ? $" {ReportText.Count(none, "controller")} had nothing to load." : string.Empty));
        IEnumerable<string> more = summary.IsPlanAlone ? PlanTables.Short(summary) : [$"Minutes without power, summed over the loads: planned {ReportText.Of(summary.PlannedDarkLoadMinutes)}, real {ReportText.Of(summary.RealDarkLoadMinutes)}."];
        foreach (string sentence in more)
        {
            page.Element("p", sentence);
        }

        page.Close();
        page.Line();
    }

    private static void WriteContents(PageWriter page, RunSummary summary)
    {
        page.Open("nav", ("aria-labelledby", "contents-name"));
        page.Element("h2", "Contents", ("id", "contents-name"));
        page.Open("ul");
        IEnumerable<(string, string)> first = summary.Problems.Count > 0 ? [("problems", "Problems")] : [];
        foreach ((string anchor, string name) in first.Concat(ReportTables.Of(summary with { Loads = [], Units = [], Curves = [], Windows = [] }).Select(table => (table.Anchor, table.Title))))
        {
            page.Open("li");
            page.Link(anchor, name);
            page.Close();
        }

        page.Close();
        page.Close();
        page.Line();
    }

    private static void WriteProblems(PageWriter page, RunSummary summary)
    {
        if (summary.Problems.Count > 0)
        {
            TableWriter.Table(page, new ReportTable(
                "problems", "Problems", "What is wrong with what this report is made from", string.Empty, ReportTable.Of("Problem", "~What is wrong", "~What to do", "File", "#Line"),
                [.. summary.Problems.Select(problem => (IReadOnlyList<string>)[problem.Id.ToString(), problem.Sentence, problem.Advice, ReportText.Of(problem.File), ReportText.Of(problem.Line)])]), MostProblems);
        }
    }

    private static void WriteCautions(PageWriter page, RunSummary summary)
    {
        ReportTable table = ReportTables.LifeSafety(summary);
        TableWriter.Open(page, table);
        page.Open("ul");
        foreach (string caution in summary.Cautions)
        {
            page.Element("li", caution);
        }

        page.Close();
        TableWriter.Rows(page, table);
        page.Close();
        page.Line();
    }

    private static void WriteTimeline(PageWriter page, RunSummary summary)
    {
        ReportTable table = ReportTables.Times(summary);
        TableWriter.Open(page, table);
        int left = TimelinePicture.WriteAll(page, summary, MostBars);
        if (left > 0)
        {
            page.Element("p", $"{ReportText.Count(left, "unit")} {(left == 1 ? "is" : "are")} in no picture; the table has all.");
        }

        TableWriter.Rows(page, table);
        page.Close();
        page.Line();
    }

    private static void WriteRestart(PageWriter page, RunSummary summary)
    {
        RestartCurve[] worst = [.. summary.Curves.OrderByDescending(curve => curve.RefusedLoads ?? 0).ThenByDescending(curve => curve.ShortfallWatts ?? 0)];
        RestartCurve[] shown = [.. worst.Take(MostCurves)];
        ReportTable table = ReportTables.Restart(worst.Length > MostRestarts ? summary with { Curves = worst } : summary);
        TableWriter.Open(page, table);
        if (shown.Length > 0)
        {
            page.Element("p", "Steps are drawn as each load has power, with its watts: those that are granted in the end by the plan, or those that it drew before where no plan says. A claim may be larger while a load starts." + (summary.IsPlanAlone ? string.Empty : " A run looks every ten seconds or so, so that real steps come late by as much."));
            page.Open("div", ("class", "curves"));
            int number = 0;
            foreach (RestartCurve curve in summary.Curves.Where(shown.Contains))
            {
                CurvePicture.Write(page, curve, ++number);
            }

            page.Close();
        }

        if (summary.Curves.Count > shown.Length)
        {
            page.Element("p", $"{ReportText.Count(summary.Curves.Count - shown.Length, "unit")} more, with no or less shortfall, {(summary.Curves.Count - shown.Length == 1 ? "is" : "are")} in no picture.");
        }

        TableWriter.Rows(page, table, MostRestarts);
        page.Close();
        page.Line();
    }

    // Those that somebody asks for are always there; of the others as many as fit.
    private static void WriteLoads(PageWriter page, RunSummary summary)
    {
        int room = MostLoads;
        LoadSummary[] shown = [.. summary.Loads.Where(load => load.LifeSafety || load.State is LoadState.Dark or LoadState.NotKnown || load.LongerThanWorst == true || room-- > 0)];
        ReportTable table = ReportTables.Loads(summary, shown);
        TableWriter.Open(page, table);
        TableWriter.Rows(page, table);
        if (shown.Length < summary.Loads.Count)
        {
            page.Element("p", $"{ReportText.Count(summary.Loads.Count - shown.Length, "load")} more, none of them life-safety, still dark, unknown or longer dark than planned, {(summary.Loads.Count - shown.Length == 1 ? "is" : "are")} not listed here; the report as Csv or Json has all.");
        }

        page.Close();
        page.Line();
    }

    private static void WriteEvidence(PageWriter page, RunSummary summary)
    {
        IReadOnlyList<ReportTable> evidence = summary.IsPlanAlone ? [PlanTables.Images(summary)] : [ReportTables.Notes(summary), .. EvidenceTables.Of(summary)];
        foreach (ReportTable table in evidence)
        {
            TableWriter.Table(page, table, MostSmall);
        }
    }

    private static void WriteFoot(PageWriter page)
    {
        page.Open("footer");
        page.Element("p", $"A dash ({ReportText.Nothing}) stands for what is not known, not planned or not there. Dark seconds count from the start of Erase until a port has power again; a load serves later, when it has started.");
        page.Element("p", "This page holds no script and fetches nothing. It was made from the files that it names; the same files give the same page.");
        page.Close();
    }
}
