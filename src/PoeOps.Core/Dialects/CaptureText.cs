using System.Globalization;

namespace PoeOps.Dialects;

/// <summary>Text that a device printed, taken apart into lines as a person at the console would see them.</summary>
public sealed class CaptureText
{
    private CaptureText(string source, IReadOnlyList<CaptureLine> lines, IReadOnlyList<Problem> problems, bool ofFiles = true)
    {
        OfFiles = ofFiles;
        Source = source;
        Lines = lines;
        Problems = problems;
    }

    /// <summary>The file, or what the text is called in problems.</summary>
    public string Source { get; }

    /// <summary>The lines in order.</summary>
    public IReadOnlyList<CaptureLine> Lines { get; }

    /// <summary>What could not be made lines of.</summary>
    public IReadOnlyList<Problem> Problems { get; }

    /// <summary>True where each source is a capture of its own, not an answer to one command.</summary>
    internal bool OfFiles { get; }

    /// <summary>Reads a capture file: UTF-8, UTF-16 with a byte-order mark, or the dialect's encoding.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="dialect">Names the encoding of a file without a byte-order mark.</param>
    /// <returns>
    /// The lines; where there are none, the problem: <see cref="ProblemId.FileNotFound"/>, <see cref="ProblemId.FileEmpty"/>,
    /// <see cref="ProblemId.FileTooLarge"/>, <see cref="ProblemId.FileUnreadable"/>, <see cref="ProblemId.CaptureBinary"/>.
    /// </returns>
    public static CaptureText FromFile(string path, Dialect dialect)
    {
        byte[]? bytes = CaptureBytes.Read(path, out Problem? problem);
        if (bytes is null)
        {
            return new CaptureText(path, [], [problem!]);
        }

        if (dialect.Console.ReturnEndsLine)
        {
            bytes = CaptureBytes.FeedsForReturns(bytes);
        }

        List<Problem> problems = [];
        IReadOnlyList<CaptureLine> lines = new CaptureLines(path, problems).Decode(bytes, dialect.Encoding);
        return new CaptureText(path, lines, problems);
    }

    /// <summary>Takes a text apart.</summary>
    /// <param name="text">What was printed.</param>
    /// <param name="name">What problems call it.</param>
    public static CaptureText FromText(string text, string name)
    {
        List<Problem> problems = [];
        return new CaptureText(name, new CaptureLines(name, problems).Split(text, null), problems);
    }

    /// <summary>Takes the answers of a console apart.</summary>
    /// <param name="answers">Each command that was sent, and what came back.</param>
    /// <param name="name">What problems call them.</param>
    public static CaptureText FromAnswers(IEnumerable<DeviceAnswer> answers, string name)
    {
        List<Problem> problems = [];
        List<CaptureLine> lines = [];
        foreach (DeviceAnswer answer in answers)
        {
            string source = $"{name}, answer to '{answer.Command}'";
            lines.Add(new CaptureLine(source, 0, answer.Prompt + answer.Command, answer.Unit.Length == 0 ? null : answer.Unit, CaptureLineKind.Command));
            lines.AddRange(new CaptureLines(source, problems).Split(answer.Text, answer.Unit.Length == 0 ? null : answer.Unit, answer.Port.Length == 0 ? null : answer.Port));
            lines.Add(CaptureLine.AnswerEnd(source));
        }

        return new CaptureText(name, lines, problems, ofFiles: false);
    }

    /// <summary>Puts captures of one switch together, in order.</summary>
    public static CaptureText Together(IReadOnlyList<CaptureText> texts)
    {
        List<CaptureLine> lines = [];
        foreach (CaptureText text in texts)
        {
            lines.AddRange(text.Lines);
            lines.Add(CaptureLine.AnswerEnd(text.Source));
        }

        return new CaptureText(string.Join(", ", texts.Select(text => text.Source)), lines, [.. texts.SelectMany(text => text.Problems)]);
    }
}

/// <summary>One line of what a device printed.</summary>
/// <param name="Source">The file or answer that it is of.</param>
/// <param name="Number">Its number there, as an editor counts.</param>
/// <param name="Text">What a reader would see.</param>
/// <param name="Unit">The unit that the answer was asked for, or null.</param>
/// <param name="Kind">Whether it is a line to read.</param>
public sealed record CaptureLine(string Source, int Number, string Text, string? Unit, CaptureLineKind Kind)
{
    /// <summary>Its number; null for a command, which is no line of its answer.</summary>
    internal int? FileLine => Kind == CaptureLineKind.Command ? null : Number;

    /// <summary>The port of the unit that the answer was asked for, or null.</summary>
    internal string? Port { get; set; }

    /// <summary>True for a last line that no line feed ends.</summary>
    internal bool Cut { get; set; }

    /// <summary>True for a line that went back to its start and was written over.</summary>
    internal bool Overwritten { get; init; }

    /// <summary>Where this is, as a sentence about another line says it.</summary>
    internal string SeenFrom(CaptureLine other)
    {
        string line = $"in line {Number.ToString(CultureInfo.InvariantCulture)}";
        return Source != other.Source ? $"{line} of {Source}" : Number == other.Number ? "earlier in the same line" : line;
    }

    /// <summary>The lines as they were printed, of which this one was joined, with those that stood in between; else none.</summary>
    internal IReadOnlyList<LinePart> Parts { get; init; } = [];

    internal static CaptureLine AnswerEnd(string source) => new(source, 0, string.Empty, null, CaptureLineKind.AnswerEnd);
}

/// <summary>Whether a line can be read.</summary>
public enum CaptureLineKind
{
    /// <summary>A line to read.</summary>
    Text,
    /// <summary>A line that has been reported already: too long, or not decodable.</summary>
    Spoilt,
    /// <summary>The prompt and the command to which an answer is: no line of it, but a block may begin there.</summary>
    Command,
    /// <summary>No line: the place where an answer or a file ends.</summary>
    AnswerEnd,
}
