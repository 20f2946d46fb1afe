using System.Globalization;
using PoeOps.Terminal;

namespace PoeOps.Cmdlets.Completion;

/// <summary>Offers the addresses whose host keys are kept: in the file that the line names, or in this user's own.</summary>
internal sealed class HostKeyAddressCompleter : NameCompleter
{
    /// <inheritdoc/>
    protected override IEnumerable<OfferedName> Offered(GivenLine line, string word)
    {
        string path = line.Files("HostKeyPath").FirstOrDefault() ?? HostKeyFile.DefaultPath();
        IEnumerable<HostKey> keys = new HostKeyFile(path).Read().Keys ?? [];
        return keys.GroupBy(key => key.Address, StringComparer.OrdinalIgnoreCase)
            .Select(same => new OfferedName(same.Key, $"port {string.Join(", ", same.Select(key => key.Port.ToString(CultureInfo.InvariantCulture)))}"));
    }
}
