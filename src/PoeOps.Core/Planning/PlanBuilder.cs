namespace PoeOps.Planning;

/// <summary>
/// Puts items into a draft: wave after wave of those whose pilots and other forerunners are in, site by site, into windows that are in use already where
/// they fit, and else into as few further ones as it finds, each filled as full as can be. The earliest window that takes all that is left of a site is
/// preferred, then the longest.
/// </summary>
internal sealed class PlanBuilder(PlanTask task, PlanDraft draft, SplitMix64? draws = null)
{
    // Of more items, the longest and some of the others are looked at for a window.
    private const int MostCandidates = 160;
    private const int LongestCandidates = 60;

    private readonly int[][] _windowsOf = WindowsOf(task);

    /// <summary>Puts in what can be.</summary>
    /// <param name="items">Items that are not in.</param>
    public void Fill(IEnumerable<int> items)
    {
        List<PlanItem> waiting = [.. items.Select(item => task.Items[item])];
        while (waiting.Count > 0)
        {
            List<PlanItem> wave = waiting.FindAll(item => draft.IsAfterAll(item.Index));
            if (wave.Count == 0)
            {
                return;
            }

            foreach (List<PlanItem> site in Sites(wave))
            {
                FillSite(site);
            }

            waiting.RemoveAll(item => draft[item.Index] is not null || wave.Contains(item));
        }
    }

    // The site with most work first: it needs most nights.
    private IEnumerable<List<PlanItem>> Sites(List<PlanItem> wave) => wave.GroupBy(item => item.Site).Select(site => site.ToList())
        .OrderByDescending(site => draws is null ? site.Sum(item => item.Length) : draws.Below(1000)).ThenBy(site => site[0].Site);

    private void FillSite(List<PlanItem> items)
    {
        List<PlanItem> rest = [.. items.Where(item => !FitsUsed(item)).OrderByDescending(item => item.Length).ThenBy(item => item.Index)];
        HashSet<int> tried = [];
        while (rest.Count > 0)
        {
            List<PlanItem> scarce = Scarcest(rest);
            int window = Choose(scarce, rest, tried);
            if (window < 0)
            {
                rest.RemoveAll(scarce.Contains);
                continue;
            }

            tried.Add(window);
            FillWindow(window, scarce);
            rest.RemoveAll(item => draft[item.Index] is not null);
            FillWindow(window, rest);
            rest.RemoveAll(item => draft[item.Index] is not null);
        }
    }

    // Those that may use the fewest windows: what is left over for them must not be taken by the others.
    private static List<PlanItem> Scarcest(List<PlanItem> rest)
    {
        int fewest = rest.Min(item => item.Windows.Length);
        PlanItem first = rest.First(item => item.Windows.Length == fewest);
        return rest.FindAll(item => ReferenceEquals(item.Windows, first.Windows) || item.Windows.SequenceEqual(first.Windows));
    }

    private bool FitsUsed(PlanItem item)
    {
        Place? best = null;
        foreach (int window in item.Windows)
        {
            if (draft.In(window).Count > 0 && (best is null || task.Windows[window].Opens < best.Value.Start) && draft.EarliestIn(item.Index, window) is { } place
                && (best is null || place.Start < best.Value.Start))
            {
                best = place;
            }
        }

        if (best is { } found)
        {
            draft.Add(item.Index, found);
        }

        return best is not null;
    }

    // An unused window for some items of a site; -1 where none takes any of them.
    private int Choose(List<PlanItem> scarce, List<PlanItem> rest, HashSet<int> tried)
    {
        long work = rest.Sum(item => item.Length);
        long least = scarce.Min(item => item.Length);
        long ready = scarce.Min(item => draft.ReadyAt(item.Index));
        long allReady = rest.Max(item => draft.ReadyAt(item.Index));
        bool alike = rest.Count == scarce.Count;
        int best = -1;
        long most = 0;
        foreach (int window in scarce[0].Windows)
        {
            PlanWindow slot = task.Windows[window];
            if (tried.Contains(window) || draft.In(window).Count > 0 || slot.Ends - Math.Max(slot.Opens, ready) < least)
            {
                continue;
            }

            long room = Math.Min(draft.RoomIn(window), slot.Ends - Math.Max(slot.Opens, ready));
            if (room >= work && alike && allReady <= slot.Opens && TakesAll(rest, slot))
            {
                return window;
            }

            if (room >= least && room > most && (draws is null || draws.Below(8) > 0))
            {
                (best, most) = (window, room);
            }
        }

        return best;
    }

    private bool TakesAll(List<PlanItem> rest, PlanWindow slot) =>
        task.IsWithinLimits(slot.Site, rest.Count, rest.Sum(item => item.Loads)) && rest.Where(item => item.Group >= 0).GroupBy(item => item.Group).All(group => group.Select(item => item.Unit).Distinct().Count() == 1);

    private void FillWindow(int window, List<PlanItem> from)
    {
        PlanWindow slot = task.Windows[window];
        List<PlanItem> fitting = from.FindAll(item => Array.BinarySearch(item.Windows, window) >= 0 && draft.EarliestIn(item.Index, window) is not null);
        if (fitting.Count == 0)
        {
            return;
        }

        long start = fitting.Min(item => draft.EarliestIn(item.Index, window)!.Value.Start);
        List<PlanItem> chosen = Pick(fitting, slot, slot.Ends - start);
        foreach (PlanItem item in chosen.OrderBy(item => draft.ReadyAt(item.Index)).ThenBy(item => item.Index))
        {
            if (draft.EarliestIn(item.Index, window) is { } place)
            {
                draft.Add(item.Index, place);
            }
        }
    }

    private List<PlanItem> Pick(List<PlanItem> fitting, PlanWindow slot, long room)
    {
        int most = task.Limits[slot.Site].Units - draft.In(slot.Index).Count;
        List<PlanItem> chosen = [];
        foreach (PlanItem item in Forced(fitting, slot, room))
        {
            if (item.Length <= room && most > 0)
            {
                chosen.Add(item);
                room -= item.Length;
                most--;
            }
        }

        List<List<PlanItem>> classes = Classes(Candidates(fitting).Where(item => !chosen.Exists(other => other == item || (item.Group >= 0 && other.Group == item.Group))));
        if (room > 0 && most > 0 && classes.Count > 0)
        {
            chosen.AddRange(WindowFill.Choose(classes, room, most));
        }

        return chosen;
    }

    // What goes in in any case: one of each coverage group that needs as many windows as the work does, or more; else the longest, which is the hardest
    // to find a place for later.
    private List<PlanItem> Forced(List<PlanItem> fitting, PlanWindow slot, long room)
    {
        long windows = (fitting.Sum(item => item.Length) + room - 1) / Math.Max(1, room);
        List<PlanItem> crowded = [.. fitting.Where(item => item.Group >= 0).GroupBy(item => item.Group)
            .Select(group => (Item: group.First(), Units: group.Select(item => item.Unit).Distinct().Count()))
            .Where(group => group.Units >= windows).OrderByDescending(group => group.Units).ThenBy(group => group.Item.Index).Select(group => group.Item)];
        bool longest = crowded.Count == 0 && draft.In(slot.Index).Count == 0 && (draws is null || draws.Below(2) == 0);
        return longest ? [fitting[0]] : crowded;
    }

    // Those that stand alone first: among equals the members of groups are taken, which are harder to find a place for.
    private List<List<PlanItem>> Classes(IEnumerable<PlanItem> candidates)
    {
        List<List<PlanItem>> classes = [.. candidates.GroupBy(item => item.Group < 0 ? -1 - item.Index : item.Group).Select(group => group.ToList())];
        return draws is null ? [.. classes.OrderBy(one => one.Count)] : [.. classes.OrderBy(_ => draws.Below(1 << 20))];
    }

    private static List<PlanItem> Candidates(List<PlanItem> fitting)
    {
        if (fitting.Count <= MostCandidates)
        {
            return fitting;
        }

        double step = (fitting.Count - LongestCandidates) / (double)(MostCandidates - LongestCandidates);
        return [.. fitting.Take(LongestCandidates), .. Enumerable.Range(0, MostCandidates - LongestCandidates).Select(i => fitting[LongestCandidates + (int)(i * step)])];
    }

    /// <summary>Moves what a window holds, as a whole, to an earlier one that holds nothing, where that is possible; from the last window on.</summary>
    public void MoveEarlier()
    {
        foreach (PlanWindow window in task.Windows.Where(window => draft.In(window.Index).Count > 0).OrderByDescending(window => window.Opens).ThenBy(window => window.Index).ToList())
        {
            MoveEarlier(window);
        }
    }

    private void MoveEarlier(PlanWindow window)
    {
        PlanItem[] items = [.. draft.In(window.Index).Select(item => task.Items[item]).OrderBy(item => draft[item.Index]!.Value.Start)];
        Place[] old = [.. items.Select(item => draft[item.Index]!.Value)];
        long work = items.Sum(item => item.Length);
        foreach (int other in _windowsOf[window.Site])
        {
            PlanWindow slot = task.Windows[other];
            if (slot.Opens >= window.Opens)
            {
                return;
            }

            bool isOpen = draft.In(other).Count == 0 && slot.Room >= work && items.All(item => Array.BinarySearch(item.Windows, other) >= 0) && draft.RoomIn(other) >= work;
            if (isOpen && Moves(items, old, other))
            {
                return;
            }
        }
    }

    private bool Moves(PlanItem[] items, Place[] old, int window)
    {
        foreach (PlanItem item in items)
        {
            draft.Remove(item.Index);
        }

        int moved = 0;
        while (moved < items.Length && draft.EarliestIn(items[moved].Index, window) is { } place)
        {
            draft.Add(items[moved++].Index, place);
        }

        if (moved == items.Length)
        {
            return true;
        }

        for (int i = 0; i < moved; i++)
        {
            draft.Remove(items[i].Index);
        }

        for (int i = 0; i < items.Length; i++)
        {
            draft.Add(items[i].Index, old[i]);
        }

        return false;
    }

    private static int[][] WindowsOf(PlanTask task)
    {
        var all = new List<int>[task.Sites];
        for (int i = 0; i < all.Length; i++)
        {
            all[i] = [];
        }

        foreach (PlanWindow window in task.Windows)
        {
            all[window.Site].Add(window.Index);
        }

        return [.. all.Select(one => one.ToArray())];
    }
}
