using System.Text.RegularExpressions;
using PoeOps.Estate;

namespace PoeOps.Dialects;

/// <summary>How a version is spelled. Without spellings, runs of digits and letters are the parts.</summary>
public sealed record VersionRule
{
    /// <summary>The spellings, the first that fits the whole text.</summary>
    public IReadOnlyList<VersionSpelling> Spellings { get; init; } = [];

    /// <summary>Versions from old to new, written in any spelling; checked when the dialect is tested.</summary>
    public IReadOnlyList<string> Samples { get; init; } = [];

    /// <summary>Reads a version as it was printed.</summary>
    /// <param name="text">What the device or a file says.</param>
    /// <returns>The version, or null where no spelling fits.</returns>
    /// <exception cref="RegexMatchTimeoutException">A spelling came to no end on the text.</exception>
    public ControllerVersion? Read(string? text)
    {
        ControllerVersion? version = Read(text, out Regex? slow);
        return slow is null ? version : throw new RegexMatchTimeoutException(text!, slow.ToString(), slow.MatchTimeout);
    }

    /// <summary>Reads a version as it was printed.</summary>
    /// <param name="text">What the device or a file says.</param>
    /// <param name="slow">The spelling that came to no end, or null.</param>
    internal ControllerVersion? Read(string? text, out Regex? slow)
    {
        slow = null;
        string trimmed = (text ?? string.Empty).Trim();
        if (Spellings.Count == 0)
        {
            return ControllerVersion.ParseNatural(trimmed);
        }

        var tries = new PatternTries();
        foreach (VersionSpelling spelling in Spellings)
        {
            Match? match = tries.Try(spelling.Pattern, trimmed, out PatternEnd end);
            if (end != PatternEnd.Reached)
            {
                slow = spelling.Pattern;
                return null;
            }

            if (match is not null)
            {
                return new ControllerVersion(spelling.Parts.Select(part => match.Groups[part].Value), trimmed);
            }
        }

        return null;
    }
}

/// <summary>One spelling of a version.</summary>
/// <param name="Pattern">Fits the whole text; its named groups are the parts.</param>
/// <param name="Parts">The groups in order of weight, heaviest first.</param>
public sealed record VersionSpelling(Regex Pattern, IReadOnlyList<string> Parts);
