using System.Management.Automation;
using PoeOps.Dialects;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the dialects of the estate that the line names and those that ship with the module; and files, where the word looks like the path of one.</summary>
internal sealed class DialectCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) =>
        new DialectShelf([.. line.Names().DialectPaths, DialectFinder.ShippedFolder]).Names.Select(name => new OfferedName(name));

    /// <inheritdoc/>
    protected override IEnumerable<CompletionResult> InPlaceOf(string word) =>
        word.StartsWith(".", StringComparison.Ordinal) || word.IndexOfAny(['/', '\\', '~']) >= 0 ? CompletionCompleters.CompleteFilename(word) : [];
}
