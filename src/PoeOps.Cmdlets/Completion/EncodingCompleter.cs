using PoeOps.Dialects;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the encodings that a console may have.</summary>
internal sealed class EncodingCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word) => DialectEncoding.Names.Select(name => new OfferedName(name));
}
