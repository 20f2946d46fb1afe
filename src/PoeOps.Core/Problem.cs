using System.Globalization;
using System.Text;

namespace PoeOps;

/// <summary>Something wrong: one sentence that says what, where, what was found and what was expected, and what to do about it.</summary>
/// <param name="Id">The stable name of this kind of problem; scripts may rely on it.</param>
/// <param name="Sentence">What is wrong, with the value that was found and what was expected; ends with a full stop.</param>
/// <param name="Advice">What the reader can do about it; ends with a full stop.</param>
public sealed record Problem(ProblemId Id, string Sentence, string Advice)
{
    /// <summary>The file that the problem is about, or null where no file is involved.</summary>
    public string? File { get; init; }

    /// <summary>The line in <see cref="File"/> as an editor counts it (the first is 1), or null.</summary>
    public int? Line { get; init; }

    /// <summary>The JSON path inside <see cref="File"/>, such as <c>sites[0].zone</c>, or null.</summary>
    public string? Path { get; init; }

    /// <summary>The text that could not be read, control characters shown as escapes, or null.</summary>
    public string? Text { get; init; }

    /// <summary>The unit, switch or site that the problem is about, as its id prints, or null.</summary>
    public string? Target { get; init; }

    /// <summary>File, line and path in front of the sentence, or the target where no file is involved and the sentence does not name it; then the advice.</summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        if (File is not null)
        {
            text.Append(File);
            if (Line is { } line)
            {
                text.Append(", line ").Append(line.ToString(CultureInfo.InvariantCulture));
            }

            if (!string.IsNullOrEmpty(Path))
            {
                text.Append(", ").Append(Path);
            }

            text.Append(": ");
        }
        else if (!string.IsNullOrEmpty(Target) && Sentence.IndexOf(Target, StringComparison.OrdinalIgnoreCase) < 0)
        {
            text.Append(Target).Append(": ");
        }

        return text.Append(Sentence).Append(' ').Append(Advice).ToString();
    }
}
