using System.Globalization;

namespace PoeOps.Rehearsal.Tests.Nights;

/// <summary>
/// What goes wrong in a night: something at three units of five, one kind after the other so that a few nights have them all; now and then a second thing
/// at a unit, and at a switch, by chance.
/// </summary>
internal static class RandomMishaps
{
    private static readonly MishapKind[] Pagers = [MishapKind.AnswerPager, MishapKind.ProgramPager];

    /// <summary>Chooses.</summary>
    /// <param name="seed">The night's number, which says whose turn it is.</param>
    /// <param name="chance">What is left to chance.</param>
    public static IReadOnlyList<string> Choose(int seed, Random chance)
    {
        List<string> chosen = [];
        for (int i = 0; i < RandomPlace.Units.Count; i++)
        {
            (string name, string unit, _) = RandomPlace.Units[i];
            (int five, int place) = Math.DivRem((seed * RandomPlace.Units.Count) + i, 5);
            if (place < 3)
            {
                MishapEntry[] all = Of(MishapScope.Unit, name);
                chosen.Add($"{name}/{unit}:{all[((five * 3) + place) % all.Length].Name}{Times(chance)}");
            }

            if (chance.Next(100) < 12)
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
        MishapEntry[] all = Of(scope, name);
        return all[chance.Next(all.Length)];
    }

    private static MishapEntry[] Of(MishapScope scope, string name) =>
        [.. MishapCatalogue.All.Where(entry => entry.Scope == scope && (name == "pier-1" || !Pagers.Contains(entry.Kind)))];
}
