using PoeOps.Baselines;
using PoeOps.Core.Tests.Estate;
using PoeOps.Estate;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Files;

/// <summary>Files of ours in the place of others of ours: one sentence, and not all that they have too much and too little.</summary>
public sealed class FileKindTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void An_estate_is_no_plan_and_no_baseline()
    {
        string estate = _folder.Write("a.estate.json", SampleEstate.Text);
        Assert.Equal(["FileOfOtherKind - -: The file is an estate, and a plan was expected. Give the file of a plan here."], Told.Of(PlanFile.Read(estate).Problems));
        Assert.Equal(["FileOfOtherKind - -: The file is an estate, and a baseline was expected. Give the file of a baseline here."], Told.Of(BaselineFile.Read(estate).Problems));
        Assert.Equal(estate, PlanFile.Read(estate).Problems[0].File);
    }

    [Theory]
    [InlineData("{ \"name\": \"x\", \"entries\": [] }", "a baseline")]
    [InlineData("{ \"name\": \"x\", \"fingerprint\": \"00\" }", "a plan")]
    [InlineData("{ \"name\": \"x\", \"blocks\": [] }", "a dialect")]
    public void What_is_no_estate_is_told_by_its_kind(string text, string kind) => Assert.Equal(
        [$"FileOfOtherKind - -: The file is {kind}, and an estate was expected. Give the file of an estate here."], Told.Of(EstateFile.Read(_folder.Write("a.json", text)).Problems));

    [Fact]
    public void A_file_with_the_key_of_its_kind_is_read_as_one_whatever_else_it_has() =>
        Assert.Contains(EstateFile.Read(_folder.Write("a.json", SampleEstate.Text.Replace("\"name\": \"Lagoon\",", "\"name\": \"Lagoon\", \"entries\": [],", StringComparison.Ordinal))).Problems, problem => problem.Path == "entries");
}
