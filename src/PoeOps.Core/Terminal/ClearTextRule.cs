using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Terminal;

/// <summary>
/// Says whether a link may be used over which user, password and everything said travel in clear (Telnet, raw TCP). Where somebody watches it may, with a warning;
/// where nobody does, by the estate's word for that very switch alone. The switches of a rehearsal are on loopback, and its secrets open nothing else.
/// </summary>
public sealed class ClearTextRule
{
    private const int MostNamed = 5;

    private readonly bool _isRehearsal;
    private readonly bool _attended;

    /// <summary>Takes what the rule depends on, beside the switch.</summary>
    /// <param name="estate">The estate, or null for an address alone.</param>
    /// <param name="attended">True where somebody watches.</param>
    public ClearTextRule(EstateMap? estate, bool attended)
    {
        // An estate with a rehearsal's clock was refused when it was read, unless all its switches are on loopback.
        _isRehearsal = estate?.Rehearsal is not null;
        _attended = attended;
    }

    /// <summary>Says why a switch must not be reached.</summary>
    /// <returns><see cref="ProblemId.ClearTextRefused"/>; or null where it may be.</returns>
    public Problem? Refusal(Switch place)
    {
        if (_attended || place.ClearText || !IsInClear(place))
        {
            return null;
        }

        string port = place.TcpPort.ToString(CultureInfo.InvariantCulture);
        return new Problem(
            ProblemId.ClearTextRefused,
            $"The link to {Excerpt.Of(place.Name)} at {place.Address} port {port} is {Name(place.Link)}, which carries user, password and everything said in clear; nobody watches this command, and no estate allows that for this switch.",
            "Reach the switch by SSH, write \"clearText\": true for it in the estate file, or be there yourself, without -Confirm:$false.") { Target = place.Name };
    }

    /// <summary>The one warning of a command.</summary>
    /// <param name="places">The switches that it reaches; those that it must not reach, and those by SSH, are left out.</param>
    /// <returns>The warning, with the names of the first switches; or null where nothing travels in clear.</returns>
    public string? Warning(IEnumerable<Switch> places)
    {
        string[] names = [.. places.Where(place => IsInClear(place) && Refusal(place) is null).Select(place => Excerpt.Of(place.Name)).Distinct(StringComparer.OrdinalIgnoreCase)];
        if (names.Length == 0)
        {
            return null;
        }

        string more = names.Length > MostNamed ? $" and {Text(names.Length - MostNamed)} more" : string.Empty;
        string links = names.Length == 1 ? "1 link is" : $"{Text(names.Length)} links are";
        return $"{links} in clear ({string.Join(", ", names.Take(MostNamed))}{more}): user, password and everything said can be read on the way. Use SSH where the switch has it.";
    }

    private bool IsInClear(Switch place) => place.IsInClear && !_isRehearsal;

    private static string Name(LinkKind link) => link == LinkKind.Telnet ? "Telnet" : "raw TCP";

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
