namespace PoeOps.Snmp;

/// <summary>An agent that is to be read.</summary>
/// <param name="Host">A host name, or an IPv4 or IPv6 address.</param>
/// <param name="Port">The UDP port.</param>
/// <param name="Context">The switch, and what else is known.</param>
public sealed record SnmpPlace(string Host, int Port, SnmpContext Context);

/// <summary>Reads many agents side by side.</summary>
public static class SnmpSweep
{
    /// <summary>The most agents that are read at once.</summary>
    public const int MostAtOnce = 256;

    /// <summary>Reads agents, some at once, and gives what came in the order of the places; each as soon as those before it are there.</summary>
    /// <param name="places">The agents.</param>
    /// <param name="access">As whom they are asked.</param>
    /// <param name="atOnce">How many at once, 1 to <see cref="MostAtOnce"/>.</param>
    /// <param name="times">How long each is waited for; null for the usual times.</param>
    /// <param name="cancel">Ends the reading.</param>
    /// <returns>A reading for each place. Who stops taking them stops the reading.</returns>
    public static IEnumerable<SnmpReading> Read(IReadOnlyList<SnmpPlace> places, SnmpAccess access, int atOnce, SnmpTimes? times = null, CancellationToken cancel = default)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        TaskCompletionSource<SnmpReading>[] slots = [.. places.Select(_ => new TaskCompletionSource<SnmpReading>(TaskCreationOptions.RunContinuationsAsynchronously))];
        int next = -1;
        void Work()
        {
            for (int i = Interlocked.Increment(ref next); i < slots.Length; i = Interlocked.Increment(ref next))
            {
                ReadOne(places[i], slots[i], access, times, stop.Token);
            }
        }

        Thread[] workers = [.. Enumerable.Range(0, Math.Min(Math.Max(1, Math.Min(atOnce, MostAtOnce)), slots.Length)).Select(_ => new Thread(Work) { IsBackground = true, Name = "PoeOps SNMP" })];
        try
        {
            Array.ForEach(workers, worker => worker.Start());
            foreach (TaskCompletionSource<SnmpReading> slot in slots)
            {
                yield return slot.Task.GetAwaiter().GetResult();
            }
        }
        finally
        {
            stop.Cancel();
            Array.ForEach(workers, worker => worker.Join());
        }
    }

    private static void ReadOne(SnmpPlace place, TaskCompletionSource<SnmpReading> slot, SnmpAccess access, SnmpTimes? times, CancellationToken cancel)
    {
#pragma warning disable CA1031 // It is thrown again where the reading is taken.
        try
        {
            slot.SetResult(SnmpReader.Read(place.Host, place.Port, access, place.Context, times, cancel));
        }
        catch (OperationCanceledException)
        {
            slot.SetCanceled();
        }
        catch (Exception exception)
        {
            slot.SetException(exception);
        }
#pragma warning restore CA1031
    }
}
