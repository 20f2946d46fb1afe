using System.Text.RegularExpressions;
using PoeOps.Estate;
using PoeOps.Power;

namespace PoeOps.Dialects;

/// <summary>Turns the text of a property into its value, as the dialect says it is written. Gives the text in one normal spelling, null for blank.</summary>
internal sealed class ValueReader
{
    // A device says the same few words and amounts over and over; beyond so many of them, a value is read anew each time.
    private const int MostKnown = 4096;

    private static readonly string[] Conditions = Enum.GetNames(typeof(ControllerCondition));
    private static readonly string[] Statuses = Enum.GetNames(typeof(DetectionStatus));
    private static readonly string[] Priorities = Enum.GetNames(typeof(PortPriority));
    private static readonly string[] Sources = Enum.GetNames(typeof(AllocationSource));

    private readonly Dialect _dialect;
    private readonly PatternTries _tries;
    private readonly Dictionary<string, Dictionary<string, (string? Value, string? Wrong)>> _known = new(StringComparer.Ordinal);

    /// <summary>Reads values of a dialect.</summary>
    public ValueReader(Dialect dialect, PatternTries tries)
    {
        _dialect = dialect;
        _tries = tries;
    }

    /// <summary>Reads one value.</summary>
    /// <param name="property">The property's name.</param>
    /// <param name="raw">What stood there.</param>
    /// <param name="value">The value in its normal spelling; null where nothing stood there.</param>
    /// <param name="slow">A word's pattern that came to no end, so that the value is not read; else null.</param>
    /// <returns>Why it cannot be read, as the end of a sentence; or null.</returns>
    public string? Read(string property, string raw, out string? value, out Regex? slow)
    {
        if (!_known.TryGetValue(property, out Dictionary<string, (string? Value, string? Wrong)>? known))
        {
            _known.Add(property, known = new(StringComparer.Ordinal));
        }

        if (known.TryGetValue(raw, out (string? Value, string? Wrong) before))
        {
            (value, slow) = (before.Value, null);
            return before.Wrong;
        }

        string? wrong = ReadAnew(property, raw.Trim(), out value, out slow);
        if (slow is null && known.Count < MostKnown)
        {
            known.Add(raw, (value, wrong));
        }

        return wrong;
    }

    private string? ReadAnew(string property, string text, out string? value, out Regex? slow)
    {
        value = null;
        _dialect.Values.TryGetValue(property, out ValueRule? rule);
        WordRule? word = Word(rule, text, out slow);
        if (slow is not null || (word is null && _dialect.Blanks.Contains(text)))
        {
            return null;
        }

        return Meaning(property, word?.Means ?? text, rule, word is not null, out value);
    }

    /// <summary>Checks a value that stands in a dialect file in the place of a device's word.</summary>
    /// <returns>Why it cannot be, as the end of a sentence; or null.</returns>
    public string? Check(string property, string text, out Regex? slow)
    {
        _dialect.Values.TryGetValue(property, out ValueRule? rule);
        WordRule? word = Word(rule, text, out slow);
        return slow is not null || (word is null && _dialect.Blanks.Contains(text)) ? null : Meaning(property, word?.Means ?? text, rule, translated: true, out _);
    }

    /// <summary>Reads what a text means once words are translated.</summary>
    public static string? Meaning(string property, string meant, ValueRule? rule, bool translated, out string? value)
    {
        value = null;
        if (meant.Length == 0)
        {
            return null;
        }

        return property switch
        {
            "PdClass" => Digit(meant, '0', '8', "PD class", out value),
            "PdClassA" or "PdClassB" => Digit(meant, '1', '5', "class of a pairset", out value),
            "PseType" => Digit(meant, '1', '4', "Type of a PSE", out value),
            "AllocatedBy" => Word(meant, Sources, out value),
            "AdminEnabled" => Word(meant, ["true", "false"], out value),
            "Status" => Word(meant, Statuses, out value),
            "Priority" => Word(meant, Priorities, out value),
            "Condition" => Condition(meant, translated, out value),
            _ when RecordProperties.IsWatts(property) => AmountText.Read(meant, rule, out value),
            _ => Text(property, meant, out value),
        };
    }

    private WordRule? Word(ValueRule? rule, string text, out Regex? slow)
    {
        slow = null;
        foreach (WordRule one in rule?.Words ?? [])
        {
            bool fits = _tries.Try(one.Pattern, text, out PatternEnd end) is not null;
            slow = end == PatternEnd.Reached ? null : one.Pattern;
            if (fits || slow is not null)
            {
                return fits ? one : null;
            }
        }

        return null;
    }

    // A unit or port with a hidden character in its name is refused; an escape in its place would be another name.
    private static string? Text(string property, string text, out string? value)
    {
        value = property is "Unit" or "Port" ? text : PlainText.Of(text);
        return null;
    }

    // A word that the dialect gives no meaning to is Unknown, and the device's own word is kept beside it.
    private static string? Condition(string meant, bool translated, out string? value)
    {
        string? name = Conditions.FirstOrDefault(one => string.Equals(one, meant, StringComparison.OrdinalIgnoreCase));
        value = name ?? nameof(ControllerCondition.Unknown);
        return translated && name is null ? $"is none of {string.Join(", ", Conditions)}" : null;
    }

    private static string? Word(string text, string[] names, out string? value)
    {
        value = names.FirstOrDefault(name => string.Equals(name, text, StringComparison.OrdinalIgnoreCase));
        return value is null ? $"is none of {string.Join(", ", names)}" : null;
    }

    private static string? Digit(string text, char least, char most, string what, out string? value)
    {
        bool good = text.Length == 1 && text[0] >= least && text[0] <= most;
        value = good ? text : null;
        return good ? null : $"is no {what} from {least} to {most}";
    }
}
