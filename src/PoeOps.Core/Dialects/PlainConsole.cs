using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Dialects;

/// <summary>A console that is known by patterns alone, before there is a dialect for it.</summary>
public sealed record PlainConsole
{
    /// <summary>How its prompts look.</summary>
    public IReadOnlyList<string> Prompts { get; init; } = [];

    /// <summary>What asks for the user; null where nothing does.</summary>
    public string? UserPrompt { get; init; }

    /// <summary>What asks for the password; null where nothing does.</summary>
    public string? PasswordPrompt { get; init; }

    /// <summary>Where a long answer stops; a blank goes on. Null where it does not.</summary>
    public string? Pager { get; init; }

    /// <summary>What ends a line that is sent.</summary>
    public string LineEnd { get; init; } = "\r";

    /// <summary>The encoding of what it prints and is sent, such as <c>iso-8859-1</c>.</summary>
    public string Encoding { get; init; } = DialectEncoding.Usual;

    /// <summary>Makes a dialect of it, which can talk and reads nothing.</summary>
    /// <exception cref="PoeOpsException">A pattern is no regular expression (<see cref="ProblemId.PatternInvalid"/>), or a prompt fits an empty line (<see cref="ProblemId.JsonBadValue"/>), or the encoding is not known (<see cref="ProblemId.EncodingUnknown"/>).</exception>
    public Dialect ToDialect() => DialectEncoding.Check(Encoding) is { } unknown ? throw new PoeOpsException(unknown) : new()
    {
        Name = "given on the line",
        Encoding = Encoding,
        Console = new ConsoleManners
        {
            Prompts = [.. Prompts.Select(Prompt)],
            LogIn = [.. Exchanges(UserPrompt, "{User}", lineEnd: true), .. Exchanges(PasswordPrompt, "{Password}", lineEnd: true)],
            Pagers = [.. Exchanges(Pager, " ", lineEnd: false)],
            LineEnd = LineEnd,
        },
    };

    private static IEnumerable<Exchange> Exchanges(string? pattern, string send, bool lineEnd) =>
        pattern is null ? [] : [new Exchange(Compile(pattern), send, lineEnd)];

    // A prompt that fits nothing at all would end every answer before it has begun.
    private static Regex Prompt(string pattern)
    {
        Regex compiled = Compile(pattern);
        return compiled.IsMatch(string.Empty)
            ? throw new PoeOpsException(new Problem(ProblemId.JsonBadValue, $"The prompt '{Excerpt.Of(pattern)}' fits an empty line as well.", "Write it so that it fits the prompt alone, as '^[a-z0-9-]+> $'."))
            : compiled;
    }

    private static Regex Compile(string pattern)
    {
        try
        {
            return new Regex(pattern, RegexOptions.CultureInvariant, PatternJson.MatchTimeout);
        }
        catch (ArgumentException exception)
        {
            throw new PoeOpsException(
                new Problem(ProblemId.PatternInvalid, $"The pattern '{Excerpt.Of(pattern)}' is no regular expression: {Excerpt.Line(exception.Message).TrimEnd('.')}.", "Write a .NET regular expression."), exception);
        }
    }
}
