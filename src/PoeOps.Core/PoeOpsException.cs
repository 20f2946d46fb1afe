namespace PoeOps;

/// <summary>Thrown when something that was to be done could not be done; says why as a <see cref="PoeOps.Problem"/>.</summary>
public sealed class PoeOpsException : Exception
{
    /// <summary>Carries a problem out of work that cannot go on.</summary>
    /// <param name="problem">What is wrong and what to do about it.</param>
    public PoeOpsException(Problem problem)
        : this(problem, null)
    {
    }

    /// <summary>Carries a problem and the exception that brought it about.</summary>
    /// <param name="problem">What is wrong and what to do about it.</param>
    /// <param name="innerException">The cause as the platform reported it, or null.</param>
    public PoeOpsException(Problem problem, Exception? innerException)
        : base((problem ?? throw new ArgumentNullException(nameof(problem))).ToString(), innerException) =>
        Problem = problem;

    /// <summary>What is wrong and what to do about it.</summary>
    public Problem Problem { get; }
}
