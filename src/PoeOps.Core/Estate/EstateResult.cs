namespace PoeOps.Estate;

/// <summary>What came of reading an estate.</summary>
/// <param name="Estate">The estate, or null where there is any problem: an estate that is half understood could darken what nobody meant to.</param>
/// <param name="Problems">Every mistake that was found; empty where there is none.</param>
public sealed record EstateResult(EstateMap? Estate, IReadOnlyList<Problem> Problems)
{
    /// <summary>What of a list of switches was left unread, a sentence each: columns that such a list does not have.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];
}
