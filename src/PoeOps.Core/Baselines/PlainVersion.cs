using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Files;

namespace PoeOps.Baselines;

/// <summary>
/// Versions whose order is plain without a dialect: numbers with full stops between. A file of a baseline is held against its own order only as far
/// as that goes; spellings that only a dialect can order are checked when a controller is compared.
/// </summary>
internal static class PlainVersion
{
    private static readonly Regex Numbers = new(@"\A[vV]?(?:0|[1-9][0-9]{0,8})(?:\.(?:0|[1-9][0-9]{0,8}))*\z", RegexOptions.CultureInvariant, OwnPattern.Longest);

    /// <summary>The version, or null where its order is not plain.</summary>
    public static ControllerVersion? Read(string text) => Numbers.IsMatch(text) ? ControllerVersion.ParseNatural(text) : null;
}
