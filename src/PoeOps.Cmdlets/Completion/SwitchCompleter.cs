using System.Management.Automation;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the switches that the files of the line name.</summary>
internal class SwitchCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) => line.Names().Switches.Select(name => new OfferedName(name));
}

/// <summary>The same for parameters that take patterns: there a bracket in a name is written so that it stands for itself.</summary>
internal sealed class SwitchPatternCompleter : SwitchCompleter
{
    /// <inheritdoc/>
    protected override string AsValue(string name) => WildcardPattern.Escape(name);
}
