namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the units that the files of the line name, by their ids.</summary>
internal sealed class UnitCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) => line.Names().Units.Select(id => new OfferedName(id));
}
