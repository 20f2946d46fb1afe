using System.Text;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>The encodings that consoles and captures may have: those that .NET knows on this machine, by their names.</summary>
public static class DialectEncoding
{
    internal const string Usual = "utf-8";

    /// <summary>What to do about a name that is not known.</summary>
    internal const string Advice = "Write utf-8, iso-8859-1, us-ascii or another that .NET knows here.";

    /// <summary>The names that .NET lists on this machine; it may know others.</summary>
    public static IReadOnlyList<string> Names => [.. Encoding.GetEncodings().Select(encoding => encoding.Name).OrderBy(name => name, StringComparer.Ordinal)];

    /// <summary>Says why a name cannot be one, or null where it can.</summary>
    /// <param name="name">The name, such as <c>iso-8859-1</c>.</param>
    public static Problem? Check(string name)
    {
        try
        {
            _ = Encoding.GetEncoding(name);
            return null;
        }
        catch (Exception exception) when (exception is ArgumentException or NotSupportedException)
        {
            return new Problem(ProblemId.EncodingUnknown, $"The encoding '{Excerpt.Of(name)}' is not known on this machine.", Advice);
        }
    }
}
