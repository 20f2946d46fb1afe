using PoeOps.Estate;
using PoeOps.Rehearsal;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers mishaps: first the switches and units of the estate, and behind the colon what may happen there.</summary>
internal sealed class MishapCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word)
    {
        int colon = word.IndexOf(':');
        return colon < 0 ? Targets(line.Names()) : AtTarget(word.Substring(0, colon));
    }

    private static IEnumerable<OfferedName> Targets(EstateNames names) =>
        [.. names.Switches.Select(name => new OfferedName(name + ":", $"{name}: what happens follows")), .. names.Units.Select(id => new OfferedName(id + ":", $"{id}: what happens follows"))];

    // What happens to a whole switch cannot happen to a unit of it.
    private static IEnumerable<OfferedName> AtTarget(string target) => MishapCatalogue.All
        .Where(entry => entry.Scope == MishapScope.Unit || target.IndexOf('/') < 0)
        .Select(entry => new OfferedName($"{target}:{entry.Name}", entry.Sentence));
}
