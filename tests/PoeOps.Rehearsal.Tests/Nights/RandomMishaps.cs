using System.Globalization;

namespace PoeOps.Rehearsal.Tests.Nights;

/// <summary>What goes wrong in a night, by chance: something at about half of the units, and now and then at a switch.</summary>
internal static class RandomMishaps
{
    private static readonly MishapKind[] Pagers = [MishapKind.AnswerPager, MishapKind.ProgramPager];

    /// <summary>Chooses.</summary>
    public static IReadOnlyList<string> Choose(Random chance)
    {
        List<string> chosen = [];
        foreach ((string name, string unit, _) in RandomPlace.Units)
        {
            for (int more = chance.Next(100); more < 60; more += 50)
            {
                chosen.Add($"{name}/{unit}:{Pick(MishapScope.Unit, name, chance).Name}{Times(chance)}");
            }
        }

        foreach (string name in RandomPlace.Units.Select(one => one.Switch).Distinct().Where(_ => chance.Next(100) < 25))
        {
            int first = chance.Next(1, 40);
            MishapEntry entry = Pick(MishapScope.Switch, name, chance);
            chosen.Add(FormattableString.Invariant($"{name}:{entry.Name}:{first}-{first + chance.Next(6)}"));
        }

        return chosen;
    }

    // Once, as the catalogue has it for most, or for the first few times.
    private static string Times(Random chance) => chance.Next(4) == 0 ? ":1-" + chance.Next(1, 4).ToString(CultureInfo.InvariantCulture) : string.Empty;

    private static MishapEntry Pick(MishapScope scope, string name, Random chance)
    {
        MishapEntry[] all = [.. MishapCatalogue.All.Where(entry => entry.Scope == scope && (name == "pier-1" || !Pagers.Contains(entry.Kind)))];
        return all[chance.Next(all.Length)];
    }
}
