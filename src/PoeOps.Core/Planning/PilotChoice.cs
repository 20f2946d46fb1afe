using PoeOps.Estate;

namespace PoeOps.Planning;

/// <summary>
/// Names the pilot of each model and image: the unit whose loads are out of service for the fewest minutes, all together; of two alike, the first by id.
/// One that would have to come after its own fellows, as the unit that holds its stack's management may, gives way to the next.
/// </summary>
internal static class PilotChoice
{
    /// <summary>Marks the pilots and lets their fellows wait for them.</summary>
    /// <param name="items">The items, whose order by hops and management is known.</param>
    /// <param name="soak">How long after a pilot's end its fellows may start, ticks.</param>
    /// <param name="done">Pilots that are through already.</param>
    public static void Mark(PlanItem[] items, long soak, IReadOnlyList<PilotDone> done)
    {
        foreach (List<PlanItem> kind in items.GroupBy(KeyOf).Select(kind => kind.ToList()).OrderBy(kind => kind[0].Hop).ThenBy(kind => kind[0].Index))
        {
            PilotDone? before = done.FirstOrDefault(one => KeyOf(one) == KeyOf(kind[0]));
            if (before is not null)
            {
                kind.ForEach(item => item.Ready = Math.Max(item.Ready, before.EndUtc.Ticks + soak));
            }
            else if (kind.Count > 1)
            {
                Mark(items, kind, soak);
            }
        }
    }

    private static void Mark(PlanItem[] items, List<PlanItem> kind, long soak)
    {
        PlanItem pilot = kind.OrderBy(item => item.Outage.OutOfServiceLoadMinutes ?? double.MaxValue).ThenBy(item => item.Index).First(item => !ComesAfterAny(items, item, kind));
        pilot.IsPilot = true;
        foreach (PlanItem fellow in kind.Where(fellow => fellow != pilot))
        {
            fellow.Before.Add((pilot.Index, soak));
            pilot.After.Add((fellow.Index, soak));
        }
    }

    private static bool ComesAfterAny(PlanItem[] items, PlanItem item, List<PlanItem> kind)
    {
        HashSet<int> seen = [];
        Stack<int> waiting = new([item.Index]);
        while (waiting.Count > 0)
        {
            foreach ((int before, _) in items[waiting.Pop()].Before)
            {
                if (seen.Add(before))
                {
                    waiting.Push(before);
                }
            }
        }

        return seen.Count > 0 && kind.Exists(other => seen.Contains(other.Index));
    }

    private static (string Model, string Firmware, string Sha256) KeyOf(PlanItem item) =>
        (item.Outage.Drift.Model!.ToUpperInvariant(), item.Outage.Drift.Path[item.Hop].Firmware, item.Outage.Drift.Path[item.Hop].Image.Sha256);

    private static (string Model, string Firmware, string Sha256) KeyOf(PilotDone done) => (done.Model.ToUpperInvariant(), done.Firmware, done.ImageSha256);
}

/// <summary>A pilot that was refreshed already, so that its fellows need no other.</summary>
/// <param name="UnitId">The unit.</param>
/// <param name="Model">The hardware model.</param>
/// <param name="Firmware">What the image brought.</param>
/// <param name="ImageSha256">The image's SHA-256.</param>
/// <param name="EndUtc">When its loads served again, UTC.</param>
public sealed record PilotDone(UnitId UnitId, string Model, string Firmware, string ImageSha256, DateTime EndUtc);
