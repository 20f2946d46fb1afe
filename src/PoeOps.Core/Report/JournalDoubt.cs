using PoeOps.Files;

namespace PoeOps.Report;

/// <summary>What an answer is worth where a journal cannot be relied on: whatever was good is not known any more.</summary>
internal static class JournalDoubt
{
    /// <summary>An answer with the doubt that journals cast on it.</summary>
    /// <param name="answer">The answer by what they tell.</param>
    /// <param name="journals">The journals.</param>
    /// <returns>The answer itself where every chain holds.</returns>
    public static Answer On(Answer answer, IReadOnlyList<JournalSource> journals)
    {
        JournalSource[] broken = [.. journals.Where(journal => !journal.Reading.ChainHolds)];
        if (broken.Length == 0)
        {
            return answer;
        }

        string more = broken.Length == 1 ? string.Empty : $" Nor can {ReportText.Count(broken.Length - 1, "more journal")}.";
        string why = $"'{Excerpt.Of(Path.GetFileName(broken[0].Path))}' cannot be relied on: {broken[0].Reading.Problems[0].Sentence}{more}";
        return answer with { Verdict = answer.IsGood ? "Not known" : answer.Verdict, Sentence = $"{why} {answer.Sentence}".TrimEnd(), IsGood = false };
    }
}
