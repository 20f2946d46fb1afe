using PoeOps.Dialects;

namespace PoeOps.Report;

/// <summary>The rules that took lines, each with a tint, in the order in which they first did.</summary>
internal sealed class RuleTints
{
    private readonly Dictionary<string, RuleUse> _byName = new(StringComparer.Ordinal);
    private readonly List<RuleUse> _used = [];

    /// <summary>Those that took a line.</summary>
    public IReadOnlyList<RuleUse> Used => _used;

    /// <summary>Goes through all lines. What stands behind a prompt is a command and no rule.</summary>
    public static RuleTints Of(IReadOnlyList<LineReading> lines)
    {
        var tints = new RuleTints();
        foreach (LineReading line in lines.Where(HasRule))
        {
            if (!tints._byName.TryGetValue(line.Rule, out RuleUse? use))
            {
                use = new RuleUse(line.Rule, FormattableString.Invariant($"t{tints._used.Count % PageStyle.TintCount}"), line);
                tints._byName.Add(line.Rule, use);
                tints._used.Add(use);
            }

            use.Lines++;
        }

        return tints;
    }

    /// <summary>The tint of a line, or an empty text.</summary>
    public string Of(LineReading line) => HasRule(line) ? _byName[line.Rule].Tint : string.Empty;

    private static bool HasRule(LineReading line) => line.ReadAs is ReadAs.Read or ReadAs.Ignored;
}

/// <summary>A rule that took lines.</summary>
internal sealed class RuleUse(string name, string tint, LineReading first)
{
    /// <summary>Its name.</summary>
    public string Name => name;

    /// <summary>Its class in the style sheet.</summary>
    public string Tint => tint;

    /// <summary>The first line that it took.</summary>
    public LineReading First => first;

    /// <summary>How many it took.</summary>
    public int Lines { get; set; }
}
