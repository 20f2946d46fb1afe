using System.Globalization;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>
/// Writes a unit's entries. Before its Begin an entry that cannot be written stops everything; after it the device is at work, and what cannot be
/// written is remembered while the unit is watched to its end.
/// </summary>
internal sealed class UnitRecord
{
    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private bool _begun;
    private int _unwritten;

    /// <summary>Writes for a unit.</summary>
    public UnitRecord(RunOptions options, PlannedUnit unit)
    {
        _options = options;
        _unit = unit;
    }

    /// <summary>The first entry after Begin that could not be written, or null.</summary>
    public Problem? Lost { get; private set; }

    /// <summary>True where the unit's end is written down.</summary>
    public bool HasEnd { get; private set; }

    /// <summary>Writes an entry.</summary>
    /// <exception cref="PoeOpsException">It could not be written, and the unit has not begun.</exception>
    public void Write(RunEntryKind kind, params (string Name, object? Value)[] facts)
    {
        RunEntry entry = Entry(kind, facts);
        try
        {
            TellGap();
            _options.Record.Write(entry);
            _begun |= kind == RunEntryKind.Begin;
            HasEnd |= kind == RunEntryKind.End;
        }
        catch (PoeOpsException exception) when (_begun)
        {
            Lost ??= exception.Problem;
            _unwritten++;
        }
    }

    /// <summary>Lets go of a unit's session and of its switch's lock; what goes wrong with that is written and stands in the way of nothing.</summary>
    /// <param name="link">The session; null where none was opened.</param>
    /// <param name="held">The lock; null where none was taken.</param>
    public void LetGo(IUnitLink? link, RunLock? held)
    {
        try
        {
            link?.Dispose();
        }
        catch (Exception exception) when (exception is PoeOpsException or IOException)
        {
            Note($"The session could not be closed: {exception.Message}");
        }

        if (held?.Release() is { } trouble)
        {
            Note(trouble);
        }
    }

    /// <summary>Writes something worth knowing that must not stand in the way of anything.</summary>
    public void Note(string text)
    {
        try
        {
            Write(RunEntryKind.Note, ("text", text));
        }
        catch (PoeOpsException exception)
        {
            Lost ??= exception.Problem;
        }
    }

    // A record that goes on after a gap says that there is one: nothing else in it shows that something is missing.
    private void TellGap()
    {
        if (_unwritten == 0)
        {
            return;
        }

        string entries = _unwritten == 1 ? "1 entry before this one" : $"{_unwritten.ToString(CultureInfo.InvariantCulture)} entries before this one";
        _options.Record.Write(Entry(RunEntryKind.Note, ("text", $"{entries} could not be written: {Lost?.Sentence}"), ("unwritten", _unwritten)));
        _unwritten = 0;
    }

    private RunEntry Entry(RunEntryKind kind, params (string Name, object? Value)[] facts) =>
        new(kind, _options.Clock.UtcNow, _unit.UnitId.ToString(), [.. facts.Select(fact => new KeyValuePair<string, object?>(fact.Name, fact.Value))]);
}
