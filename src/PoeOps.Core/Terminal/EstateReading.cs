using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Snmp;

namespace PoeOps.Terminal;

/// <summary>Reads the switches of an estate over their links, one after the other; one that fails is a problem and the rest go on.</summary>
public sealed class EstateReading
{
    private readonly EstateMap _estate;
    private readonly SwitchLinks _links;

    /// <summary>Makes a reader of an estate.</summary>
    public EstateReading(EstateMap estate, SwitchLinks links)
    {
        _estate = estate;
        _links = links;
    }

    /// <summary>Logs in to a switch, reads it and logs out.</summary>
    /// <param name="place">The switch.</param>
    /// <param name="also">What SNMP gave of the same switch, which is put together with what the console gives; null for the console alone.</param>
    /// <returns>
    /// Its controllers as the estate describes them, and what could not be read; a switch that cannot be asked is a problem, with the controllers that SNMP gave.
    /// </returns>
    public SwitchReading Read(Switch place, SnmpReading? also = null)
    {
        SwitchReading console = Ask(place);
        List<Problem> problems = [.. console.Problems, .. also?.Problems ?? []];
        IReadOnlyList<Controller> read = also is null ? console.Controllers : MergedReading.Of(console.Controllers, also.Controllers, problems);
        return new SwitchReading(_estate.Apply(place, read, problems), problems);
    }

    /// <summary>Adds what an estate knows to what SNMP gave of a switch.</summary>
    /// <param name="estate">The estate.</param>
    /// <param name="place">The switch.</param>
    /// <param name="reading">What SNMP gave.</param>
    public static SwitchReading OfSnmp(EstateMap estate, Switch place, SnmpReading reading)
    {
        List<Problem> problems = [.. reading.Problems];
        return new SwitchReading(estate.Apply(place, reading.Controllers, problems), problems);
    }

    private SwitchReading Ask(Switch place)
    {
        try
        {
            using TerminalLink link = _links.Open(place);
            return link.Read();
        }
        catch (PoeOpsException exception)
        {
            Problem problem = exception.Problem.Target is null ? exception.Problem with { Target = place.Name } : exception.Problem;
            return new SwitchReading([], [problem]);
        }
    }
}
