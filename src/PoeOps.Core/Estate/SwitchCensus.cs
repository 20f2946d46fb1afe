using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Remembers the switches of a file and finds those that stand in it twice.</summary>
internal sealed class SwitchCensus
{
    private readonly Dictionary<string, int> _lineOfName = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, (string Name, int Line)> _byPlace = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Adds a switch.</summary>
    /// <param name="one">The switch; a name or address that is empty has been reported already and is not compared.</param>
    /// <param name="line">The line on which it stands.</param>
    /// <param name="report">Reports a switch that stands twice: the key, the sentence and the advice.</param>
    public void Add(Switch one, int line, Action<string, string, string> report)
    {
        if (one.Name.Length > 0)
        {
            if (_lineOfName.TryGetValue(one.Name, out int first))
            {
                report("name", $"The switch '{Excerpt.Of(one.Name)}' stands twice; the first is in line {Say(first)}.", "Give every switch a name of its own; case makes no difference.");
            }
            else
            {
                _lineOfName.Add(one.Name, line);
            }
        }

        string place = one.Address + "|" + Say(one.TcpPort);
        if (one.Address.Length > 0 && one.TcpPort > 0)
        {
            if (_byPlace.TryGetValue(place, out (string Name, int Line) other))
            {
                string where = $"address {Excerpt.Of(one.Address)}, port {Say(one.TcpPort)}";
                report("address", $"The switches '{Excerpt.Of(other.Name)}' (line {Say(other.Line)}) and '{Excerpt.Of(one.Name)}' have the same {where}.", "Give every switch an address and port of its own.");
            }
            else
            {
                _byPlace.Add(place, (one.Name, line));
            }
        }
    }

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);
}
