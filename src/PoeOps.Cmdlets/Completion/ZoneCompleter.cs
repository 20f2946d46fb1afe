using PoeOps.Calendar;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the ids of time zones.</summary>
internal sealed class ZoneCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) => Zones.Ids.Select(id => new OfferedName(id));
}
