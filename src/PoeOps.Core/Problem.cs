using System.Globalization;
using System.Text;

namespace PoeOps;

/// <summary>
/// Something wrong: one sentence that says what, where, what was found and what was expected, and what to do about it. Whatever it quotes, none of its
/// texts holds a hidden character: they stand in it as escapes (<see cref="PlainText"/>).
/// </summary>
/// <param name="Id">The stable name of this kind of problem; scripts may rely on it.</param>
/// <param name="Sentence">What is wrong, with the value that was found and what was expected; ends with a full stop.</param>
/// <param name="Advice">What the reader can do about it; ends with a full stop.</param>
public sealed record Problem(ProblemId Id, string Sentence, string Advice)
{
    private readonly string _sentence = PlainText.Of(Sentence);
    private readonly string _advice = PlainText.Of(Advice);
    private readonly string? _file;
    private readonly string? _path;
    private readonly string? _text;
    private readonly string? _target;

    /// <summary>What is wrong, with the value that was found and what was expected; ends with a full stop.</summary>
    public string Sentence
    {
        get => _sentence;
        init => _sentence = PlainText.Of(value);
    }

    /// <summary>What the reader can do about it; ends with a full stop.</summary>
    public string Advice
    {
        get => _advice;
        init => _advice = PlainText.Of(value);
    }

    /// <summary>The file that the problem is about, or null where no file is involved.</summary>
    public string? File
    {
        get => _file;
        init => _file = Plain(value);
    }

    /// <summary>The line in <see cref="File"/> as an editor counts it (the first is 1), or null.</summary>
    public int? Line { get; init; }

    /// <summary>The JSON path inside <see cref="File"/>, such as <c>sites[0].zone</c>, or null.</summary>
    public string? Path
    {
        get => _path;
        init => _path = Plain(value);
    }

    /// <summary>The text that could not be read, or null.</summary>
    public string? Text
    {
        get => _text;
        init => _text = Plain(value);
    }

    /// <summary>The unit, switch or site that the problem is about, as its id prints, or null.</summary>
    public string? Target
    {
        get => _target;
        init => _target = Plain(value);
    }

    /// <summary>File, line and path in front of the sentence, or the target where no file is involved and the sentence does not name it; then the advice.</summary>
    public override string ToString() => $"{WithoutAdvice()} {Advice}";

    /// <summary>The same without the advice, for those who show that in a place of its own.</summary>
    public string WithoutAdvice()
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

        return text.Append(Sentence).ToString();
    }

    private static string? Plain(string? text) => text is null ? null : PlainText.Of(text);
}
