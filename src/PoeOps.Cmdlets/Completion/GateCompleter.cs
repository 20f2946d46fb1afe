using PoeOps.Refresh;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the gates that may be skipped.</summary>
internal sealed class GateCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) => GateNames.Skippable.Select(name => new OfferedName(name));
}
