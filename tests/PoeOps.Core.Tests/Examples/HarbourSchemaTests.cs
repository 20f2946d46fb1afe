using PoeOps.Core.Tests.Files;

namespace PoeOps.Core.Tests.Examples;

public class HarbourSchemaTests
{
    [Theory]
    [InlineData("estate", "harbour.estate.json")]
    [InlineData("world", "harbour.world.json")]
    [InlineData("baseline", "winter.baseline.json")]
    public void Its_schema_takes_the_file_and_is_the_one_that_it_names(string schema, string file)
    {
        Assert.True(new SchemaCheck(schema).Takes(Harbour.TextOf(file)));
        Assert.Contains($"\"$schema\": \"../module/schemas/poeops.{schema}.schema.json\"", Harbour.TextOf(file));
    }

    [Theory]
    [InlineData("estate", "harbour.estate.json", "\"zone\"", "\"zoen\"")]
    [InlineData("world", "harbour.world.json", "\"Absent\"", "\"Away\"")]
    [InlineData("baseline", "winter.baseline.json", "\"bytes\": 6144", "\"bytes\": \"6144\"")]
    public void Its_schema_refuses_a_mistake_in_it(string schema, string file, string right, string wrong)
    {
        Assert.Contains(right, Harbour.TextOf(file));
        Assert.False(new SchemaCheck(schema).Takes(Harbour.TextOf(file).Replace(right, wrong)));
    }
}
