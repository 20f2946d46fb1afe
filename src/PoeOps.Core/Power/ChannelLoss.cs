namespace PoeOps.Power;

/// <summary>
/// The way from a PSE to a PD: the resistance of the current's path, in which some of the power turns to heat. What the PD takes and what the PSE has
/// to give for it are never the same figure.
/// </summary>
public sealed record ChannelLoss
{
    // Newton's steps from the machine's own root, which is right to 15 digits, to all that a decimal has.
    private const int RootSteps = 3;

    /// <summary>Makes a channel.</summary>
    /// <param name="loopOhms">The resistance of the current's path, out and back; 0 or more, 1000 at the most.</param>
    /// <exception cref="PoeOpsException">There is no such resistance (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public ChannelLoss(decimal loopOhms) =>
        LoopOhms = loopOhms is >= 0 and <= 1000
            ? loopOhms
            : throw Impossible(FormattableString.Invariant($"A channel of {loopOhms} ohms carries no power; 0 to 1000 was expected."), "Give the resistance of the loop, such as 12.5.");

    /// <summary>The resistance of the current's path, out and back, in ohms.</summary>
    public decimal LoopOhms { get; }

    /// <summary>The channel of a cable. On two pairs the current goes out on both conductors of one and back on both of another; four pairs are two such ways.</summary>
    /// <param name="metres">Its length, 0 to 1000.</param>
    /// <param name="gauge">The American wire gauge of its conductors.</param>
    /// <param name="celsius">Its temperature.</param>
    /// <param name="pairs">How many pairs carry power: 2 or 4.</param>
    /// <exception cref="PoeOpsException">There is no such cable (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public static ChannelLoss Of(double metres, int gauge, double celsius, int pairs)
    {
        if (!(metres is >= 0 and <= 1000))
        {
            throw Impossible(FormattableString.Invariant($"A cable is not {metres} m long; 0 to 1000 was expected."), "Give its length in metres.");
        }

        if (pairs is not 2 and not 4)
        {
            throw Impossible(FormattableString.Invariant($"Power goes over 2 or 4 pairs, not over {pairs}."), "Give 2 or 4.");
        }

        return new ChannelLoss((decimal)(Conductor.OhmsPerMetre(gauge, celsius) * metres * 2 / pairs));
    }

    /// <summary>What the PSE must give for a PD that takes constant power: P = V (V - sqrt(V² - 4 R P_PD)) / 2R.</summary>
    /// <param name="pdWatts">What the PD takes, 0 or more.</param>
    /// <param name="volts">The voltage at the PSE, above 0 and up to 100.</param>
    /// <returns>Watts at the PSE.</returns>
    /// <exception cref="PoeOpsException">The channel cannot carry it: no current is enough (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public decimal PseWatts(decimal pdWatts, decimal volts)
    {
        CheckSupply(pdWatts, volts);
        decimal under = (volts * volts) - (4 * LoopOhms * pdWatts);
        if (under < 0)
        {
            throw Impossible(
                FormattableString.Invariant($"{pdWatts} W cannot reach a PD over {LoopOhms} ohms at {volts} V: {volts * volts / (4 * LoopOhms):0.##} W is the most that does."),
                "Check the length and the gauge of the cable; shorten it, or use four pairs.");
        }

        // The same as in the summary, multiplied out: without a resistance it would divide by zero.
        return 2 * volts * pdWatts / (volts + Root(under));
    }

    /// <summary>What a PD has of the power that the PSE gives: P_PD = P - (P / V)² R.</summary>
    /// <param name="pseWatts">What the PSE gives, 0 or more.</param>
    /// <param name="volts">The voltage at the PSE, above 0 and up to 100.</param>
    /// <returns>Watts at the PD.</returns>
    /// <exception cref="PoeOpsException">So much would leave the PD less than half the voltage, at which none runs steadily (<see cref="ProblemId.ChannelImpossible"/>).</exception>
    public decimal PdWatts(decimal pseWatts, decimal volts)
    {
        CheckSupply(pseWatts, volts);
        decimal amperes = pseWatts / volts;
        return 2 * amperes * LoopOhms <= volts
            ? pseWatts - (amperes * amperes * LoopOhms)
            : throw Impossible(
                FormattableString.Invariant($"{pseWatts} W at {volts} V lose more than half the voltage on {LoopOhms} ohms, and no PD runs on the rest."), "Check the length and the gauge of the cable.");
    }

    /// <summary>What turns to heat on the way.</summary>
    /// <param name="pdWatts">What the PD takes.</param>
    /// <param name="volts">The voltage at the PSE.</param>
    /// <returns>Watts; <see cref="LossOver"/> gives the energy over a time.</returns>
    /// <exception cref="PoeOpsException">As for <see cref="PseWatts"/>.</exception>
    public Watts Loss(decimal pdWatts, decimal volts) => new(Math.Max(0, PseWatts(pdWatts, volts) - pdWatts));

    /// <summary>The energy that turns to heat on the way while a PD takes constant power.</summary>
    /// <param name="pdWatts">What the PD takes.</param>
    /// <param name="volts">The voltage at the PSE.</param>
    /// <param name="time">For how long, 0 or more.</param>
    /// <returns>Watt-hours.</returns>
    /// <exception cref="PoeOpsException">As for <see cref="PseWatts"/>.</exception>
    public WattHours LossOver(decimal pdWatts, decimal volts, TimeSpan time) => Loss(pdWatts, volts).Over(time);

    internal static PoeOpsException Impossible(string sentence, string advice) => new(new Problem(ProblemId.ChannelImpossible, sentence, advice));

    private static void CheckSupply(decimal watts, decimal volts)
    {
        if (watts < 0)
        {
            throw Impossible(FormattableString.Invariant($"A load of {watts} W gives power; 0 W or more was expected."), "Give what it takes.");
        }

        if (volts is <= 0 or > 100)
        {
            throw Impossible(FormattableString.Invariant($"{volts} V is no voltage of a PSE; more than 0 and up to 100 was expected."), "Give the voltage at the port, such as 54.");
        }
    }

    private static decimal Root(decimal square)
    {
        decimal root = (decimal)Math.Sqrt((double)square);
        for (int i = 0; i < RootSteps && root > 0; i++)
        {
            root = (root + (square / root)) / 2;
        }

        return root;
    }
}
