using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal;

/// <summary>An estate, its world and its mishaps, read and held against each other.</summary>
internal sealed record RehearsalScript(EstateMap? Estate, World? World, IReadOnlyList<Mishap> Mishaps, IReadOnlyList<Problem> Problems)
{
    /// <summary>Reads everything that a rehearsal needs.</summary>
    public static RehearsalScript Read(RehearsalOptions options)
    {
        var problems = new List<Problem>();
        List<Mishap> mishaps = ReadMishaps(options.Mishaps, problems);
        if (options.Speed is not (>= 1 and <= RehearsalOptions.MostSpeed))
        {
            problems.Add(new Problem(
                ProblemId.RehearsalCannotStart, FormattableString.Invariant($"A speed of {options.Speed} cannot be rehearsed at."), FormattableString.Invariant($"Name a speed from 1 to {RehearsalOptions.MostSpeed}.")));
        }

        EstateResult estate = CheckedEstate.Read(options.EstatePath);
        problems.AddRange(estate.Problems);
        World? world = ReadWorld(WorldFile.Beside(options.EstatePath), problems);
        if (estate.Estate is not null && world is not null)
        {
            Compare(estate.Estate, world, problems);
            CheckMishaps(mishaps, world, problems);
        }

        return new RehearsalScript(estate.Estate, world, mishaps, problems);
    }

    private static List<Mishap> ReadMishaps(IEnumerable<string> texts, List<Problem> problems)
    {
        var mishaps = new List<Mishap>();
        foreach (string text in texts)
        {
            try
            {
                mishaps.Add(Mishap.Parse(text));
            }
            catch (PoeOpsException unknown)
            {
                problems.Add(unknown.Problem);
            }
        }

        return mishaps;
    }

    private static World? ReadWorld(string path, List<Problem> problems)
    {
        if (!File.Exists(path))
        {
            problems.Add(new Problem(
                ProblemId.RehearsalCannotStart,
                "The estate has no world: the file that says which models, firmware and loads its switches have is not there.",
                "Write it beside the estate; its schema is poeops.world.schema.json.") { File = path });
            return null;
        }

        WorldResult result = WorldFile.Read(path);
        problems.AddRange(result.Problems);
        return result.World;
    }

    private static void Compare(EstateMap estate, World world, List<Problem> problems)
    {
        foreach (Switch one in estate.Switches)
        {
            WorldSwitch? there = world.Switches.FirstOrDefault(candidate => Same(candidate.Name, one.Name));
            if (there is null)
            {
                problems.Add(Differ(world.SourcePath, one.Name, $"The estate has the switch '{one.Name}', and the world does not.", "Add it to the world's switches."));
                continue;
            }

            IEnumerable<string> named = one.Units.Select(unit => unit.Unit).Concat(one.Loads.Select(load => load.Unit)).Distinct(StringComparer.OrdinalIgnoreCase);
            problems.AddRange(named.Where(unit => !there.Units.Any(candidate => Same(candidate.Unit, unit))).Select(unit => Differ(
                world.SourcePath, new UnitId(one.Name, unit).ToString(), $"The estate has the unit '{unit}' of the switch '{one.Name}', and the world does not.", "Add it to the switch's units.")));
        }

        problems.AddRange(world.Switches.Where(one => estate.FindSwitch(one.Name) is null).Select(one => Differ(
            world.SourcePath, one.Name, $"The world has the switch '{one.Name}', and the estate does not.", "Add it to the estate, or take it out of the world.")));
        problems.AddRange(world.Switches.GroupBy(one => one.Name, StringComparer.OrdinalIgnoreCase).Where(group => group.Count() > 1).Select(group => Differ(
            world.SourcePath, group.Key, $"The switch '{group.Key}' stands twice in the world.", "Keep one of them.")));
    }

    private static void CheckMishaps(List<Mishap> mishaps, World world, List<Problem> problems)
    {
        foreach (Mishap mishap in mishaps)
        {
            bool ofUnit = MishapCatalogue.Of(mishap.Kind).Scope == MishapScope.Unit;
            bool known = world.Switches.Any(one => Same(one.Name, mishap.Target) || (ofUnit && one.Units.Any(unit => Same(new UnitId(one.Name, unit.Unit).ToString(), mishap.Target))));
            if (!known)
            {
                problems.Add(new Problem(
                    ProblemId.NotInEstate,
                    $"The mishap '{mishap}' is to happen to '{mishap.Target}', and there is no such switch{(ofUnit ? " or unit" : string.Empty)}.",
                    ofUnit ? "Name a switch, or a unit such as north-1/2." : "Name a switch: this mishap happens to a whole switch.") { Target = mishap.Target });
            }

            bool pages = mishap.Kind is MishapKind.AnswerPager or MishapKind.ProgramPager;
            if (pages && world.Switches.FirstOrDefault(one => IsOf(one, mishap.Target)) is { Family: "oakum" } pageless)
            {
                problems.Add(new Problem(
                    ProblemId.RehearsalCannotStart, $"The mishap '{mishap}' wants a pager, and '{pageless.Name}' is of a family that has none.", "Name a switch or unit of the family kelpline.") { Target = mishap.Target });
            }

            if (mishap.Kind == MishapKind.LogInSecondSecret && world.ElevationPassword.Length == 0)
            {
                problems.Add(new Problem(ProblemId.RehearsalCannotStart, $"The mishap '{mishap}' asks for the second secret, and the world has none.", "Add 'elevationPassword' to the world.") { File = world.SourcePath });
            }
        }
    }

    private static Problem Differ(string file, string target, string sentence, string advice) =>
        new(ProblemId.NotInEstate, sentence, advice) { File = file, Target = target };

    private static bool IsOf(WorldSwitch one, string target) => Same(one.Name, target) || one.Units.Any(unit => Same(new UnitId(one.Name, unit.Unit).ToString(), target));

    private static bool Same(string left, string right) => string.Equals(left, right, StringComparison.OrdinalIgnoreCase);
}
