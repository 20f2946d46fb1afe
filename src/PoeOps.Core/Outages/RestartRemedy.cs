using System.Globalization;
using PoeOps.Power;

namespace PoeOps.Outages;

/// <summary>What kind of change brings all loads back.</summary>
public enum RemedyKind
{
    /// <summary>More supply.</summary>
    Supply,
    /// <summary>Ports fixed at what their loads negotiate, so that they claim no more from turn-on.</summary>
    Fix,
    /// <summary>Ports raised to the highest priority.</summary>
    Raise,
}

/// <summary>A change after which every load of a unit comes back: it was simulated with exactly these figures.</summary>
/// <param name="Kind">What is changed.</param>
/// <param name="Watts">So many more watts of supply; 0 for other kinds.</param>
/// <param name="Ports">The ports that are changed, in the order in which they have their turn; empty for supply.</param>
/// <param name="IsLeast">True where nothing less of its kind helps, for all of it was tried.</param>
public sealed record RestartRemedy(RemedyKind Kind, decimal Watts, IReadOnlyList<string> Ports, bool IsLeast)
{
    /// <summary>The change in words.</summary>
    public override string ToString() => Kind switch
    {
        RemedyKind.Supply => $"{Watts.ToString("0.##", CultureInfo.InvariantCulture)} W more supply",
        RemedyKind.Fix => $"{Named} fixed at what {(Ports.Count == 1 ? "its load negotiates" : "their loads negotiate")}",
        _ => $"{Named} raised to the highest priority",
    };

    private string Named => $"{(Ports.Count == 1 ? "port" : "ports")} {string.Join(", ", Ports)}";
}

/// <summary>
/// Finds what would bring every load of a unit back, by trying: more supply can bring fewer loads back, so that nothing is found by halving.
/// </summary>
public static class RestartRemedies
{
    // So many ports are tried together in every combination; beyond, the largest savings are taken one after the other.
    private const int MostTogether = 2;

    /// <summary>Finds the least change of each kind; none where all loads come back already, or where no change of a kind helps.</summary>
    /// <param name="unit">The unit.</param>
    /// <exception cref="PoeOpsException">As for <see cref="Restart.Simulate"/>.</exception>
    public static IReadOnlyList<RestartRemedy> Find(RestartUnit unit)
    {
        RestartResult now = Restart.Simulate(unit);
        if (now.Refused.Count == 0)
        {
            return [];
        }

        string[] order = [.. now.Ports.Select(port => port.Name)];
        return [.. new[] { Fix(unit, order), Raise(unit, order), Supply(unit) }.OfType<RestartRemedy>()];
    }

    private static bool Helps(RestartUnit unit) => Restart.Simulate(unit).Refused.Count == 0;

    private static RestartRemedy? Supply(RestartUnit unit)
    {
        decimal most = unit.GuardBandWatts + unit.Ports.Sum(port => Math.Max(Claim(unit, port), Math.Max(port.NegotiatedWatts ?? 0, port.DrawWatts ?? 0))) - unit.BudgetWatts;
        for (decimal more = 1; more < most + 1; more++)
        {
            if (Helps(unit with { BudgetWatts = unit.BudgetWatts + more }))
            {
                return new RestartRemedy(RemedyKind.Supply, more, [], IsLeast: true);
            }
        }

        return null;
    }

    // A port that negotiates less than its class is granted that class for a while all the same, unless it is fixed.
    private static RestartRemedy? Fix(RestartUnit unit, string[] order)
    {
        Dictionary<string, RestartPort> ports = unit.Ports.ToDictionary(port => port.Name, StringComparer.Ordinal);
        string[] able = [.. order.Where(name => ports[name] is { FixedWatts: null, NegotiatedWatts: { } negotiated } port && negotiated < Claim(unit, port))];
        string[] bySaving = [.. able.OrderByDescending(name => Claim(unit, ports[name]) - ports[name].NegotiatedWatts!.Value)];
        return Least(RemedyKind.Fix, able, bySaving, order, chosen => unit with { Ports = [.. unit.Ports.Select(port => chosen.Contains(port.Name) ? port with { FixedWatts = port.NegotiatedWatts } : port)] });
    }

    private static RestartRemedy? Raise(RestartUnit unit, string[] order)
    {
        string[] able = [.. unit.Ports.Where(port => port.Priority > 1).Select(port => port.Name)];
        return Least(RemedyKind.Raise, able, [], order, chosen => unit with { Ports = [.. unit.Ports.Select(port => chosen.Contains(port.Name) ? port with { Priority = 1 } : port)] });
    }

    private static RestartRemedy? Least(RemedyKind kind, string[] able, string[] further, string[] order, Func<HashSet<string>, RestartUnit> changed)
    {
        for (int together = 1; together <= MostTogether; together++)
        {
            foreach (HashSet<string> chosen in Chosen(able, together))
            {
                if (Helps(changed(chosen)))
                {
                    return new RestartRemedy(kind, 0, [.. order.Where(chosen.Contains)], IsLeast: true);
                }
            }
        }

        for (int together = MostTogether + 1; together <= further.Length; together++)
        {
            HashSet<string> chosen = [.. further.Take(together)];
            if (Helps(changed(chosen)))
            {
                return new RestartRemedy(kind, 0, [.. order.Where(chosen.Contains)], IsLeast: together == MostTogether + 1);
            }
        }

        return null;
    }

    private static IEnumerable<HashSet<string>> Chosen(string[] able, int together) => together == 1
        ? able.Select(one => new HashSet<string>(StringComparer.Ordinal) { one })
        : able.SelectMany((one, at) => able.Skip(at + 1).Select(other => new HashSet<string>(StringComparer.Ordinal) { one, other }));

    private static decimal Claim(RestartUnit unit, RestartPort port) =>
        port.FixedWatts ?? (unit.Policy == RestartPolicy.ByLimit && port.LimitWatts is { } limit ? limit : PdClass.FigureWattsOf(port.PdClass, unit.Clause));
}
