using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>Holds the hops of an entry against each other: they rise, each brings at least what it is for, and the last is older than the entry's firmware.</summary>
internal static class HopOrder
{
    private const string Advice = "List the hops from the oldest to the newest, each with a firmware that is not older than its 'below' and older than what comes after it.";

    /// <summary>Reports what is wrong in a file, as far as the order of the versions is plain.</summary>
    public static void Report(IReadOnlyList<JsonObjectReader> readers, BaselineEntry entry)
    {
        for (int i = 0; i < readers.Count; i++)
        {
            if (Wrong(entry, i, PlainVersion.Read) is { } wrong)
            {
                readers[i].Report(ProblemId.HopsDoNotConnect, "firmware", wrong, Advice);
            }
        }
    }

    /// <summary>Why the hops of an entry lead nowhere, as a sentence, or null.</summary>
    public static string? Wrong(BaselineEntry entry, Func<string, ControllerVersion?> read) =>
        Enumerable.Range(0, entry.Hops.Count).Select(i => Wrong(entry, i, read)).FirstOrDefault(wrong => wrong is not null);

    private static string? Wrong(BaselineEntry entry, int index, Func<string, ControllerVersion?> read)
    {
        HopRule hop = entry.Hops[index];
        if (read(hop.Firmware) is not { } firmware)
        {
            return null;
        }

        if (read(hop.Below) is { } below && firmware < below)
        {
            return $"The hop to {hop.Firmware} is for controllers older than {hop.Below}, and they still are after it.";
        }

        if (index > 0 && read(entry.Hops[index - 1].Firmware) is { } last && firmware <= last)
        {
            return $"The hop to {hop.Firmware} comes after the hop to {entry.Hops[index - 1].Firmware} and is not newer.";
        }

        return read(entry.Firmware) is { } final && firmware >= final
            ? $"The hop to {hop.Firmware} does not lead to the approved {entry.Firmware}, which is not newer."
            : null;
    }
}
