using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// One use of a plan. Pulled: each <see cref="Next"/> takes one planned unit from its gates to its end, so that at most one is in between. Nothing is
/// begun that is not written down before. The first unit that fails or whose state nobody knows ends the run.
/// </summary>
public sealed class RefreshRun
{
    private readonly RunOptions _options;
    private readonly Queue<PlannedUnit> _waiting;
    private bool _begun;
    private bool _ended;

    /// <summary>Prepares a run; nothing is written or sent yet.</summary>
    public RefreshRun(RunOptions options)
    {
        _options = options;
        _waiting = new Queue<PlannedUnit>(options.Plan.Units.OrderBy(unit => unit.Order));
    }

    /// <summary>The planned units that were not looked at.</summary>
    public IReadOnlyList<PlannedUnit> Remaining => [.. _waiting];

    /// <summary>Why the run ended before its plan did; null where it did not.</summary>
    public string? StoppedBecause { get; private set; }

    /// <summary>Takes the next planned unit to its end.</summary>
    /// <returns>What became of it; null when there is none left, or the run has ended.</returns>
    /// <exception cref="PoeOpsException">The record cannot be written, and nothing was begun.</exception>
    public UnitResult? Next()
    {
        if (_ended)
        {
            return null;
        }

        Begin();
        if (_waiting.Count == 0 || _options.Stop.Reason is not null || StoppedBecause is not null)
        {
            End();
            return null;
        }

        var refresh = new UnitRefresh(_options, _waiting.Dequeue());
        UnitResult result = refresh.Run();
        if (refresh.RecordIsLost)
        {
            StoppedBecause = "the journal can no longer be written";
            _ended = true;
        }
        else if (result.Outcome is StageOutcome.Failed or StageOutcome.Uncertain)
        {
            StoppedBecause = $"{result.UnitId} ended {result.Outcome}";
        }

        return result;
    }

    private void Begin()
    {
        if (_begun)
        {
            return;
        }

        _begun = true;
        using var process = System.Diagnostics.Process.GetCurrentProcess();
        Write(
            RunEntryKind.RunBegan, ("host", Environment.MachineName), ("user", Environment.UserName), ("process", process.Id), ("plan", _options.Plan.Name),
            ("fingerprint", _options.Plan.Fingerprint), ("units", _options.Plan.Units.Count), ("speed", _options.Clock.Speed), ("attended", _options.Attended));
    }

    private void End()
    {
        _ended = true;
        if (_options.Stop.Reason is { } stop && _waiting.Count > 0)
        {
            StoppedBecause ??= stop;
            Write(RunEntryKind.StopAsked, ("reason", stop));
        }

        Write(RunEntryKind.RunEnded, ("because", StoppedBecause ?? "the plan is through"), ("notBegun", _waiting.Select(unit => unit.UnitId.ToString()).ToList()));
    }

    private void Write(RunEntryKind kind, params (string Name, object? Value)[] facts) =>
        _options.Record.Write(new RunEntry(kind, _options.Clock.UtcNow, string.Empty, [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]));
}
