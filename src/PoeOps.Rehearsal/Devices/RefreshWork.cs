namespace PoeOps.Rehearsal.Devices;

/// <summary>A refresh under way on a thread of its own, and what is new about it. A lost console does not end it.</summary>
internal sealed class RefreshWork
{
    private readonly List<RefreshNews> _news = [];
    private readonly Scene _scene;
    private bool _ended;
    private int? _shown;

    public RefreshWork(Scene scene, InstallOrder order)
    {
        _scene = scene;
        Order = order;
    }

    /// <summary>What was ordered.</summary>
    public InstallOrder Order { get; }

    /// <summary>True when nothing more will be new.</summary>
    public bool Ended
    {
        get
        {
            lock (_news)
            {
                return _ended;
            }
        }
    }

    /// <summary>The newest there is; null before anything began.</summary>
    public RefreshNews? Latest
    {
        get
        {
            lock (_news)
            {
                return _news.Count == 0 ? null : _news[_news.Count - 1];
            }
        }
    }

    /// <summary>True where a log line breaks every line of progress.</summary>
    public bool Torn { get; set; }

    /// <summary>True where the progress stops at a pager.</summary>
    public bool Paged { get; set; }

    /// <summary>Begins the work.</summary>
    /// <param name="stages">The stages, which tell what is new.</param>
    public void Start(RefreshStages stages)
    {
        var thread = new Thread(() => Run(stages)) { IsBackground = true, Name = "refresh" };
        thread.Start();
    }

    /// <summary>Waits for the next piece of news.</summary>
    /// <param name="seen">How many were seen before.</param>
    /// <returns>The next, or null when the work has ended, or the rehearsal has.</returns>
    public RefreshNews? WaitForNext(int seen)
    {
        lock (_news)
        {
            _shown = seen;
            Monitor.PulseAll(_news);
            while (_news.Count <= seen)
            {
                if (_ended || _scene.Ended.IsCancellationRequested)
                {
                    return null;
                }

                // The rehearsal's end pulses nobody, so look for it now and then.
                Monitor.Wait(_news, TimeSpan.FromMilliseconds(200));
            }

            return _news[seen];
        }
    }

    /// <summary>Waits until a console that follows has printed everything up to now, so that a line that is lost is lost behind it; not for ever.</summary>
    public void WaitUntilShown()
    {
        Deadline patience = SystemClock.Instance.DeadlineIn(TimeSpan.FromSeconds(2));
        lock (_news)
        {
            while (_shown is { } shown && shown < _news.Count && !patience.HasPassed && Monitor.Wait(_news, patience.MachineTimeLeft))
            {
                continue;
            }
        }
    }

    /// <summary>Tells what is new.</summary>
    public void Tell(RefreshNews news)
    {
        lock (_news)
        {
            _news.Add(news);
            Monitor.PulseAll(_news);
        }
    }

    /// <summary>Forgets everything that was new: whoever asks finds that nothing was ever begun.</summary>
    public void Forget()
    {
        lock (_news)
        {
            _news.Clear();
        }
    }

    private void Run(RefreshStages stages)
    {
        try
        {
            stages.Run(this);
        }
        catch (OperationCanceledException) when (_scene.Ended.IsCancellationRequested)
        {
            _scene.Log.Write(DeviceEntryKind.InstallFailed, Order.Switch, Order.Unit, "the rehearsal ended in the middle of it");
        }
        finally
        {
            lock (_news)
            {
                _ended = true;
                Monitor.PulseAll(_news);
            }
        }
    }
}

/// <summary>What a console was told to load.</summary>
/// <param name="Switch">The switch.</param>
/// <param name="Unit">The unit.</param>
/// <param name="Server">The file server's host.</param>
/// <param name="ServerPort">The file server's port.</param>
/// <param name="File">The image's name there.</param>
internal sealed record InstallOrder(string Switch, string Unit, string Server, int ServerPort, string File);
