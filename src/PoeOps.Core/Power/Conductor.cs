using System.Globalization;

namespace PoeOps.Power;

/// <summary>
/// A copper conductor of a cable: its resistance by its cross-section and temperature. Annealed copper of 100 % IACS has 58 MS/m at 20 degrees and a
/// coefficient of 0.00393 per kelvin (IEC 60028).
/// </summary>
public static class Conductor
{
    /// <summary>The conductivity of annealed copper at 20 degrees Celsius, in metres by ohm and square millimetre (IEC 60028).</summary>
    public const double CopperConductivity = 58.0;

    /// <summary>By how much of its resistance at 20 degrees copper changes with each kelvin (IEC 60028).</summary>
    public const double CopperCoefficient = 0.00393;

    private const int LeastGauge = 10;
    private const int MostGauge = 40;
    private const double Coldest = -60;
    private const double Hottest = 120;

    /// <summary>The cross-section of a solid conductor of an American wire gauge: 0.127 mm times the 39th root of 92 for each step below gauge 36 (ASTM B258).</summary>
    /// <param name="gauge">The gauge, 10 to 40; cables have 22 to 28.</param>
    /// <returns>Square millimetres.</returns>
    /// <exception cref="PoeOpsException">The gauge is none that is laid for data (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public static double SquareMillimetres(int gauge)
    {
        if (gauge is < LeastGauge or > MostGauge)
        {
            throw ChannelLoss.Impossible($"AWG {gauge.ToString(CultureInfo.InvariantCulture)} is no gauge from {LeastGauge} to {MostGauge}.", "Give the gauge that is printed on the cable, such as 24.");
        }

        double diameter = 0.127 * Math.Pow(92, (36 - gauge) / 39.0);
        return Math.PI / 4 * diameter * diameter;
    }

    /// <summary>The resistance of one conductor.</summary>
    /// <param name="gauge">Its American wire gauge.</param>
    /// <param name="celsius">Its temperature, -60 to 120.</param>
    /// <returns>Ohms a metre.</returns>
    /// <exception cref="PoeOpsException">There is no such gauge, or the temperature is out of bounds (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public static double OhmsPerMetre(int gauge, double celsius = 20)
    {
        if (!(celsius is >= Coldest and <= Hottest))
        {
            throw ChannelLoss.Impossible(
                FormattableString.Invariant($"A cable is not {celsius} degrees Celsius; {Coldest} to {Hottest} was expected."), "Give the temperature of the cable, such as 40 for a warm tray.");
        }

        return (1 + (CopperCoefficient * (celsius - 20))) / (CopperConductivity * SquareMillimetres(gauge));
    }
}
