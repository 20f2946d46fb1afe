using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>Coverage groups whose names somebody mistyped: nothing would cover for the unit.</summary>
public sealed class CoverageGroupTests : IDisposable
{
    private const string Advice = "Compare the word with that of the other units; where it stands alone on purpose, list it under 'coverageGroups' of the site.";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void How_far_apart_may_be_left_out_and_is_a_window_then()
    {
        EstateResult read = EstateFile.Read(_folder.Write("a.estate.json", SampleEstate.Text.Replace(", \"apart\": \"recovered\"", "", StringComparison.Ordinal)));
        Assert.Empty(Told.Of(read.Problems));
        Assert.Equal([new CoverageGroup("Radios", CoverageApart.Window)], read.Estate!.Sites[0].CoverageGroups);
    }

    [Fact]
    public void A_group_that_one_unit_alone_bears_is_told_with_the_nearest_where_one_is_near() => Assert.Equal(
        [
            $"q-2/1 alone at 'quay' bears the coverage group 'Fnuk', so that nothing covers for it; the nearest is 'Funk'. {Advice}",
            $"q-2/2 alone at 'quay' bears the coverage group 'lifts', so that nothing covers for it. {Advice}",
        ],
        LoneCoverage.Of(Estate([], ["Funk", "funk", "Fnuk", "lifts", ""])));

    [Fact]
    public void A_group_that_the_site_lists_may_stand_alone() =>
        Assert.Empty(LoneCoverage.Of(Estate([new CoverageGroup("Funk", CoverageApart.Window)], ["Funk"])));

    [Fact]
    public void Units_of_two_sites_do_not_cover_for_each_other()
    {
        EstateMap one = Estate([], ["Funk"]);
        Assert.Equal(2, LoneCoverage.Of(one with { Sites = [one.Sites[0], one.Sites[0] with { Name = "hall" }] }).Count);
    }

    // Two units a switch.
    private static EstateMap Estate(IReadOnlyList<CoverageGroup> listed, string[] groups) => new()
    {
        Sites =
        [
            new Site
            {
                Name = "quay",
                CoverageGroups = listed,
                Switches =
                [
                    .. groups.Chunk(2).Select((pair, at) => new Switch
                    {
                        Name = $"q-{at + 1}", Units = [.. pair.Select((group, unit) => new UnitSetting { Unit = $"{unit + 1}", CoverageGroup = group })],
                    }),
                ],
            },
        ],
    };
}
