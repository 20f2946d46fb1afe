using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Baselines;

/// <summary>The way of a controller to the approved firmware.</summary>
internal static class HopPath
{
    /// <summary>The images to load, in order: the hops that the controller is too old to go without, then the approved firmware.</summary>
    /// <param name="runs">What it runs; older than the approved firmware.</param>
    /// <param name="entry">The entry, whose hops rise.</param>
    /// <param name="dialect">Orders the versions.</param>
    public static IReadOnlyList<Hop> From(ControllerVersion runs, BaselineEntry entry, Dialect dialect)
    {
        List<Hop> path = [];
        foreach (HopRule hop in entry.Hops)
        {
            // After a hop the controller runs what it brought: the next hop is judged by that.
            if (runs < dialect.Firmware.Read(hop.Below))
            {
                path.Add(new Hop(hop.Firmware, hop.Image, hop.Times));
                runs = dialect.Firmware.Read(hop.Firmware)!;
            }
        }

        path.Add(new Hop(entry.Firmware, entry.Image, entry.Times));
        return path;
    }
}
