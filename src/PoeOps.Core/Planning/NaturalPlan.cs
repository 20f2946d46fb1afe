namespace PoeOps.Planning;

/// <summary>
/// Of plans that are as good as each other, takes the one that a person would write down: units in natural order, each in the first used window that
/// takes it; or at least, in the windows that they are in, one after the other in natural order. Where that would cost a window or time, all stays as it is.
/// </summary>
internal static class NaturalPlan
{
    /// <summary>Puts a draft in natural order.</summary>
    public static void Arrange(PlanTask task, PlanDraft draft)
    {
        Place?[] found = draft.Save();
        (int Count, int Used, long End) known = (draft.Count, draft.Used, draft.End);
        bool[] used = [.. Enumerable.Range(0, task.Windows.Length).Select(window => draft.In(window).Count > 0)];
        int[] items = [.. Enumerable.Range(0, task.Items.Length).Where(item => found[item] is not null)];
        if (!Rebuild(draft, known, items, item => task.Items[item].Windows.Where(window => used[window])))
        {
            draft.Restore(found);
            if (!Rebuild(draft, known, items, item => [found[item]!.Value.Window]))
            {
                draft.Restore(found);
            }
        }
    }

    private static bool Rebuild(PlanDraft draft, (int Count, int Used, long End) known, int[] items, Func<int, IEnumerable<int>> windows)
    {
        foreach (int item in items)
        {
            draft.Remove(item);
        }

        List<int> waiting = [.. items];
        while (waiting.Count > 0)
        {
            int next = waiting.FindIndex(draft.IsAfterAll);
            if (next < 0 || First(draft, waiting[next], windows(waiting[next])) is not { } place)
            {
                return false;
            }

            draft.Add(waiting[next], place);
            waiting.RemoveAt(next);
        }

        return draft.Count == known.Count && draft.Used <= known.Used && draft.End <= known.End;
    }

    private static Place? First(PlanDraft draft, int item, IEnumerable<int> windows)
    {
        Place? best = null;
        foreach (int window in windows)
        {
            if (draft.EarliestIn(item, window) is { } place && (best is null || place.Start < best.Value.Start))
            {
                best = place;
            }
        }

        return best;
    }
}
