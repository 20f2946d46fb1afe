using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Outages;

/// <summary>Refuses a unit that cannot be, before it is simulated.</summary>
internal static class RestartCheck
{
    // No unit gives its ports a hundred kilowatts, and no load takes a kilowatt over a data cable.
    public const decimal MostOfUnit = 100_000;
    private const decimal MostOfPort = 1_000;
    private const decimal MostSeconds = 86_400;

    /// <summary>Checks a unit.</summary>
    /// <exception cref="PoeOpsException">A figure is none that can be, or a port is there twice (<see cref="ProblemId.RestartImpossible"/>).</exception>
    public static void Check(RestartUnit unit)
    {
        Within("The budget", unit.BudgetWatts, 0, MostOfUnit, "W");
        if (unit.BudgetWatts == 0 && unit.Ports.Count > 0)
        {
            throw Impossible($"The budget is 0 W, and {unit.Ports.Count.ToString(CultureInfo.InvariantCulture)} of its ports were powered.", "Give what its supplies can give the ports, or leave the budget out where it is not known.");
        }

        Within("The guard band", unit.GuardBandWatts, 0, MostOfUnit, "W");
        Within("The guard band", unit.GuardBandPercent, 0, 100, "%");
        Within("The time for one port", unit.StaggerSeconds, 0.001m, MostSeconds, "s");
        HashSet<string> names = new(StringComparer.OrdinalIgnoreCase);
        foreach (RestartPort port in unit.Ports)
        {
            if (!names.Add(port.Name))
            {
                throw Impossible($"The port '{Excerpt.Of(port.Name)}' is there twice.", "Give each port once.");
            }

            Check(port);
        }
    }

    private static void Check(RestartPort port)
    {
        Class("The class of", port, port.Signature.Single, 0, 8);
        Class("The class on Alternative A of", port, port.Signature.PairsetA, 1, 5);
        Class("The class on Alternative B of", port, port.Signature.PairsetB, 1, 5);
        Within("The priority of", port.Priority, 1, 3, "by RFC 3621", port);
        Within("What was negotiated for", port.NegotiatedWatts ?? 0, 0, MostOfPort, "W", port);
        Within("What is fixed for", port.FixedWatts ?? 0, 0, MostOfPort, "W", port);
        Within("The limit of", port.LimitWatts ?? 0, 0, MostOfPort, "W", port);
        Within("The draw of", port.DrawWatts ?? 0, 0, MostOfPort, "W", port);
        Within("The time to negotiate of", port.NegotiateSeconds, 0, MostSeconds, "s", port);
        Within("The time to boot of", port.BootSeconds, 0, MostSeconds, "s", port);
    }

    private static void Class(string what, RestartPort port, int? number, int least, int most)
    {
        if (number < least || number > most)
        {
            throw new PoeOpsException(new Problem(
                ProblemId.ClassUnknown, FormattableString.Invariant($"{what} port '{Excerpt.Of(port.Name)}' is {number}, and {least} to {most} was expected."), "Correct the class where it is read or typed."));
        }
    }

    // The sentence is put together only where it is told: this is asked ten times of every port.
    private static void Within(string what, decimal value, decimal least, decimal most, string unit, RestartPort? port = null)
    {
        if (value < least || value > most)
        {
            string whole = port is null ? what : $"{what} port '{Excerpt.Of(port.Name)}'";
            throw Impossible(FormattableString.Invariant($"{whole} is {value} {unit}, and {least} to {most} was expected."), "Correct the figure where it is read or typed.");
        }
    }

    private static PoeOpsException Impossible(string sentence, string advice) => new(new Problem(ProblemId.RestartImpossible, sentence, advice));
}
