using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Snmp;

namespace PoeOps.Terminal;

/// <summary>Reads the switches of an estate over their links and by SNMP, side by side or one after the other; one that fails is a problem and the rest go on.</summary>
public sealed class EstateReading
{
    /// <summary>How many switches may be read at once at the most: each takes some threads and a connection of this machine.</summary>
    public const int MostAtOnce = 256;

    private readonly EstateMap _estate;
    private readonly SwitchLinks _links;

    /// <summary>Makes a reader of an estate.</summary>
    public EstateReading(EstateMap estate, SwitchLinks links)
    {
        _estate = estate;
        _links = links;
    }

    /// <summary>Which switches are asked by SNMP; null for none.</summary>
    public SnmpAsking? Snmp { get; init; }

    /// <summary>Asks a switch by SNMP where that is wanted; logs in to it, reads it and logs out, unless SNMP alone is.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="stop">Closes the connection, wherever the dialogue is.</param>
    /// <returns>
    /// Its controllers as the estate describes them, and what could not be read; what cannot be asked one way is a problem, with the controllers that the other way gave.
    /// </returns>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled.</exception>
    public SwitchReading Read(Switch place, CancellationToken stop = default)
    {
        SnmpReading? snmp = Snmp is { } asking && asking.Wants(place) ? asking.Ask(place, _estate.Clock(), stop) : null;
        SwitchReading? console = snmp is null || Snmp!.AlsoConsole(place) ? Ask(place, stop) : null;
        List<Problem> problems = [.. console?.Problems ?? [], .. snmp?.Problems ?? []];
        IReadOnlyList<Controller> read = console is null ? snmp!.Controllers : snmp is null ? console.Controllers : MergedReading.Of(console.Controllers, snmp.Controllers, problems);
        return new SwitchReading(_estate.Apply(place, read, problems), problems);
    }

    /// <summary>Reads switches side by side. Nothing is kept: whoever takes no more readings holds the readers up.</summary>
    /// <param name="places">The switches, begun in this order.</param>
    /// <param name="most">How many are read at once at the most, 1 to <see cref="MostAtOnce"/>; with 1 the readings come in the order of the switches.</param>
    /// <param name="begins">Told of each switch when its turn has come, on its reader's thread; or null.</param>
    /// <param name="stop">Ends the whole at once, and closes every connection.</param>
    /// <returns>A reading for each switch, as they come.</returns>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="most"/> is out of its bounds.</exception>
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was cancelled.</exception>
    public IEnumerable<SwitchReading> ReadMany(IReadOnlyCollection<Switch> places, int most, Action<Switch>? begins = null, CancellationToken stop = default)
    {
        if (most is < 1 or > MostAtOnce)
        {
            throw new ArgumentOutOfRangeException(nameof(most), most, $"From 1 to {MostAtOnce} switches can be read at once.");
        }

        return SideBySide<Switch, SwitchReading>.Run(
            places, most,
            (place, over) =>
            {
                begins?.Invoke(place);
                return Read(place, over);
            },
            stop);
    }

    private SwitchReading Ask(Switch place, CancellationToken stop)
    {
        try
        {
            using TerminalLink link = _links.Open(place, stop);
            SwitchReading reading = link.Read();
            stop.ThrowIfCancellationRequested();
            return reading;
        }
        catch (PoeOpsException exception)
        {
            stop.ThrowIfCancellationRequested();
            Problem problem = exception.Problem.Target is null ? exception.Problem with { Target = place.Name } : exception.Problem;
            return new SwitchReading([], [problem]);
        }
    }
}
