using PoeOps.Baselines;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Outages;

/// <summary>Units that are behind, made for sums that can be done on paper.</summary>
internal static class SampleUnit
{
    public static readonly ImageSpec Image = new("reef-3.10.2.img", 4096, new string('a', 64), "reef");

    /// <summary>Gate and Transfer 80 s, dark 120 s, Verify 5 s; at worst 160, 230 and 10.</summary>
    public static readonly StageTimes Times = TimesOf((20, 40), (60, 120), (10, 20), (90, 180), (20, 30), (5, 10));

    /// <summary>An image on the way, without a time for the gates (30 s, at worst 60 s): 60 s before, dark 60 s, Verify 5 s; at worst 120, 120 and 10.</summary>
    public static readonly StageTimes HopTimes = TimesOf(null, (30, 60), (5, 10), (45, 90), (10, 20), (5, 10));

    public static StageTimes TimesOf((double, double)? gate, (double, double)? transfer, (double, double)? erase, (double, double)? program, (double, double)? reset, (double, double)? verify)
    {
        (double Typical, double Worst)?[] all = [gate, transfer, erase, program, reset, verify];
        return new StageTimes(StageTimes.Names.Zip(all).Where(pair => pair.Second is not null)
            .ToDictionary(pair => pair.First, pair => new StageTime(pair.Second!.Value.Typical, pair.Second.Value.Worst)));
    }

    public static Controller Controller(params Port[] ports) => new()
    {
        Site = "quay",
        Switch = "quay-1",
        Unit = "2",
        Model = "Reef-24",
        Serial = "S2",
        Release = "7.4",
        Firmware = "3.8",
        Condition = ControllerCondition.Healthy,
        Ports = ports,
    };

    public static Port Port(string name, decimal? draw = null, double? restart = 0, int? pdClass = null, PortPriority? priority = null) => new()
    {
        Site = "quay",
        Switch = "quay-1",
        Unit = "2",
        Name = name,
        Status = DetectionStatus.DeliveringPower,
        DrawWatts = draw,
        RestartSeconds = restart,
        PdClass = pdClass,
        Priority = priority,
    };

    public static Drift Behind(Controller controller, params StageTimes[] hops) => new(controller)
    {
        Verdict = Verdict.Behind,
        Reason = "It runs 3.8, which is older than the approved 3.10.2.",
        Path = [.. hops.Select((times, index) => new Hop(index == hops.Length - 1 ? "3.10.2" : $"3.9.{index}", Image, times))],
    };
}
