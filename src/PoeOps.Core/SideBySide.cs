using System.Collections.Concurrent;
using System.Diagnostics.CodeAnalysis;
using System.Runtime.ExceptionServices;

namespace PoeOps;

/// <summary>
/// Works on many things side by side, and gives what comes of each as it comes. No more is kept than what the workers hold: where nobody takes what
/// is there, they wait.
/// </summary>
[SuppressMessage("Design", "CA1001", Justification = "A worker that is left to itself may hold the queue and the source after the end; neither holds anything that must be released.")]
internal sealed class SideBySide<TItem, TResult>
{
    private readonly ConcurrentQueue<TItem> _waiting;
    private readonly BlockingCollection<(TResult Result, ExceptionDispatchInfo? Trouble)> _results = new(boundedCapacity: 1);
    private readonly CancellationTokenSource _over;
    private readonly Func<TItem, CancellationToken, TResult> _work;
    private int _working;

    private SideBySide(IReadOnlyCollection<TItem> items, int most, Func<TItem, CancellationToken, TResult> work, CancellationToken stop)
    {
        _waiting = new(items);
        _working = Math.Min(most, items.Count);
        _work = work;
        _over = CancellationTokenSource.CreateLinkedTokenSource(stop);
    }

    /// <summary>Begins when the first result is asked for; ends, and stops the workers, when no more are.</summary>
    /// <param name="items">What to work on; begun in this order.</param>
    /// <param name="most">How many are worked on at once at the most, 1 or more.</param>
    /// <param name="work">The work on one, on a thread of its own, which may block; its token is cancelled when the whole is over before it.</param>
    /// <param name="stop">Ends the whole at once: a worker that is still busy is left to itself.</param>
    /// <returns>A result for each item, in the order in which they were ready.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled.</exception>
    /// <remarks>What the work on one throws is thrown here, and ends the whole.</remarks>
    public static IEnumerable<TResult> Run(IReadOnlyCollection<TItem> items, int most, Func<TItem, CancellationToken, TResult> work, CancellationToken stop)
    {
        var crew = new SideBySide<TItem, TResult>(items, most, work, stop);
        return crew.Results();
    }

    private IEnumerable<TResult> Results()
    {
        if (_working == 0)
        {
            yield break;
        }

        for (int i = _working; i > 0; i--)
        {
            new Thread(Work) { IsBackground = true, Name = "PoeOps side by side" }.Start();
        }

        try
        {
            foreach ((TResult result, ExceptionDispatchInfo? trouble) in _results.GetConsumingEnumerable(_over.Token))
            {
                trouble?.Throw();
                yield return result;
            }

            // Workers that were stopped before may have left nothing to wait for; that is no end.
            _over.Token.ThrowIfCancellationRequested();
        }
        finally
        {
            _over.Cancel();
        }
    }

    private void Work()
    {
        try
        {
            while (!_over.IsCancellationRequested && _waiting.TryDequeue(out TItem? item))
            {
                _results.Add(Outcome(item), _over.Token);
            }
        }
        catch (OperationCanceledException) when (_over.IsCancellationRequested)
        {
            // Nobody waits for this result any more, and nothing more is begun.
            while (_waiting.TryDequeue(out _))
            {
            }
        }

        if (Interlocked.Decrement(ref _working) == 0)
        {
            _results.CompleteAdding();
        }
    }

    [SuppressMessage("Design", "CA1031", Justification = "On this thread nobody could catch it, and the process would end; it is thrown again where the results are taken.")]
    private (TResult Result, ExceptionDispatchInfo? Trouble) Outcome(TItem item)
    {
        try
        {
            return (_work(item, _over.Token), null);
        }
        catch (Exception exception) when (exception is not OperationCanceledException || !_over.IsCancellationRequested)
        {
            return (default!, ExceptionDispatchInfo.Capture(exception));
        }
    }
}
