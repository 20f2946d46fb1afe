using PoeOps.Core.Tests.Files;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Estate;

/// <summary>
/// The four codings of a port's priority: RFC 3621 (pethPsePortPowerPriority), the LLDP-EXT-MED-MIB of ANSI/TIA-1057, the frames of LLDP-MED and IEEE 802.3,
/// and column 9 of the LLDP-EXT-DOT3-MIB, which counts the other way.
/// </summary>
public sealed class PriorityCodingTests
{
    [Theory]
    [InlineData(PriorityCoding.PowerEthernetMib, "1 Critical,2 High,3 Low")]
    [InlineData(PriorityCoding.MedMib, "1 -,2 Critical,3 High,4 Low")]
    [InlineData(PriorityCoding.NeighbourFrame, "0 -,1 Critical,2 High,3 Low")]
    [InlineData(PriorityCoding.Dot3Mib, "1 Low,2 High,3 Critical,4 -")]
    public void A_number_means_what_its_source_says(PriorityCoding coding, string meanings) =>
        Assert.Equal(meanings, string.Join(",", Enumerable.Range(-2, 10).Where(number => Known(coding, number)).Select(number => $"{number} {PriorityCodes.Read(coding, number)?.ToString() ?? "-"}")));

    [Fact]
    public void A_number_of_another_coding_is_told() =>
        Assert.Equal(
            "PriorityUnknown - -: 4 is no priority of RFC 3621, which has 1 to 3. Check which table or frame the number comes from.",
            Told.Of(Assert.Throws<PoeOpsException>(() => PriorityCodes.Read(PriorityCoding.PowerEthernetMib, 4)).Problem));

    private static bool Known(PriorityCoding coding, int number)
    {
        try
        {
            _ = PriorityCodes.Read(coding, number);
            return true;
        }
        catch (PoeOpsException exception)
        {
            Assert.Equal(ProblemId.PriorityUnknown, exception.Problem.Id);
            return false;
        }
    }
}
