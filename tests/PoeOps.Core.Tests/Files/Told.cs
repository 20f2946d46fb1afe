using System.Globalization;

namespace PoeOps.Core.Tests.Files;

/// <summary>Problems as text, so that a test shows whole what the user is told.</summary>
internal static class Told
{
    /// <summary>One line a problem: id, line, path, sentence, advice.</summary>
    public static string[] Of(IEnumerable<Problem> problems) => [.. problems.Select(Of)];

    /// <summary>Id, line, path, sentence, advice.</summary>
    public static string Of(Problem problem) =>
        $"{problem.Id} {problem.Line?.ToString(CultureInfo.InvariantCulture) ?? "-"} {(string.IsNullOrEmpty(problem.Path) ? "-" : problem.Path)}: {problem.Sentence} {problem.Advice}";
}
