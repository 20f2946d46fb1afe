using PoeOps.Estate;
using PoeOps.Refresh;

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
    /// <returns>Its controllers as the estate describes them, and what could not be read; a switch that cannot be asked is a problem with no controllers.</returns>
    public SwitchReading Read(Switch place)
    {
        try
        {
            using TerminalLink link = _links.Open(place);
            SwitchReading reading = link.Read();
            List<Problem> problems = [.. reading.Problems];
            return new SwitchReading(_estate.Apply(place, reading.Controllers, problems), problems);
        }
        catch (PoeOpsException exception)
        {
            Problem problem = exception.Problem.Target is null ? exception.Problem with { Target = place.Name } : exception.Problem;
            return new SwitchReading([], [problem]);
        }
    }
}
