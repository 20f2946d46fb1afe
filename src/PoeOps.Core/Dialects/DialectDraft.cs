using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A dialect file to begin with: a skeleton, or what could be guessed from captures.</summary>
public sealed record DialectDraft
{
    /// <summary>The name of the family.</summary>
    public string Name { get; init; } = string.Empty;

    /// <summary>The file that it was written to; empty until then.</summary>
    public string Path { get; init; } = string.Empty;

    /// <summary>How many captures it rests on.</summary>
    public int Captures { get; init; }

    /// <summary>How many guesses stand in it; each has a comment and must be checked.</summary>
    public int Guesses { get; init; }

    /// <summary>How many lines the captures have that are not empty.</summary>
    public int Lines { get; init; }

    /// <summary>Lines that the draft accounts for.</summary>
    public int LinesCovered { get; init; }

    /// <summary>Lines that no guess covers, which the draft leaves unread.</summary>
    public int LinesNotCovered { get; init; }

    /// <summary>The text of the file.</summary>
    public string Text { get; init; } = string.Empty;

    /// <summary>What is wrong with captures that were left out.</summary>
    public IReadOnlyList<Problem> Problems { get; init; } = [];

    /// <summary>Makes a skeleton, in which a comment explains every key.</summary>
    /// <param name="name">The name of the family.</param>
    /// <param name="schema">Where the schema is, for editors; or null.</param>
    public static DialectDraft Skeleton(string name, string? schema) => new() { Name = Named(name), Text = DialectSkeleton.For(Named(name), schema) };

    /// <summary>Makes a first draft from captures. Every guess has a comment, and what no guess covers stays unread.</summary>
    /// <param name="name">The name of the family.</param>
    /// <param name="files">The captures; one that cannot be read is a problem, and the others count.</param>
    /// <param name="schema">Where the schema is, for editors; or null.</param>
    /// <param name="encoding">The encoding of the captures, which the draft names.</param>
    /// <returns>The draft; without text where no capture could be read.</returns>
    /// <exception cref="PoeOpsException">The encoding is not known (<see cref="ProblemId.EncodingUnknown"/>).</exception>
    public static DialectDraft FromCaptures(string name, IReadOnlyList<string> files, string? schema, string encoding = DialectEncoding.Usual)
    {
        if (DialectEncoding.Check(encoding) is { } unknown)
        {
            throw new PoeOpsException(unknown);
        }

        var plain = new Dialect { Encoding = encoding };
        CaptureText[] captures = [.. files.Select(file => CaptureText.FromFile(file, plain))];
        CaptureText[] usable = [.. captures.Where(capture => capture.Lines.Count > 0)];
        DialectDraft draft = usable.Length == 0 ? new DialectDraft { Name = Named(name) } : DraftPlan.Make(Named(name), schema, encoding, usable);
        return draft with { Problems = [.. captures.SelectMany(capture => capture.Problems)] };
    }

    /// <summary>Writes it.</summary>
    /// <param name="path">The file; problems name it as it is given here.</param>
    /// <param name="overwrite">True to replace a file that stands there.</param>
    /// <exception cref="PoeOpsException">A file stands there (<see cref="ProblemId.FileExists"/>), or none can be written (<see cref="ProblemId.FileNotWritable"/>).</exception>
    public DialectDraft Write(string path, bool overwrite)
    {
        WholeFile.Write(path, Text, overwrite);
        return this with { Path = path };
    }

    private static string Named(string name) => string.IsNullOrWhiteSpace(name) ? "EDIT" : name;
}
