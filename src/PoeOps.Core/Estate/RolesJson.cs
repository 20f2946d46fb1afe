using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>The roles of an estate, and which loads have them.</summary>
/// <param name="Roles">The roles, in the order of the file.</param>
/// <param name="Patterns">The patterns of all roles, in the order of the file.</param>
/// <param name="Default">The role of all other loads.</param>
internal sealed record RoleSet(IReadOnlyList<Role> Roles, IReadOnlyList<RolePattern> Patterns, Role? Default);

/// <summary>Reads the key <c>roles</c> of an estate file.</summary>
internal static class RolesJson
{
    private const decimal MostSeconds = 86400;
    private static readonly TimeSpan MatchTimeout = TimeSpan.FromMilliseconds(250);

    /// <summary>Reads the roles; mistakes are reported through the readers.</summary>
    public static RoleSet Read(JsonObjectReader root)
    {
        List<Role> roles = [];
        List<RolePattern> patterns = [];
        Dictionary<string, int> lines = new(StringComparer.OrdinalIgnoreCase);
        Role? standard = null;
        foreach (JsonObjectReader reader in root.Objects("roles", required: true))
        {
            Role role = RoleOf(reader);
            ReportTwice(reader, role.Name, lines);
            roles.Add(role);
            patterns.AddRange(Patterns(reader, role));
            if (reader.Flag("default") == true)
            {
                if (standard is not null)
                {
                    reader.Report(ProblemId.JsonBadValue, "default", $"The roles '{standard.Name}' and '{role.Name}' are both the default, and one role is expected to be.", "Leave it at one of them.");
                }

                standard ??= role;
            }

            reader.Close();
        }

        if (standard is null && root.Kind("roles") == JsonKind.List)
        {
            root.Report(ProblemId.JsonBadValue, "roles", "No role is the default, and one is expected to be: it holds for every load that nothing else gives a role.", "Add '\"default\": true' to one role.");
        }

        return new RoleSet(roles, patterns, standard);
    }

    private static Role RoleOf(JsonObjectReader reader)
    {
        double restart = (double)(reader.Number("restartSeconds", required: true, least: 0, most: MostSeconds) ?? 0);
        return new Role(EstateJson.Name(reader, "name"))
        {
            RestartSeconds = restart,
            NegotiateSeconds = (double?)reader.Number("negotiateSeconds", least: 0, most: MostSeconds) ?? restart,
            LifeSafety = reader.Flag("lifeSafety") ?? false,
            Weight = (double?)reader.Number("weight", least: 0, most: 1000000) ?? 1,
        };
    }

    private static void ReportTwice(JsonObjectReader reader, string name, Dictionary<string, int> lines)
    {
        if (name.Length == 0)
        {
            return;
        }

        if (lines.TryGetValue(name, out int first))
        {
            string line = first.ToString(CultureInfo.InvariantCulture);
            reader.Report(ProblemId.NameTwice, "name", $"The role '{Excerpt.Of(name)}' stands twice; the first is in line {line}.", "Give every role a name of its own; case makes no difference.");
            return;
        }

        lines.Add(name, reader.Line);
    }

    private static IEnumerable<RolePattern> Patterns(JsonObjectReader reader, Role role)
    {
        foreach (JsonItem item in reader.TextItems("match"))
        {
            if (item.Text!.Length == 0)
            {
                item.Report(ProblemId.PatternInvalid, "The pattern is empty, so it fits every load, and no role behind it would get any.", "Write a pattern, or remove it; the role of every other load is the default.");
            }
            else if (Compile(item) is { } pattern)
            {
                yield return new RolePattern(pattern, role);
            }
        }
    }

    private static Regex? Compile(JsonItem item)
    {
        try
        {
            return new Regex(item.Text!, RegexOptions.IgnoreCase | RegexOptions.CultureInvariant, MatchTimeout);
        }
        catch (ArgumentException exception)
        {
            item.Report(
                ProblemId.PatternInvalid, $"'{Excerpt.Of(item.Text)}' is no regular expression of .NET: {TextFile.OneSentence(exception)}",
                "Correct the expression; a sign that stands for itself needs two backslashes before it in JSON.");
            return null;
        }
    }
}
