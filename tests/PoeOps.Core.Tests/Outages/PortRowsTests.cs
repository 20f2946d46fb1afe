using PoeOps.Core.Tests.Files;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Power;

namespace PoeOps.Core.Tests.Outages;

/// <summary>A list of ports as somebody typed or exported it.</summary>
public sealed class PortRowsTests
{
    [Fact]
    public void A_list_becomes_units_in_natural_order()
    {
        (IReadOnlyList<Controller> controllers, IReadOnlyList<Problem> problems) = Read(
            "Switch,Unit,Port,Status,PdClass,PdClassA,PdClassB,Priority,AllocatedWatts,AllocatedPdWatts,AllocatedBy,DrawWatts,LimitWatts,Load,Role,LifeSafety,RestartSeconds,NegotiateSeconds,BudgetWatts,GuardBandWatts,PseType,RestartPolicy,StaggerSeconds,Demotes,Model,Release,Firmware",
            "north-10,1,1,DeliveringPower,4,,,High,30,,Class,12.5,30,lobby,phone,True,90,20.5,370,10,3,ByDraw,0.5,True,R-24,7.4,3.8",
            "north-10,1,2,searching,,4,2,,,25.5,neighbour,,,,,,,,,,,,,,,,",
            "north-2,1,1,,,,,,,,,,,,,,,,740,,,,,,,,");
        Assert.Empty(Told.Of(problems));
        Assert.Equal(["north-2/1", "north-10/1"], controllers.Select(one => one.UnitId.ToString()));
        Controller unit = controllers[1];
        Assert.Equal((370m, 10m, PseType.Type3, RestartPolicy.ByDraw, 0.5m, true), (unit.BudgetWatts, unit.GuardBandWatts, unit.PseType, unit.RestartPolicy, unit.StaggerSeconds, unit.Demotes));
        Assert.Equal(("R-24", "7.4", "3.8", 1), (unit.Model, unit.Release, unit.Firmware, unit.PoweredPorts));
        Port one = unit.Ports[0];
        Assert.Equal((4, PortPriority.High, 30m, AllocationSource.Class, 12.5m, 30m), (one.PdClass, one.Priority, one.AllocatedWatts, one.AllocatedBy, one.DrawWatts, one.LimitWatts));
        Assert.Equal(("lobby", "phone", true, 90.0, 20.5), (one.Load, one.Role, one.LifeSafety, one.RestartSeconds, one.NegotiateSeconds));
        Port two = unit.Ports[1];
        Assert.Equal((null, 4, 2, 25.5m, AllocationSource.Neighbour, null), (two.PdClass, two.PdClassA, two.PdClassB, two.AllocatedPdWatts, two.AllocatedBy, two.DrawWatts));
        Assert.Null(controllers[0].Ports[0].Status);
    }

    [Theory]
    [InlineData("DrawWatts", "-1", "WattsUnreadable: Row 1 (n/1/1), DrawWatts: '-1' is negative, and an amount in watts is 0 or more.")]
    [InlineData("DrawWatts", "NaN", "WattsUnreadable: Row 1 (n/1/1), DrawWatts: 'NaN' is not a number of watts.")]
    [InlineData("DrawWatts", "6,3", "WattsUnreadable: Row 1 (n/1/1), DrawWatts: '6,3' has a comma, which means a decimal mark in one country and nothing in another, so it is not read as watts.")]
    [InlineData("BudgetWatts", "1e3", "WattsUnreadable: Row 1 (n/1/1), BudgetWatts: '1e3' is not a number of watts.")]
    [InlineData("PdClass", "9", "ClassUnknown: Row 1 (n/1/1), PdClass: '9' is none from 0 to 8.")]
    [InlineData("PdClassA", "6", "ClassUnknown: Row 1 (n/1/1), PdClassA: '6' is none from 1 to 5.")]
    [InlineData("Priority", "hihg", "PortRowUnreadable: Row 1 (n/1/1), Priority: 'hihg' is none of Critical, High, Low; the nearest is 'High'.")]
    [InlineData("LifeSafety", "yes", "PortRowUnreadable: Row 1 (n/1/1), LifeSafety: 'yes' is neither True nor False.")]
    [InlineData("RestartSeconds", "∞", "PortRowUnreadable: Row 1 (n/1/1), RestartSeconds: '∞' is no number of seconds from 0 to 86400.")]
    [InlineData("Status", "faulty", "PortRowUnreadable: Row 1 (n/1/1), Status: 'faulty' is none of Disabled, Searching, DeliveringPower, Fault, Test, OtherFault; the nearest is 'Fault'.")]
    [InlineData("PseType", "5", "PortRowUnreadable: Row 1 (n/1/1), PseType: '5' is none from 1 to 4.")]
    public void A_value_that_cannot_be_is_told_and_the_unit_left_out(string column, string value, string told)
    {
        (IReadOnlyList<Controller> controllers, IReadOnlyList<Problem> problems) = Read($"Switch;Unit;Port;{column}", $"n;1;1;{value}", "n;1;2;", "n;2;1;");
        Assert.Equal([told, "ReadingNotClean: n/1 is not measured: its rows have a problem."], problems.Select(problem => $"{problem.Id}: {problem.Sentence}"));
        Assert.Equal(["n/2"], controllers.Select(one => one.UnitId.ToString()));
        Assert.All(problems, problem => Assert.Equal("n/1", problem.Target));
    }

    [Theory]
    [InlineData("n,1,1,370|n,1,1,370", "NameTwice: Row 2 (n/1/1), Port: The port stands twice; the first is row 1 (n/1/1).")]
    [InlineData("n,1,1,370|n,1,2,371", "ReadingsDisagree: Row 2 (n/1/2), BudgetWatts: '371' is another value than in a row of the same unit before.")]
    public void Rows_of_a_unit_that_do_not_go_together_are_told(string rows, string told)
    {
        (IReadOnlyList<Controller> controllers, IReadOnlyList<Problem> problems) = Read(["Switch,Unit,Port,BudgetWatts", .. rows.Split('|')]);
        Assert.Empty(controllers);
        Assert.Equal([told, "ReadingNotClean: n/1 is not measured: its rows have a problem."], problems.Select(problem => $"{problem.Id}: {problem.Sentence}"));
    }

    [Theory]
    [InlineData("Switch,Unit|n,1", "PortRowUnreadable: The list of ports lacks the column Port, without which no row belongs to a port.")]
    [InlineData("Port|1", "PortRowUnreadable: The list of ports lacks the columns Switch, Unit, without which no row belongs to a port.")]
    [InlineData("Switch,Unit,Port|n,,1", "PortRowUnreadable: Row 1: Nothing stands under Unit, so the row belongs to no port.")]
    [InlineData("Switch,Unit,Port|n/x,1,1", "UnitIdUnreadable: Row 1 (n/x/1/1): 'n/x/1' is no unit of a switch.")]
    public void A_row_that_belongs_to_no_port_is_told(string rows, string told)
    {
        (IReadOnlyList<Controller> controllers, IReadOnlyList<Problem> problems) = Read(rows.Split('|'));
        Assert.Empty(controllers);
        Assert.Equal([told], problems.Select(problem => $"{problem.Id}: {problem.Sentence}"));
    }

    [Fact]
    public void The_columns_that_a_list_lacks_are_named_with_what_cannot_be_said()
    {
        Assert.Equal(
            "The list of ports lacks Status (every port counts as powered), PdClass (every port counts as class 0), Priority (every port counts as low), "
            + "DrawWatts (the energy that is not delivered is not known), LifeSafety (whether somebody can come to harm is not known), RestartSeconds (when a load serves again is not known), BudgetWatts (whether the loads come back is not known).",
            PortRows.Lacks(Rows("Switch,Unit,Port", "n,1,1")));
        Assert.Equal("The list of ports lacks Priority (every port counts as low).", PortRows.Lacks(Rows("Delivering,PdClass,DrawWatts,LifeSafety,RestartSeconds,BudgetWatts", "True,,,,,370", ",4,5,False,60,")));
        Assert.Null(PortRows.Lacks([]));

        // A column in which nothing stands is lacking as well.
        Assert.Equal(
            "The list of ports lacks BudgetWatts (whether the loads come back is not known), Model (what would be loaded, and for how long, is not known), Firmware (what would be loaded, and for how long, is not known).",
            PortRows.Lacks(Rows("Status,PdClass,Priority,DrawWatts,LifeSafety,RestartSeconds,BudgetWatts,Release", "Searching,0,Low,1,False,2,,7.4"), withBaseline: true));
    }

    [Theory]
    [InlineData("LifeSaftey,Budget", "The list of ports has columns that are not read: 'LifeSaftey' (is 'LifeSafety' meant?), 'Budget' (is 'BudgetWatts' meant?).")]
    [InlineData("Remark,Cable", null)]
    public void Columns_that_look_misspelled_are_named(string others, string? told)
    {
        PortRow row = new() { Number = 1, Columns = new Dictionary<string, string?> { ["Switch"] = "n" }, Others = others.Split(',') };
        Assert.Equal(told, PortRows.Misspelled([row, row]));
        PortRow whole = row with { Columns = PortRow.Known.ToDictionary(column => column, _ => (string?)null) };
        Assert.Null(PortRows.Misspelled([whole]));
    }

    [Fact]
    public void Units_without_a_budget_beside_others_are_named()
    {
        Assert.Equal(
            "The list of ports gives no BudgetWatts of n/2, n/3, so whether their loads come back is not known.",
            PortRows.WithoutBudget(Read("Switch,Unit,Port,BudgetWatts", "n,1,1,370", "n,2,1,", "n,3,1,").Controllers));
        Assert.Null(PortRows.WithoutBudget(Read("Switch,Unit,Port,BudgetWatts", "n,2,1,").Controllers));
    }

    [Fact]
    public void A_file_with_other_marks_between_its_columns_is_told_how_to_be_read()
    {
        Problem problem = Assert.Single(PortRows.Read([new PortRow { Number = 1, Others = ["Switch;Unit;Port"] }]).Problems);
        Assert.Equal("Its one column is 'Switch;Unit;Port': read the file with -Delimiter ';'.", problem.Advice);
    }

    private static (IReadOnlyList<Controller> Controllers, IReadOnlyList<Problem> Problems) Read(params string[] lines) => PortRows.Read(Rows(lines));

    private static PortRow[] Rows(params string[] lines)
    {
        char mark = lines[0].Contains(';') ? ';' : ',';
        string[] header = lines[0].Split(mark);
        return [.. lines.Skip(1).Select((line, at) => new PortRow { Number = at + 1, Columns = header.Zip(line.Split(mark)).ToDictionary(pair => pair.First, pair => (string?)pair.Second, StringComparer.OrdinalIgnoreCase) })];
    }
}
