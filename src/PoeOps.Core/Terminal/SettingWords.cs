using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Terminal;

/// <summary>
/// The commands that put a port's setting back. The dialect gives them under <c>putBack</c>, per setting and value where each value has a command
/// of its own (<c>AdminEnabled=false</c>, <c>Priority=Critical</c>, <c>LimitWatts=none</c>), else per setting with <c>{Value}</c>. That is the device's own
/// word, the first plain one among the words of <c>values</c> that means the value; where there is none, <c>true</c> or <c>false</c>, <c>critical</c>,
/// <c>high</c> or <c>low</c>, watts with up to three decimals, or <c>none</c> for a limit that was not set.
/// </summary>
internal sealed class SettingWords
{
    private readonly Dialect _dialect;

    /// <summary>Takes the words of a dialect.</summary>
    public SettingWords(Dialect dialect) => _dialect = dialect;

    /// <summary>The commands, filled; null where the dialect has none.</summary>
    /// <param name="port">The port as it was.</param>
    /// <param name="property">The setting.</param>
    /// <exception cref="PoeOpsException">A name or value is not safe to send (<see cref="ProblemId.ValueNotSafe"/>).</exception>
    public IReadOnlyList<string>? Commands(Port port, string property)
    {
        if (Means(port, property) is not { } means || _dialect.Refresh is not { } manners)
        {
            return null;
        }

        string key = $"{property}={(means.Length == 0 ? "none" : means)}";
        return manners.PutBack.TryGetValue(key, out IReadOnlyList<string>? commands) || manners.PutBack.TryGetValue(property, out commands)
            ? [.. commands.Select(command => SafeValue.Fill(command, ("{Unit}", port.Unit), ("{Port}", port.Name), ("{Value}", Word(property, means))))]
            : null;
    }

    /// <summary>The value of a setting as the standard names it, empty for a limit that was not set; null where it was not read.</summary>
    public static string? Means(Port port, string property) => property switch
    {
        "AdminEnabled" => port.AdminEnabled switch { true => "true", false => "false", null => null },
        "Priority" => port.Priority?.ToString(),
        "LimitWatts" => port.LimitWatts?.ToString("0.###", CultureInfo.InvariantCulture) ?? string.Empty,
        _ => null,
    };

    private string Word(string property, string means)
    {
        IEnumerable<WordRule> words = _dialect.Values.TryGetValue(property, out ValueRule? rule) ? rule.Words : [];
        return words.Where(word => string.Equals(word.Means, means, StringComparison.OrdinalIgnoreCase)).Select(word => Plain(word.Pattern)).FirstOrDefault(word => word is not null)
            ?? (means.Length == 0 ? "none" : property == "Priority" ? means.ToLowerInvariant() : means);
    }

    // A pattern that fits one word only is that word: '^(?:open)$' with or without the frame.
    private static string? Plain(Regex pattern)
    {
        string word = pattern.ToString();
        word = word.StartsWith("^(?:", StringComparison.Ordinal) && word.EndsWith(")$", StringComparison.Ordinal) ? word.Substring(4, word.Length - 6) : word.Trim('^', '$');
        return word.Length > 0 && Regex.Escape(word) == word ? word : null;
    }
}
