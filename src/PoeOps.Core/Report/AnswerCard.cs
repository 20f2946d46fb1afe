namespace PoeOps.Report;

/// <summary>Writes an answer as a card on the first screen: all units by their ids first, then as many of its items as there is room for.</summary>
internal static class AnswerCard
{
    // So much leaves the verdicts of all three cards on the first screen of a telephone.
    private const int Room = 170;
    private const int MostItems = 3;
    private const int MostOfAnItem = 110;
    private const int MostOfASentence = 330;
    private const int MostUnits = 60;
    private const int MostOfUnits = 900;
    private const int MostOfAnId = 60;

    /// <summary>Writes it.</summary>
    /// <param name="page">The page.</param>
    /// <param name="answer">The answer.</param>
    /// <param name="anchor">Where the table is that has all of it.</param>
    public static void Write(PageWriter page, Answer answer, string anchor)
    {
        page.Open("div", ("class", answer.IsGood ? "answer" : "answer stir"), ("id", "answer-" + anchor));
        page.Element("h3", answer.Question);
        page.Element("p", answer.Verdict, ("class", "verdict"));
        WriteUnits(page, answer.Units, anchor);
        if (answer.Sentence.Length > 0)
        {
            page.Element("p", ReportText.ClipWords(answer.Sentence, MostOfASentence));
        }

        WriteItems(page, answer.Items, anchor);
        page.Close();
        page.Line();
    }

    private static void WriteUnits(PageWriter page, IReadOnlyList<string> units, string anchor)
    {
        if (units.Count == 0)
        {
            return;
        }

        string[] ids = Fitting([.. units.Take(MostUnits).Select(unit => ReportText.Clip(unit, MostOfAnId))], MostOfUnits);
        page.Open("p", ("class", "ids"));
        page.Text(string.Join(", ", ids));
        if (ids.Length < units.Count)
        {
            page.Text(" ");
            page.Link(anchor, $"and {ReportText.Number(units.Count - ids.Length)} more");
        }

        page.Close();
    }

    private static void WriteItems(PageWriter page, IReadOnlyList<string> all, string anchor)
    {
        string[] items = Fitting([.. all.Take(MostItems).Select(item => ReportText.ClipWords(item, MostOfAnItem))], Room);
        if (items.Length > 0)
        {
            page.Open("ul");
            foreach (string item in items)
            {
                page.Element("li", item);
            }

            page.Close();
        }

        if (all.Count > items.Length)
        {
            page.Open("p");
            page.Link(anchor, $"and {ReportText.Number(all.Count - items.Length)} more");
            page.Close();
        }
    }

    // At least one, however long.
    private static string[] Fitting(string[] texts, int room)
    {
        int left = room;
        return [.. texts.TakeWhile((text, at) => (left -= text.Length) >= 0 || at == 0)];
    }
}
