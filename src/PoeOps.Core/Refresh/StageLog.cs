namespace PoeOps.Refresh;

/// <summary>Which stage a unit is in, since when, and how far; written down and told as it changes.</summary>
internal sealed class StageLog
{
    private readonly Clock _clock;
    private readonly UnitRecord _record;
    private readonly Action<Stage, int?, string> _tell;
    private readonly Dictionary<string, double> _seconds = new(StringComparer.Ordinal);
    private TimeSpan _since;
    private int _tenth;
    private bool _open;

    /// <summary>Begins with no stage.</summary>
    public StageLog(Clock clock, UnitRecord record, Action<Stage, int?, string> tell)
    {
        _clock = clock;
        _record = record;
        _tell = tell;
    }

    /// <summary>The stage.</summary>
    public Stage Current { get; private set; }

    /// <summary>How far the stage is; null where nobody said.</summary>
    public int? Percent { get; private set; }

    /// <summary>How long the stage will still take, where that is known and not only planned; else null.</summary>
    public TimeSpan? Left { get; private set; }

    /// <summary>How long the stage has gone on.</summary>
    public TimeSpan InStage => _open ? _clock.Elapsed - _since : TimeSpan.Zero;

    /// <summary>When loads went dark, in time gone by: the start of Erase, or of the first stage after it that the device named; null where it named none.</summary>
    public TimeSpan? DarkSince { get; private set; }

    /// <summary>When the first stage began, in time gone by; null where none has.</summary>
    public TimeSpan? Since { get; private set; }

    /// <summary>How long each stage took, seconds.</summary>
    public IReadOnlyDictionary<string, double> Seconds => _seconds;

    /// <summary>Begins a stage, and ends the one before. A stage that was passed is not begun again.</summary>
    /// <returns>True where it was begun.</returns>
    public bool Begin(Stage stage, string text)
    {
        if (_open && stage <= Current)
        {
            return false;
        }

        End();
        Current = stage;
        Percent = null;
        Left = null;
        _tenth = 0;
        _open = true;
        _since = _clock.Elapsed;
        Since ??= _since;
        if (stage >= Stage.Erase && stage < Stage.Verify)
        {
            DarkSince ??= _since;
        }

        _record.Write(RunEntryKind.StageBegan, ("stage", stage.ToString()), ("text", text));
        _tell(stage, null, text);
        return true;
    }

    /// <summary>Notes how far the stage is.</summary>
    /// <returns>True where it got further.</returns>
    public bool Progress(int percent, string text)
    {
        if (Percent is { } before && percent <= before)
        {
            return false;
        }

        Percent = percent;
        _tell(Current, percent, text);
        if (percent / 10 > _tenth)
        {
            _tenth = percent / 10;
            _record.Write(RunEntryKind.Progress, ("stage", Current.ToString()), ("percent", percent));
        }

        return true;
    }

    /// <summary>Notes how far the stage is, and tells that it goes on where it did not get further.</summary>
    public void Report(int percent, string text)
    {
        if (!Progress(percent, text))
        {
            GoesOn(text, Left);
        }
    }

    /// <summary>Tells that the stage goes on, though nothing more is to be written down of it.</summary>
    /// <param name="text">What is waited for.</param>
    /// <param name="left">How long it will still take; null where nobody knows.</param>
    public void GoesOn(string text, TimeSpan? left)
    {
        Left = left;
        _tell(Current, Percent, text);
    }

    /// <summary>Ends the stage, where one is open.</summary>
    public void End()
    {
        if (!_open)
        {
            return;
        }

        _open = false;
        double seconds = Math.Round((_clock.Elapsed - _since).TotalSeconds, 3);
        _seconds[Current.ToString()] = seconds;
        _record.Write(RunEntryKind.StageEnded, ("stage", Current.ToString()), ("seconds", seconds));
    }
}
