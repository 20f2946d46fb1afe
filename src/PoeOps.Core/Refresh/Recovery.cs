using System.Globalization;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Refresh;

/// <summary>Waits until the loads that were powered are powered and serve again, compares the ports with what they were, and puts settings back.</summary>
internal sealed class Recovery
{
    private static readonly string[] Settings = ["AdminEnabled", "Priority", "LimitWatts"];
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan Slack = TimeSpan.FromSeconds(60);

    private readonly RunOptions _options;
    private readonly PlannedUnit _unit;
    private readonly IUnitLink _link;
    private readonly Controller _before;
    private readonly UnitRecord _record;
    private readonly List<Port> _powered;
    private bool _alive = true;

    /// <summary>Prepares to wait.</summary>
    /// <param name="options">The run's.</param>
    /// <param name="unit">The planned unit.</param>
    /// <param name="link">A way to its switch.</param>
    /// <param name="before">The unit as it was before.</param>
    /// <param name="record">Where it is written down.</param>
    public Recovery(RunOptions options, PlannedUnit unit, IUnitLink link, Controller before, UnitRecord record)
    {
        _options = options;
        _unit = unit;
        _link = link;
        _before = before;
        _record = record;
        _powered = [.. before.Ports.Where(port => port.Delivering)];
    }

    /// <summary>The unit as it was last seen.</summary>
    public Controller? After { get; private set; }

    /// <summary>How many loads that were powered are powered again.</summary>
    public int LoadsBack { get; private set; }

    /// <summary>When the last load was seen to have power again, in time gone by; null where one has not.</summary>
    public TimeSpan? PoweredAt { get; private set; }

    /// <summary>Waits, compares and puts back.</summary>
    /// <param name="tell">Told how many loads are back, of a hundred, and in words.</param>
    /// <returns>Loads and settings that are not back, each in a few words.</returns>
    public IReadOnlyList<string> Run(Action<int, string> tell)
    {
        // Settings first: a port that the reset switched off never comes back by itself.
        Look();
        IReadOnlyList<string> settings = PutBack();
        Wait(tell);
        List<string> notBack = [.. _powered.Where(port => !IsBack(port)).Select(port => $"{port.Load ?? "load"} on {port.PortId} has no power")];
        notBack.AddRange(settings.Count == 0 ? [] : Differences().Select(difference => difference.Text));
        return notBack;
    }

    private void Wait(Action<int, string> tell)
    {
        Deadline power = _options.Clock.DeadlineIn(TimeSpan.FromSeconds(_unit.RecoverSeconds) + Slack);
        while (true)
        {
            LoadsBack = _powered.Count(IsBack);
            int percent = _powered.Count == 0 ? 100 : 100 * LoadsBack / _powered.Count;
            tell(percent, $"{LoadsBack.ToString(CultureInfo.InvariantCulture)} of {_powered.Count.ToString(CultureInfo.InvariantCulture)} loads have power");
            if (LoadsBack == _powered.Count)
            {
                PoweredAt = _options.Clock.Elapsed;
                break;
            }

            if (power.HasPassed)
            {
                break;
            }

            _ = _options.Clock.Wait(Pause, CancellationToken.None);
            Look();
        }

        // Powered is not yet serving: the next unit waits for the roles' restart times.
        double restart = _powered.Where(IsBack).Select(port => port.RestartSeconds ?? 0).DefaultIfEmpty(0).Max();
        _ = _options.Clock.Wait(TimeSpan.FromSeconds(restart), CancellationToken.None);
    }

    private bool IsBack(Port before) => Now(before) is { Delivering: true };

    private Port? Now(Port before) => After?.Ports.FirstOrDefault(port => string.Equals(port.Name, before.Name, StringComparison.OrdinalIgnoreCase));

    private void Look()
    {
        try
        {
            if (!_alive)
            {
                _link.Reopen();
            }

            SwitchReading reading = _options.Describe(_unit, _link.Read());
            After = reading.Controllers.FirstOrDefault(one => string.Equals(one.Unit, _unit.Unit, StringComparison.OrdinalIgnoreCase)) ?? After;
            _alive = true;
        }
        catch (PoeOpsException exception)
        {
            _alive = false;
            _record.Write(RunEntryKind.Note, ("text", $"The unit could not be asked: {exception.Problem.Sentence}"));
        }
    }

    private IReadOnlyList<string> PutBack()
    {
        List<(Port Before, string Property, string Text)> differences = Differences();
        foreach ((Port before, string property, string text) in differences)
        {
            string? trouble = null;
            try
            {
                _link.PutBack(before, property);
            }
            catch (PoeOpsException exception)
            {
                trouble = exception.Problem.Sentence;
            }

            _record.Write(RunEntryKind.PutBack, ("port", before.PortId.ToString()), ("setting", property), ("found", text), ("done", trouble is null), ("trouble", trouble));
        }

        if (differences.Count > 0)
        {
            Look();
        }

        return [.. differences.Select(difference => difference.Text)];
    }

    // A setting that nobody read before or after cannot be compared, and is not guessed.
    private List<(Port Before, string Property, string Text)> Differences()
    {
        List<(Port Before, string Property, string Text)> differences = [];
        foreach (Port before in _before.Ports)
        {
            foreach (string property in Now(before) is null ? [] : Settings)
            {
                (string? was, string? now) = (Text(before, property), Text(Now(before)!, property));
                bool read = property == "LimitWatts" ? _before.Ports.Any(port => port.LimitWatts is not null) : was is not null && now is not null;
                if (read && was != now)
                {
                    differences.Add((before, property, $"{property} of {before.PortId} is {now ?? "not set"} and was {was ?? "not set"}"));
                }
            }
        }

        return differences;
    }

    private static string? Text(Port port, string property) => property switch
    {
        "AdminEnabled" => port.AdminEnabled?.ToString(),
        "Priority" => port.Priority?.ToString(),
        _ => port.LimitWatts?.ToString("0.###", CultureInfo.InvariantCulture),
    };
}
