namespace PoeOps.Estate;

/// <summary>What the reader of an estate asks of those who know more than it does; what nobody answers for is taken as it stands.</summary>
public sealed record EstateChecks
{
    /// <summary>Nobody is asked.</summary>
    public static EstateChecks None { get; } = new();

    /// <summary>Says what is wrong with the id of a time zone, or null where nothing is.</summary>
    public Func<string, Problem?>? Zone { get; init; }

    /// <summary>Says what is wrong with the name of a dialect in a list of switches, or null where nothing is.</summary>
    public Func<string, Problem?>? Dialect { get; init; }
}
