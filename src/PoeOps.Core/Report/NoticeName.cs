using System.Text;
using PoeOps.Files;
using PoeOps.Planning;

namespace PoeOps.Report;

/// <summary>
/// Names of files after sites: letters, digits, full stops, hyphens and underscores, nothing that leads to another folder, hides a file or is a device of
/// Windows. Sites whose names would give the same name, case aside, get a part of the digest of their own names behind it.
/// </summary>
internal static class NoticeName
{
    private const int Longest = 80;

    /// <summary>A name for each site.</summary>
    /// <param name="sites">The sites' names, each once without regard to case.</param>
    public static IReadOnlyList<string> Of(IReadOnlyList<string> sites)
    {
        string[] plain = [.. sites.Select(Plain)];
        HashSet<string> twice = new(plain.GroupBy(name => name, StringComparer.OrdinalIgnoreCase).Where(same => same.Count() > 1).Select(same => same.Key), StringComparer.OrdinalIgnoreCase);

        // No plain name has a tilde, so that none is like these.
        return [.. sites.Select((site, index) => twice.Contains(plain[index]) ? $"{plain[index]}~{PlanDigest.OfText(site.ToUpperInvariant()).Substring(0, 12)}" : plain[index])];
    }

    private static string Plain(string site)
    {
        StringBuilder name = new();
        foreach (char c in site.Take(Longest))
        {
            name.Append(char.IsLetterOrDigit(c) || c is '.' or '_' ? c : '-');
        }

        // Spelt in one way, as some file systems take two spellings for one.
        string plain = name.ToString().Normalize(NormalizationForm.FormC).Trim('.', '-');
        return plain.Length == 0 || PlainName.IsDevice(plain) ? "site-" + plain : plain;
    }
}
