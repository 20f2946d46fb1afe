using System.Text.RegularExpressions;
using PoeOps.Dialects;

namespace PoeOps.Terminal;

/// <summary>
/// Knows the commands by which a dialect changes something: those that refresh and put settings back, and what it lists itself. A command is judged by
/// its shape, without regard to case; one that begins with the same words is held to be the same, whatever follows.
/// </summary>
internal sealed class ChangingCommands
{
    private const RegexOptions AnyCase = RegexOptions.CultureInvariant | RegexOptions.IgnoreCase;
    private static readonly TimeSpan MatchTime = TimeSpan.FromSeconds(1);
    private static readonly char[] Separators = [';', '|', '&'];

    private readonly List<Regex> _listed;
    private readonly List<string> _changing;
    private readonly List<Regex> _reading;

    /// <summary>Takes the commands of a dialect.</summary>
    public ChangingCommands(Dialect dialect)
    {
        _listed = [.. dialect.Console.Changing.Select(pattern => new Regex(pattern.ToString(), AnyCase, MatchTime))];
        _changing = [.. (dialect.Refresh?.Commands.Values ?? []).Concat(dialect.Refresh?.PutBack.Values.SelectMany(one => one) ?? [])];
        _reading = [.. dialect.Asks.Values.SelectMany(asks => asks).SelectMany(ask => ask.Texts).Concat(dialect.Console.Quiet)
            .Concat(new[] { dialect.Refresh?.Poll, dialect.Console.KeepAlive, dialect.Console.GoodBye }.OfType<string>()).Select(command => new Regex($"^{Shape(command)}$", AnyCase, MatchTime))];
    }

    /// <summary>What of the dialect says that a command changes something, or null.</summary>
    /// <exception cref="PoeOpsException">A pattern did not come to an end (<see cref="ProblemId.PatternTooSlow"/>).</exception>
    public string? In(string command) => command.Split(Separators).Append(command).Select(part => Words(part)).Where(words => words.Length > 0).Select(Judge).FirstOrDefault(rule => rule is not null);

    private string? Judge(string[] words)
    {
        string command = string.Join(" ", words);
        return _listed.FirstOrDefault(pattern => pattern.Fits(command)) is { } listed ? listed.ToString()
            : _changing.FirstOrDefault(one => new Regex($"(?:^| ){Shape(one)}(?: |$)", AnyCase, MatchTime).Fits(command)) is { } whole ? whole
            : _reading.Exists(pattern => pattern.Fits(command)) ? null
            : _changing.Find(one => BeginsLike(words, Words(one)));
    }

    // A console that takes the beginning of a word for the word would take the beginning of the command for it as well.
    private static bool BeginsLike(string[] words, string[] changing)
    {
        int named = changing.TakeWhile(word => word.IndexOf('{') < 0).Count();
        return named > 0 && words.Take(named).Zip(changing, (word, whole) => whole.StartsWith(word, StringComparison.OrdinalIgnoreCase)).All(same => same);
    }

    private static string Shape(string command) => Placeholders.Pattern(string.Join(" ", Words(command)));

    private static string[] Words(string text) => text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
}
