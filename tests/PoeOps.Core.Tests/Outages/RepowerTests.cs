using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Core.Tests.Outages;

public sealed class RepowerTests
{
    [Fact]
    public void Priority_comes_first_then_the_port_as_a_person_counts()
    {
        Controller unit = SampleUnit.Controller(
            SampleUnit.Port("10", priority: PortPriority.High), SampleUnit.Port("A2"), SampleUnit.Port("2", priority: PortPriority.Low),
            SampleUnit.Port("9", priority: PortPriority.High), SampleUnit.Port("30", priority: PortPriority.Critical), SampleUnit.Port("1") with { Status = DetectionStatus.Disabled });
        Assert.Equal(["30", "9", "10", "2", "A2"], Repower.Order(unit).Select(port => port.Name));
    }

    [Fact]
    public void The_last_to_serve_need_not_be_the_last_to_have_power()
    {
        // 1 + 100, 2 + 5, 3 + 97.5
        Assert.Equal(101, OutageMeasure.MeasureRestart(SampleUnit.Controller(SampleUnit.Port("1", restart: 100), SampleUnit.Port("2", restart: 5), SampleUnit.Port("3", restart: 97.5))).Outage.RecoverSeconds);
        Assert.Equal(0, OutageMeasure.MeasureRestart(SampleUnit.Controller()).Outage.RecoverSeconds);
    }

    [Theory]
    [InlineData(1, "1 life-safety load goes dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.")]
    [InlineData(12, "12 life-safety loads go dark. Inform those affected, provide another means for that time, follow local codes, and have licensed practice decide.")]
    public void The_caution_counts_them(int loads, string caution) => Assert.Equal(caution, LifeSafety.Caution(loads));
}
