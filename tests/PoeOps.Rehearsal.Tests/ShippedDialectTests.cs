using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Rehearsal.Tests;

/// <summary>The dialects that are shipped for the two invented families.</summary>
public sealed class ShippedDialectTests
{
    [Theory]
    [InlineData("kelpline", "3.10.2", "kl_3_10_2", "3.9.12")]
    [InlineData("oakum", "R3-B10p2", "3.10-p2", "R3-B9p7")]
    public void Two_spellings_of_a_version_are_equal_and_ten_is_more_than_nine(string family, string one, string other, string older)
    {
        VersionRule firmware = Place.Dialect(family).Firmware;

        Assert.Equal(firmware.Read(one), firmware.Read(other));
        Assert.True(firmware.Read(older) < firmware.Read(one));
        Assert.Null(firmware.Read("unwritten"));
    }

    [Theory]
    [InlineData("kelpline")]
    [InlineData("oakum")]
    public void Samples_stand_from_old_to_new(string family)
    {
        Dialect dialect = Place.Dialect(family);
        foreach (VersionRule rule in new[] { dialect.Firmware, dialect.Release })
        {
            ControllerVersion[] samples = [.. rule.Samples.Select(sample => rule.Read(sample)!)];
            Assert.Equal(samples.Order(), samples);
            Assert.Equal(samples.Length, samples.Distinct().Count());
        }
    }

    [Theory]
    [InlineData("kelpline")]
    [InlineData("oakum")]
    public void Every_line_of_the_demo_captures_is_accounted_for(string family)
    {
        string[] captures = Directory.GetFiles(Path.Combine(Place.Root, "examples", "captures", family), "*.txt");

        CoverageReading coverage = Coverage.Of(Place.Dialect(family), captures);

        Assert.NotEmpty(captures);
        Assert.Equal((0, 100.0), (coverage.Summary.Unread, coverage.Summary.CoveredPercent));
        Assert.Empty(coverage.Problems);
    }
}
