using PoeOps.Estate;
using PoeOps.Rehearsal.Worlds;

namespace PoeOps.Rehearsal.Tests;

/// <summary>Somebody writes a world, rightly or not.</summary>
public sealed class WorldFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poeops-world-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("a/mole.estate.json", "a/mole.world.json")]
    [InlineData("MOLE.ESTATE.JSON", "MOLE.world.json")]
    [InlineData("a/mole.json", "a/mole.world.json")]
    public void It_stands_beside_its_estate(string estate, string world) =>
        Assert.Equal(world.Replace('/', Path.DirectorySeparatorChar), WorldFile.Beside(estate.Replace('/', Path.DirectorySeparatorChar)));

    [Fact]
    public void Rows_of_ports_are_laid_out_with_their_numbers_filled_in()
    {
        WorldUnit unit = Place.Switch("mole-1").Units[0];

        Assert.Equal(24, unit.Ports.Count);
        WorldPort third = unit.Ports[2];
        Assert.Equal((3, "desk phone", "tel-mole-03", "Ticket hall, desk 3", 3.7m), (third.Number, third.Load!.Name, third.Neighbour, third.Description, third.DrawWatts));
        Assert.Equal((PortPriority.High, 25.5m), (unit.Ports[8].Priority, unit.Ports[8].LimitWatts));
        Assert.Equal((false, true), (unit.Ports[13].AdminEnabled, unit.Ports[14].Fault));
        Assert.Null(unit.Ports[23].Load);
    }

    [Theory]
    [InlineData("\"pdClass\": 2", "\"pdClass\": 9", ProblemId.JsonBadValue, "Found the number 9 where a whole number of 0 to 8 was expected.")]
    [InlineData("\"ports\": 24", "\"ports\": 97", ProblemId.JsonBadValue, "Found the number 97 where a whole number of 1 to 96 was expected.")]
    [InlineData("\"model\": \"KL-24\", \"serial\"", "\"model\": \"KL-25\", \"serial\"", ProblemId.JsonBadValue, "Found 'KL-25', and the world has no model of that name.")]
    [InlineData("\"load\": \"sensor\"", "\"load\": \"senor\"", ProblemId.JsonBadValue, "Found 'senor', and the world has no load of that name.")]
    [InlineData("\"family\": \"oakum\"", "\"family\": \"tar\"", ProblemId.JsonBadValue, "Found 'tar' where one of kelpline, oakum was expected.")]
    [InlineData("\"priority\": \"Critical\"", "\"priority\": \"Vital\"", ProblemId.JsonBadValue, "Found 'Vital' where one of Critical, High, Low was expected.")]
    [InlineData("\"unit\": \"2\"", "\"unit\": \"B\"", ProblemId.JsonBadValue, "Found 'B' where the name of a unit was expected.")]
    [InlineData("\"unit\": \"2\"", "\"unit\": \"1\"", ProblemId.NameTwice, "The unit '1' stands twice at the switch 'mole-1'.")]
    [InlineData("\"ports\": \"13\"", "\"ports\": \"12\"", ProblemId.NameTwice, "Port 12 stands in two rows of the unit.")]
    [InlineData("\"ports\": \"13\"", "\"ports\": \"25\"", ProblemId.JsonBadValue, "Found '25' where ports from 1 to 24 were expected.")]
    [InlineData("\"startUtc\": \"2026-12-01T21:00:00Z\"", "\"startUtc\": \"tonight\"", ProblemId.JsonBadValue, "Found 'tonight' where an instant in UTC was expected.")]
    [InlineData("\"drawStepWatts\": 0.1", "\"drawStepWatts\": 2", ProblemId.JsonBadValue, "Two of these steps are more than the load draws, so a port would draw less than nothing.")]
    [InlineData("\"guardBandWatts\": 15", "\"guardBandWatts\": 400", ProblemId.JsonBadValue, "The guard band is larger than the budget that it is kept back from.")]
    [InlineData("\"user\": \"deckhand\"", "\"usr\": \"deckhand\"", ProblemId.JsonMissingKey, "The key 'user' is missing, and a text was expected in it.")]
    [InlineData("\"firmware\": \"3.8.0\",", "", ProblemId.JsonMissingKey, "The key 'firmware' is missing, and a text was expected in it.")]
    public void A_mistake_is_named_with_what_was_found(string was, string now, ProblemId id, string sentence)
    {
        WorldResult result = Read(was, now);

        Assert.Null(result.World);
        Assert.Contains(result.Problems, problem => problem.Id == id && problem.Sentence == sentence && problem.Line >= 1 && problem.File!.EndsWith("mole.world.json", StringComparison.Ordinal));
    }

    [Fact]
    public void More_set_aside_than_there_is_is_a_problem()
    {
        Problem problem = Assert.Single(Read("\"firmware\": \"3.8.0\",", "\"firmware\": \"3.8.0\", \"budgetWatts\": 150,").Problems);

        Assert.Equal("The loads of unit '1' have 139.3 W set aside, and budget less guard band is 135 W.", problem.Sentence);
    }

    [Fact]
    public void A_switch_that_asks_for_a_second_secret_needs_one()
    {
        Problem problem = Assert.Single(Read("\"elevationPassword\": \"deep-water-4\",", string.Empty, "\"release\": \"7.4.1\",", "\"release\": \"7.4.1\", \"asksElevation\": true,").Problems);

        Assert.Equal(ProblemId.JsonMissingKey, problem.Id);
    }

    private WorldResult Read(params string[] changes)
    {
        string text = File.ReadAllText(WorldFile.Beside(Place.Mole));
        for (int i = 0; i < changes.Length; i += 2)
        {
            int at = text.IndexOf(changes[i], StringComparison.Ordinal);
            Assert.True(at >= 0, "Not in the file: " + changes[i]);
            text = text[..at] + changes[i + 1] + text[(at + changes[i].Length)..];
        }

        string path = Path.Combine(_folder, "mole.world.json");
        File.WriteAllText(path, text);
        return WorldFile.Read(path);
    }
}
