using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;

namespace PoeOps.Cmdlets;

/// <summary>
/// Lets the core work on a thread of its own while the pipeline's thread shows and asks. A console that takes no more text (somebody has marked a
/// word in it, or stopped its output) holds up the pipeline's thread alone: the unit in progress is watched and written down all the same.
/// </summary>
internal sealed class PipelinePump : IDisposable
{
    private readonly BlockingCollection<Turn> _turns = [];
    private readonly object _closing = new();
    private bool _closed;
    private Action? _newest;
    private ExceptionDispatchInfo? _showTrouble;

    /// <summary>Runs a piece of the core on a thread of its own, and takes turns on this one until it is through.</summary>
    /// <param name="work">The work.</param>
    /// <returns>What it gave.</returns>
    /// <remarks>What it threw is thrown here.</remarks>
    public T Run<T>(Func<T> work)
    {
        T result = default!;
        ExceptionDispatchInfo? trouble = null;
        bool over = false;
        var thread = new Thread(() =>
        {
            trouble = Guarded(() => result = work());
            Add(new Turn(() => over = true));
        }) { IsBackground = true, Name = "PoeOps run" };
        thread.Start();
        while (!over)
        {
            _turns.Take().Take();
        }

        thread.Join();
        (trouble ?? _showTrouble)?.Throw();
        return result;
    }

    /// <summary>Has something done on the pipeline's thread, and waits for what it gives or throws.</summary>
    /// <exception cref="OperationCanceledException">The pipeline's thread takes no turns any more.</exception>
    public T OnPipeline<T>(Func<T> turn)
    {
        T result = default!;
        ExceptionDispatchInfo? trouble = null;
        var done = new ManualResetEventSlim();
        Add(new Turn(
            () =>
            {
                trouble = Guarded(() => result = turn());
                done.Set();
            },
            never: () =>
            {
                trouble = ExceptionDispatchInfo.Capture(Over());
                done.Set();
            }));
        done.Wait();
        trouble?.Throw();
        return result;
    }

    /// <summary>Has something done on the pipeline's thread, unless that thread does not begin with it in time.</summary>
    /// <param name="turn">What to do; once it has begun, it is waited for.</param>
    /// <param name="most">How long to wait for its beginning.</param>
    /// <param name="late">Gives or throws what stands for it where it was not begun; it never begins afterwards.</param>
    public T OnPipeline<T>(Func<T> turn, TimeSpan most, Func<T> late)
    {
        int taken = 0;
        T result = default!;
        ExceptionDispatchInfo? trouble = null;
        var done = new ManualResetEventSlim();
        var begun = new ManualResetEventSlim();
        Add(new Turn(() =>
        {
            if (Interlocked.Exchange(ref taken, 1) == 0)
            {
                begun.Set();
                trouble = Guarded(() => result = turn());
                done.Set();
            }
        }));
        if (!begun.Wait(most) && Interlocked.Exchange(ref taken, 1) == 0)
        {
            return late();
        }

        done.Wait();
        trouble?.Throw();
        return result;
    }

    /// <summary>Has something said on the pipeline's thread when it has time; nothing that is said gets lost.</summary>
    public void Say(Action say) => Add(new Turn(() => _showTrouble ??= Guarded(say)));

    /// <summary>Has something shown on the pipeline's thread when it has time. Of several that wait only the newest is shown.</summary>
    public void Show(Action show)
    {
        if (Interlocked.Exchange(ref _newest, show) is null)
        {
            Add(new Turn(() => _showTrouble ??= Guarded(() => Interlocked.Exchange(ref _newest, null)?.Invoke())));
        }
    }

    /// <summary>Takes no turns any more; whoever still waits for one is told so.</summary>
    public void Dispose()
    {
        lock (_closing)
        {
            _closed = true;
        }

        while (_turns.TryTake(out Turn? turn))
        {
            turn.Never?.Invoke();
        }

        _turns.Dispose();
    }

    private static OperationCanceledException Over() => new("The pipeline is over.");

    private void Add(Turn turn)
    {
        lock (_closing)
        {
            if (_closed)
            {
                throw Over();
            }

            _turns.Add(turn);
        }
    }

    private static ExceptionDispatchInfo? Guarded(Action action)
    {
#pragma warning disable CA1031 // It is thrown again on the thread that waits for it.
        try
        {
            action();
            return null;
        }
        catch (Exception exception)
        {
            return ExceptionDispatchInfo.Capture(exception);
        }
#pragma warning restore CA1031
    }

    private sealed class Turn(Action take, Action? never = null)
    {
        public Action Take { get; } = take;

        public Action? Never { get; } = never;
    }
}
