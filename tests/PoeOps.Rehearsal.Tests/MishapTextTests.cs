namespace PoeOps.Rehearsal.Tests;

/// <summary>Somebody asks for mishaps, rightly or not.</summary>
public sealed class MishapTextTests
{
    [Fact]
    public void Every_kind_stands_once_in_the_catalogue_with_a_sentence_of_its_own()
    {
        Assert.Equal(Enum.GetValues<MishapKind>(), MishapCatalogue.All.Select(entry => entry.Kind));
        Assert.Equal(MishapCatalogue.All.Count, MishapCatalogue.All.Select(entry => entry.Name).Distinct(StringComparer.OrdinalIgnoreCase).Count());
        Assert.Equal(MishapCatalogue.All.Count, MishapCatalogue.All.Select(entry => entry.Sentence).Distinct().Count());
        Assert.All(MishapCatalogue.All, entry => Assert.EndsWith(".", entry.Sentence, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("north-1/2:Transfer:Damaged", "north-1/2", MishapKind.TransferDamaged, 1, 1)]
    [InlineData("north-1:logIn:refused", "north-1", MishapKind.LogInRefused, 1, int.MaxValue)]
    [InlineData(" north-1 : Connect : Closes : 2- ", "north-1", MishapKind.ConnectCloses, 2, int.MaxValue)]
    [InlineData("n/1:Program:StuckAt40:3", "n/1", MishapKind.ProgramStuckAt40, 3, 3)]
    [InlineData("n/1:Verify:OldVersion:2-5", "n/1", MishapKind.VerifyOldVersion, 2, 5)]
    public void A_text_is_read(string text, string target, MishapKind kind, int first, int last)
    {
        Mishap mishap = Mishap.Parse(text);

        Assert.Equal(new Mishap(target, kind, first, last), mishap);
        Assert.Equal(mishap, Mishap.Parse(mishap.ToString()));
    }

    [Fact]
    public void An_unknown_mishap_names_the_nearest_and_lists_all()
    {
        Problem problem = Assert.Throws<PoeOpsException>(() => Mishap.Parse("quay-1/2:Program:Stuck")).Problem;

        Assert.Equal(ProblemId.MishapUnknown, problem.Id);
        Assert.Equal("'quay-1/2:Program:Stuck': no rehearsal plays the mishap 'Program:Stuck'; the nearest is 'Program:StuckAt40'.", problem.Sentence);
        Assert.All(MishapCatalogue.All, entry => Assert.Contains(entry.Name, problem.Advice, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("")]
    [InlineData("quay-1")]
    [InlineData("quay-1:Transfer")]
    [InlineData(":Transfer:Damaged")]
    [InlineData("quay-1:Transfer:Damaged:1:2")]
    [InlineData("quay-1:Transfer:Damaged:0")]
    [InlineData("quay-1:Transfer:Damaged:3-2")]
    [InlineData("quay-1:Transfer:Damaged:often")]
    [InlineData("quay-1:Transfer:Damaged:1-2-3")]
    public void A_text_of_another_shape_is_a_problem(string text) =>
        Assert.Equal(ProblemId.MishapUnknown, Assert.Throws<PoeOpsException>(() => Mishap.Parse(text)).Problem.Id);

    [Theory]
    [InlineData("ferry-2:Answer:Pager:1-")]
    [InlineData("ferry-2/A:Program:Pager:1")]
    public void A_family_without_a_pager_plays_none(string mishap)
    {
        Problem problem = Assert.Single(RehearsalEstate.Check(new RehearsalOptions { EstatePath = Place.Mole, Mishaps = [mishap] }));

        Assert.Equal(ProblemId.RehearsalCannotStart, problem.Id);
        Assert.Equal($"The mishap '{mishap}' wants a pager, and 'ferry-2' is of a family that has none.", problem.Sentence);
    }

    [Theory]
    [InlineData("buoy-9:Connect:Hangs", "Name a switch: this mishap happens to a whole switch.")]
    [InlineData("mole-1/1:Connect:Hangs", "Name a switch: this mishap happens to a whole switch.")]
    [InlineData("mole-1/9:Transfer:Stalls", "Name a switch, or a unit such as north-1/2.")]
    public void A_mishap_must_happen_to_something_that_there_is(string mishap, string advice)
    {
        Problem problem = Assert.Single(RehearsalEstate.Check(new RehearsalOptions { EstatePath = Place.Mole, Mishaps = [mishap] }));

        Assert.Equal((ProblemId.NotInEstate, advice), (problem.Id, problem.Advice));
    }
}
