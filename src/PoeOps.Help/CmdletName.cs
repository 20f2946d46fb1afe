using System.Text.RegularExpressions;

namespace PoeOps.Help;

/// <summary>The name of the cmdlet that a class is: verb and noun with a hyphen between.</summary>
internal static partial class CmdletName
{
    /// <summary>Reads it from a reference to the class, as comments have it; null where that is none of a cmdlet.</summary>
    public static string? Of(string reference) =>
        Class().Match(reference) is { Success: true } match ? $"{match.Groups["verb"].Value}-{match.Groups["noun"].Value}" : null;

    // The house names them so: verb, noun, Command; every noun begins with Pse.
    [GeneratedRegex(@"[.:](?<verb>[A-Z][a-z]+)(?<noun>Pse[A-Za-z]+)Command$")]
    private static partial Regex Class();
}
