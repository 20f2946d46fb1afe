using System.Globalization;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Says at once, in one line, that no further unit starts: a unit in progress may take many minutes to its end, and who asked for a stop wants to know
/// that it was heard. It looks on a thread of its own, since the run has eyes for its unit alone.
/// </summary>
public sealed class StopNotice : IDisposable
{
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(200);

    private readonly RefreshRun _run;
    private readonly RunOptions _options;
    private readonly object _gate = new();
    private readonly CancellationTokenSource _over = new();
    private Thread? _thread;
    private bool _saidStop;
    private PlannedUnit? _saidWindow;

    /// <summary>Prepares to look; <see cref="Watch"/> begins.</summary>
    /// <param name="run">The run.</param>
    /// <param name="options">The run's.</param>
    public StopNotice(RefreshRun run, RunOptions options)
    {
        _run = run;
        _options = options;
    }

    /// <summary>What is to be said now, and was not said before. May be asked from any thread.</summary>
    /// <returns>One line; null where there is nothing new.</returns>
    public string? Take()
    {
        lock (_gate)
        {
            PlannedUnit? unit = _run.InProgress;
            if (!_saidStop && _options.Stop.Reason is { } reason)
            {
                _saidStop = true;
                return unit is null ? $"The run stops because {reason}: no further unit starts." : $"The run stops because {reason}: no further unit starts, and {unit.UnitId} is watched to its end.";
            }

            if (unit is null || unit == _saidWindow || _options.Clock.UtcNow < unit.WindowClosesUtc)
            {
                return null;
            }

            _saidWindow = unit;
            string closed = unit.WindowClosesUtc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
            return $"The window of {unit.UnitId} closed {closed} UTC: no further unit starts in it, and {unit.UnitId} is watched to its end.";
        }
    }

    /// <summary>Looks several times a second from now on, until it is disposed.</summary>
    /// <param name="tell">Told each line, on a thread of its own.</param>
    public void Watch(Action<string> tell)
    {
        _thread = new Thread(() =>
        {
            do
            {
                if (Take() is { } line)
                {
                    tell(line);
                }
            }
            while (SystemClock.Instance.Wait(Pause, _over.Token));
        }) { IsBackground = true, Name = "PoeOps stop" };
        _thread.Start();
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _over.Cancel();
        _thread?.Join();
        _over.Dispose();
    }
}
