using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>Fills a draft: built up first, then improved, for few items searched exactly, and in the end moved out of busy hours.</summary>
internal static class PlanSolver
{
    /// <summary>Fills a draft.</summary>
    /// <param name="task">The task.</param>
    /// <param name="draft">An empty draft.</param>
    /// <param name="estate">The estate, for its busy hours.</param>
    /// <returns>True where it is proved that no plan has fewer windows, or as few and an earlier end.</returns>
    public static bool Solve(PlanTask task, PlanDraft draft, EstateMap estate)
    {
        if (task.Items.Length == 0)
        {
            return true;
        }

        PlanBuilder builder = new(task, draft);
        builder.Fill(Enumerable.Range(0, task.Items.Length));
        builder.MoveEarlier();
        draft.Tighten();
        bool isFew = task.Items.Length <= PlanSearch.MostItems;
        new PlanImprovement(task, draft).Run();
        builder.MoveEarlier();
        draft.Tighten();
        bool isBest = isFew && PlanSearch.Improve(task, draft).IsProved && draft.Count == task.Items.Length;
        NaturalPlan.Arrange(task, draft);
        CalmHours.Improve(task, draft, estate);
        return isBest;
    }
}
