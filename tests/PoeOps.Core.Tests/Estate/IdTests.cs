using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

public sealed class IdTests
{
    private const string UnitAdvice = "Write switch and unit with a slash between them, such as north-1/2.";
    private const string PortAdvice = "Write switch, unit and port with slashes between them, such as north-1/2/17.";

    [Theory]
    [InlineData("north-1/2", "north-1", "2")]
    [InlineData(" north-1/left ", "north-1", "left")]
    [InlineData("kaï 7/B", "kaï 7", "B")]
    public void A_unit_id_prints_what_it_reads(string text, string name, string unit)
    {
        UnitId id = UnitId.Parse(text);
        Assert.Equal((name, unit), (id.Switch, id.Unit));
        Assert.Equal(id, UnitId.Parse(id.ToString()));
        Assert.Equal(text.Trim(), id.ToString());
    }

    [Theory]
    [InlineData("north-1", "it has 1 of the 2 names")]
    [InlineData("", "it has 1 of the 2 names")]
    [InlineData(null, "it has 1 of the 2 names")]
    [InlineData("north-1/2/17", "a name has a slash in it")]
    [InlineData("/2", "a name is empty or has space around it")]
    [InlineData("north-1/", "a name is empty or has space around it")]
    [InlineData("north-1 /2", "a name is empty or has space around it")]
    public void What_is_no_unit_id_is_refused_with_the_reason(string? text, string reason) =>
        Assert.Equal(
            $"UnitIdUnreadable - -: '{text}' is not the id of a unit: {reason}. {UnitAdvice}", Told.Of(Assert.Throws<PoeOpsException>(() => UnitId.Parse(text!)).Problem));

    [Fact]
    public void Control_characters_are_refused_and_shown_as_escapes() =>
        Assert.Equal(
            $@"UnitIdUnreadable - -: 'a\u0007/2' is not the id of a unit: a name has a control character in it. {UnitAdvice}",
            Told.Of(Assert.Throws<PoeOpsException>(() => UnitId.Parse("a\u0007/2")).Problem));

    [Fact]
    public void A_name_has_200_characters_at_the_most()
    {
        Assert.Equal(200, UnitId.Parse(new string('n', 200) + "/1").Switch.Length);
        Assert.Contains("a name has 201 characters and may have 200", Assert.Throws<PoeOpsException>(() => new UnitId(new string('n', 201), "1")).Problem.Sentence);
    }

    [Fact]
    public void Null_names_are_a_problem_and_no_crash()
    {
        Assert.Equal(ProblemId.UnitIdUnreadable, Assert.Throws<PoeOpsException>(() => new UnitId(null!, "1")).Problem.Id);
        Assert.Equal(ProblemId.PortIdUnreadable, Assert.Throws<PoeOpsException>(() => new PortId(new UnitId("a", "1"), null!)).Problem.Id);
    }

    [Theory]
    [InlineData("north-1/2/17", "17")]
    [InlineData("north-1/2/0/17", "0/17")]
    [InlineData("a/a/a", "a")]
    public void A_port_id_keeps_the_slashes_of_the_ports_own_name(string text, string port)
    {
        PortId id = PortId.Parse(text);
        Assert.Equal(port, id.Port);
        Assert.Equal(text, id.ToString());
        Assert.Equal(id, PortId.Parse(id.ToString()));
    }

    [Theory]
    [InlineData("north-1/2", "it has 2 of the 3 names")]
    [InlineData("a//a", "a name is empty or has space around it")]
    [InlineData("a/b/", "a name is empty or has space around it")]
    public void What_is_no_port_id_is_refused_with_the_reason(string text, string reason) =>
        Assert.Equal(
            $"PortIdUnreadable - -: '{text}' is not the id of a port: {reason}. {PortAdvice}", Told.Of(Assert.Throws<PoeOpsException>(() => PortId.Parse(text)).Problem));

    [Fact]
    public void A_port_of_no_unit_is_none() =>
        Assert.Contains("it names no unit", Assert.Throws<PoeOpsException>(() => new PortId(default, "1")).Problem.Sentence);

    [Fact]
    public void Default_ids_are_empty_and_equal_and_break_nothing()
    {
        Assert.Equal(("", "", "/"), (default(UnitId).Switch, default(UnitId).Unit, default(UnitId).ToString()));
        Assert.Equal(default, default(PortId));
        Assert.Equal(default(PortId).GetHashCode(), default(PortId).GetHashCode());
        Assert.True(default(UnitId) < new UnitId("a", "1"));
    }

    [Fact]
    public void Case_makes_no_difference()
    {
        Assert.Equal(new UnitId("North", "a"), new UnitId("north", "A"));
        Assert.Equal(new UnitId("North", "a").GetHashCode(), new UnitId("north", "A").GetHashCode());
        Assert.Equal(0, new UnitId("North", "a").CompareTo(new UnitId("north", "A")));
        Assert.NotEqual(new UnitId("a", "1"), new UnitId("a", "01"));
    }

    [Fact]
    public void Ids_are_in_natural_order_and_the_case_of_the_switch_does_not_part_its_units()
    {
        UnitId[] expected = [new("north", "1"), new("North", "2"), new("north", "3"), new("north", "10"), new("north-2", "1"), new("north-10", "1")];
        Random chance = new(7);
        for (int i = 0; i < 50; i++)
        {
            Assert.Equal(expected, expected.OrderBy(_ => chance.Next()).Order());
        }
    }

    [Fact]
    public void Ports_are_in_natural_order_within_their_unit()
    {
        PortId[] ports = [PortId.Parse("a/2/1"), PortId.Parse("A/1/10"), PortId.Parse("a/1/9"), PortId.Parse("a/1/0/2")];
        Assert.Equal(["a/1/0/2", "a/1/9", "A/1/10", "a/2/1"], ports.Order().Select(port => port.ToString()));
    }
}
