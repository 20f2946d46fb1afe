using System.Globalization;
using PoeOps.Estate;
using PoeOps.Files;
using PoeOps.Power;

namespace PoeOps.Rehearsal.Worlds;

/// <summary>Reads the switches of a world, with the models and loads that were read before.</summary>
internal sealed class WorldSwitchReader(World world)
{
    private static readonly string[] Families = ["kelpline", "oakum"];

    /// <summary>Reads one switch.</summary>
    public WorldSwitch Read(JsonObjectReader one)
    {
        var read = new WorldSwitch
        {
            Name = one.Text("name", required: true) ?? string.Empty,
            Family = OneOf(one, "family", Families, required: true) ?? string.Empty,
            Release = one.Text("release", required: true) ?? string.Empty,
            AsksElevation = one.Flag("asksElevation") ?? false,
        };
        read = read with { Units = [.. one.Objects("units", required: true).Select(unit => ReadUnit(unit, read.Family))] };
        foreach (string twice in read.Units.GroupBy(unit => unit.Unit, StringComparer.OrdinalIgnoreCase).Where(group => group.Count() > 1).Select(group => group.Key))
        {
            one.Report(ProblemId.NameTwice, "units", $"The unit '{twice}' stands twice at the switch '{read.Name}'.", "Keep one of them.");
        }

        one.Close();
        return read;
    }

    private WorldUnit ReadUnit(JsonObjectReader unit, string family)
    {
        WorldModel model = Known(unit, "model", world.Models, candidate => candidate.Model, required: true) ?? new WorldModel();
        ControllerCondition condition = Word(unit, "condition", ControllerCondition.Healthy, [ControllerCondition.Healthy, ControllerCondition.Faulted, ControllerCondition.Absent]);
        var read = new WorldUnit
        {
            Unit = ReadName(unit, family),
            Model = model,
            Serial = unit.Text("serial", required: true) ?? string.Empty,
            Firmware = unit.Text("firmware", required: condition != ControllerCondition.Absent) ?? string.Empty,
            Condition = condition,
            BudgetWatts = unit.Number("budgetWatts", least: model.GuardBandWatts) ?? model.BudgetWatts,
            Ports = ReadPorts(unit, model),
        };
        decimal setAside = read.Ports.Where(port => port.AdminEnabled && !port.Fault).Sum(Settled);
        if (condition == ControllerCondition.Healthy && setAside > read.BudgetWatts - model.GuardBandWatts)
        {
            string found = setAside.ToString(CultureInfo.InvariantCulture);
            string most = (read.BudgetWatts - model.GuardBandWatts).ToString(CultureInfo.InvariantCulture);
            unit.Report(ProblemId.JsonBadValue, "ports", $"The loads of unit '{read.Unit}' have {found} W set aside, and budget less guard band is {most} W.", "Take loads away, or write a larger budget.");
        }

        unit.Close();
        return read;
    }

    // The names are what the consoles of the families can print and read back.
    private static string ReadName(JsonObjectReader unit, string family)
    {
        string name = unit.Text("unit", required: true) ?? string.Empty;
        bool fits = family == "oakum" ? name.Length == 1 && name[0] is >= 'A' and <= 'Z' : name.Length is 1 or 2 && name[0] != '0' && name.All(c => c is >= '0' and <= '9');
        if (name.Length > 0 && !fits)
        {
            unit.Report(ProblemId.JsonBadValue, "unit", $"Found '{name}' where the name of a unit was expected.", "Write a number such as 1 at a kelpline, a capital letter such as A at an oakum.");
        }

        return name;
    }

    private List<WorldPort> ReadPorts(JsonObjectReader unit, WorldModel model)
    {
        var ports = new Dictionary<int, WorldPort>();
        foreach (JsonObjectReader row in unit.Objects("ports"))
        {
            WorldPort all = ReadRow(row);
            foreach (int number in ReadNumbers(row, model.PortCount))
            {
                if (ports.ContainsKey(number))
                {
                    row.Report(ProblemId.NameTwice, "ports", $"Port {number} stands in two rows of the unit.", "Keep one of them.");
                }

                ports[number] = Number(all, number);
            }

            row.Close();
        }

        return [.. Enumerable.Range(1, model.PortCount).Select(number => ports.TryGetValue(number, out WorldPort? port) ? port : new WorldPort { Number = number })];
    }

    private static List<int> ReadNumbers(JsonObjectReader row, int portCount)
    {
        string text = row.Text("ports", required: true) ?? string.Empty;
        PortList? list = PortList.Read(text, out string? wrong);
        List<int> numbers = [.. Enumerable.Range(1, portCount).Where(number => list?.Contains(number.ToString(CultureInfo.InvariantCulture)) == true)];
        if (text.Length > 0 && (list is null || list.Count != numbers.Count))
        {
            row.Report(ProblemId.JsonBadValue, "ports", $"Found '{text}' where ports from 1 to {portCount} were expected{(wrong is null ? string.Empty : ": " + wrong)}.", "Write numbers and ranges with commas between them, such as 1-8,12.");
        }

        return numbers;
    }

    private WorldPort ReadRow(JsonObjectReader row) => new()
    {
        Load = Known(row, "load", world.Loads, load => load.Name, required: false),
        Neighbour = row.Text("neighbour") ?? string.Empty,
        Description = row.Text("description") ?? string.Empty,
        Priority = Word(row, "priority", PortPriority.Low, [PortPriority.Critical, PortPriority.High, PortPriority.Low]),
        LimitWatts = row.Number("limitWatts", least: 0),
        AdminEnabled = row.Flag("adminEnabled") ?? true,
        Fault = row.Flag("fault") ?? false,
    };

    private static WorldPort Number(WorldPort row, int number) => row with
    {
        Number = number,
        DrawWatts = row.Load is { } load ? load.DrawWatts + ((number * 7 % 5) - 2) * load.DrawStepWatts : 0,
        Neighbour = Fill(row.Neighbour, number),
        Description = Fill(row.Description, number),
    };

    private static string Fill(string text, int number) => text
        .Replace("{nn}", number.ToString("00", CultureInfo.InvariantCulture))
        .Replace("{n}", number.ToString(CultureInfo.InvariantCulture));

    private static decimal Settled(WorldPort port) => port.Load is { } load ? load.NegotiatedWatts ?? PdClass.FigureWattsOf(load.PdClass) : 0;

    private static T? Known<T>(JsonObjectReader reader, string key, IReadOnlyList<T> all, Func<T, string> name, bool required)
        where T : class
    {
        string? text = reader.Text(key, required);
        T? found = text is null ? null : all.FirstOrDefault(candidate => name(candidate) == text);
        if (text is not null && found is null)
        {
            reader.Report(ProblemId.JsonBadValue, key, $"Found '{text}', and the world has no {key} of that name.", $"Name one of: {string.Join(", ", all.Select(name))}.");
        }

        return found;
    }

    private static string? OneOf(JsonObjectReader reader, string key, IReadOnlyList<string> words, bool required)
    {
        string? text = reader.Text(key, required);
        if (text is null || words.Contains(text))
        {
            return text;
        }

        reader.Report(ProblemId.JsonBadValue, key, $"Found '{text}' where one of {string.Join(", ", words)} was expected.", "Write one of these words.");
        return null;
    }

    private static T Word<T>(JsonObjectReader reader, string key, T otherwise, IReadOnlyList<T> values)
        where T : struct, Enum
    {
        string? word = OneOf(reader, key, [.. values.Select(value => value.ToString())], required: false);
        return word is null ? otherwise : values.First(value => value.ToString() == word);
    }
}
