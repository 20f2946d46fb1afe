using System.Management.Automation;
using PoeOps.Planning;
using PoeOps.Refresh;

namespace PoeOps.Cmdlets;

/// <summary>
/// Shows how far a run is: one bar for the run with the time that is left of it, and beneath it one for the unit at work with its stage. What it says is
/// in the journal as well, so nothing is lost where nobody looks.
/// </summary>
internal sealed class StageProgress
{
    private const int RunBar = 1;
    private const int UnitBar = 2;
    private const string RunActivity = "Refreshing PSE controllers";
    private const string UnitActivity = "Unit";

    private readonly Cmdlet _cmdlet;
    private readonly Func<bool> _stopping;
    private readonly Clock _clock;
    private readonly ProgressPace _pace;
    private Shown? _kept;
    private int _runPercent;
    private int _unitPercent = -1;
    private (int Index, Stage Stage) _unitStage;
    private bool _hasRun;
    private bool _hasUnit;

    /// <summary>Shows through a cmdlet.</summary>
    /// <param name="cmdlet">The cmdlet, on whose thread everything is shown.</param>
    /// <param name="isWanted">False where nobody wants to see it: then nothing is reckoned either.</param>
    /// <param name="clock">The run's clock.</param>
    /// <param name="stopping">True once the pipeline takes no more.</param>
    public StageProgress(Cmdlet cmdlet, bool isWanted, Clock clock, Func<bool> stopping)
    {
        _cmdlet = cmdlet;
        IsWanted = isWanted;
        _clock = clock;
        _stopping = stopping;
        _pace = new ProgressPace(SystemClock.Instance);
    }

    /// <summary>False where nobody wants to see it.</summary>
    public bool IsWanted { get; }

    /// <summary>Reckons what there is to show, on the thread of the run.</summary>
    /// <param name="progress">How far the unit is.</param>
    /// <param name="remaining">The units that were not taken to their end.</param>
    public Shown Of(RunProgress progress, IEnumerable<PlannedUnit> remaining)
    {
        TimeSpan? unitLeft = progress.Planned is { } unit ? TimeLeft.OfUnit(unit, progress.Stage, progress.Percent, progress.InStage, progress.StageLeft) : null;
        TimeSpan? runLeft = progress.Planned is { } planned ? TimeLeft.OfRun(planned, unitLeft, remaining) : null;
        TimeSpan? whole = progress.Planned is { } all ? TimeLeft.OfWhole(all) : null;
        double done = unitLeft is { } left && whole is { Ticks: > 0 } of ? Math.Min(1, Math.Max(0, 1 - ((double)left.Ticks / of.Ticks))) : 0;
        return new Shown(progress with { Percent = TimeLeft.PercentOf(progress) }, (int)((progress.Index - 1 + done) * 100 / Math.Max(1, progress.Total)), Seconds(runLeft), Seconds(unitLeft));
    }

    /// <summary>Shows how far a unit is, on the pipeline's thread; what comes too soon is kept for the end of the unit.</summary>
    public void Show(Shown shown)
    {
        bool takes = _pace.Takes(shown.Progress);
        _kept = takes ? null : shown;
        if (takes)
        {
            Write(shown);
        }
    }

    /// <summary>Ends the bar of the unit.</summary>
    public void EndUnit()
    {
        if (_kept is { } last)
        {
            _kept = null;
            Write(last);
        }

        if (_hasUnit)
        {
            _hasUnit = false;
            Write(new ProgressRecord(UnitBar, UnitActivity, "done") { ParentActivityId = RunBar, RecordType = ProgressRecordType.Completed });
        }
    }

    /// <summary>Ends both bars, however the run ended.</summary>
    public void End()
    {
        EndUnit();
        if (_hasRun)
        {
            _hasRun = false;
            Write(new ProgressRecord(RunBar, RunActivity, "done") { RecordType = ProgressRecordType.Completed });
        }
    }

    private void Write(Shown shown)
    {
        RunProgress at = shown.Progress;

        // Nothing is all done before its end, and what is at work does not go back.
        _runPercent = Math.Max(_runPercent, Math.Min(99, shown.RunPercent));
        _unitPercent = (at.Index, at.Stage) == _unitStage ? Math.Max(_unitPercent, at.Percent ?? -1) : at.Percent ?? -1;
        _unitStage = (at.Index, at.Stage);
        _hasRun = true;
        _hasUnit = true;
        Write(new ProgressRecord(RunBar, RunActivity, PlainText.Of($"{at.Index} of {at.Total}: {at.Unit}"))
        {
            PercentComplete = _runPercent,
            SecondsRemaining = shown.RunSeconds,
        });
        Write(new ProgressRecord(UnitBar, UnitActivity, PlainText.Of(_unitPercent >= 0 ? $"{at.Unit} {at.Stage}, {_unitPercent} %" : $"{at.Unit} {at.Stage}"))
        {
            ParentActivityId = RunBar,
            CurrentOperation = PlainText.Of(at.Text),
            PercentComplete = _unitPercent,
            SecondsRemaining = shown.UnitSeconds,
        });
    }

    // The machine's time: whoever looks on waits in it, also where a rehearsal's clock runs faster.
    private int Seconds(TimeSpan? left) => left is { } span ? (int)Math.Min(int.MaxValue, Math.Ceiling(span.TotalSeconds / _clock.Speed)) : -1;

    private void Write(ProgressRecord record)
    {
        if (_stopping())
        {
            return;
        }

        try
        {
            _cmdlet.WriteProgress(record);
        }
        catch (PipelineStoppedException)
        {
            // The pipeline was stopped in between; the unit is still watched to its end.
            _kept = null;
        }
    }

    /// <summary>What there is to show.</summary>
    /// <param name="Progress">How far the unit is.</param>
    /// <param name="RunPercent">How much of the plan is done.</param>
    /// <param name="RunSeconds">What is left of the run, or -1.</param>
    /// <param name="UnitSeconds">What is left of the unit, or -1.</param>
    internal sealed record Shown(RunProgress Progress, int RunPercent, int RunSeconds, int UnitSeconds);
}
