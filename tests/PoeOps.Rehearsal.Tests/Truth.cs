using System.Globalization;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Tests;

/// <summary>What a dialect must read from a quiet switch, worked out from the world alone; and how a console is read whole.</summary>
internal static class Truth
{
    // IEEE 802.3 clauses 33 and 145, watts at the PSE for classes 0 to 8.
    private static readonly decimal[] ClassWatts = [15.4m, 4m, 7m, 15.4m, 30m, 45m, 60m, 75m, 90m];

    /// <summary>Sends every command of the dialect, and reads the answers.</summary>
    public static Reading Read(Caller caller, string name)
    {
        WorldSwitch place = Place.Switch(name);
        Dialect dialect = Place.Dialect(place.Family);
        var answers = new List<DeviceAnswer>();
        foreach (Ask ask in dialect.Asks.OrderBy(pair => pair.Key).SelectMany(pair => pair.Value))
        {
            foreach (string unit in ask.Each == AskEach.Unit ? place.Units.Select(one => one.Unit) : [string.Empty])
            {
                string command = ask.Send.Replace("{Unit}", unit);
                answers.Add(new DeviceAnswer(command, caller.Ask(command)) { Unit = unit });
            }
        }

        return CaptureReader.Read(dialect, CaptureText.FromAnswers(answers, name), new ReadingContext { Switch = name, Source = "console", KeepLines = true });
    }

    /// <summary>The controllers that must come out.</summary>
    public static IReadOnlyList<Controller> Of(string name, string dialect)
    {
        WorldSwitch place = Place.Switch(name);
        return [.. place.Units.Select(unit => Of(place, unit, dialect))];
    }

    private static Controller Of(WorldSwitch place, WorldUnit unit, string dialect)
    {
        bool absent = unit.Condition == ControllerCondition.Absent;
        Port[] ports = absent ? [] : [.. unit.Ports.Select(port => Of(place, unit, port))];
        return new Controller
        {
            Switch = place.Name,
            Unit = unit.Unit,
            Model = unit.Model.Model,
            Serial = unit.Serial,
            Firmware = absent ? null : unit.Firmware,
            Release = place.Release,
            Condition = unit.Condition,
            ConditionText = Word(place.Family, unit.Condition),
            BudgetWatts = absent ? null : unit.BudgetWatts,
            GuardBandWatts = absent ? null : unit.Model.GuardBandWatts,
            AllocatedWatts = absent ? null : ports.Sum(port => port.AllocatedWatts),
            DrawWatts = absent ? null : ports.Sum(port => port.DrawWatts),
            SwitchUnits = place.Units.Count,
            Dialect = dialect,
            Source = "console",
            Ports = ports,
        };
    }

    private static Port Of(WorldSwitch place, WorldUnit unit, WorldPort port)
    {
        bool fed = port.Load is not null && port.AdminEnabled && !port.Fault && unit.Condition == ControllerCondition.Healthy;
        string? description = port.Description.Length > 0 ? port.Description : null;
        string? neighbour = fed && port.Neighbour.Length > 0 ? port.Neighbour : null;
        return new Port
        {
            Switch = place.Name,
            Unit = unit.Unit,
            Name = port.Number.ToString(CultureInfo.InvariantCulture),
            AdminEnabled = port.AdminEnabled,
            Status = !port.AdminEnabled ? DetectionStatus.Disabled : port.Fault ? DetectionStatus.Fault : fed ? DetectionStatus.DeliveringPower : DetectionStatus.Searching,
            PdClass = fed ? port.Load!.PdClass : null,
            Priority = port.Priority,
            AllocatedWatts = fed ? port.Load!.NegotiatedWatts ?? ClassWatts[port.Load.PdClass] : 0,
            DrawWatts = fed ? port.DrawWatts : 0,
            LimitWatts = port.LimitWatts,
            Description = description,
            Neighbour = neighbour,
            Load = neighbour ?? description,
        };
    }

    private static string Word(string family, ControllerCondition condition) => (family, condition) switch
    {
        ("kelpline", ControllerCondition.Healthy) => "fit",
        ("kelpline", ControllerCondition.Absent) => "none",
        ("kelpline", _) => "lame",
        (_, ControllerCondition.Healthy) => "sound",
        _ => "broken",
    };
}
