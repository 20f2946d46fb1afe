using System.Diagnostics;
using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Benchmarks;

/// <summary>How long drift, outage and restart take for units of 48 loads each, and how that grows with their number. On one core: nothing here is parallel.</summary>
internal static class OutageSpeed
{
    private const int Ports = 48;
    private const int Rounds = 9;

    private static readonly int[] Sizes = [100, 1_000, 10_000];

    /// <summary>Measures, and prints a table.</summary>
    public static void Run()
    {
        Baseline baseline = TestBaseline();
        Dictionary<int, Controller[]> estates = Sizes.ToDictionary(size => size, Estate);
        Dictionary<int, double> best = Sizes.ToDictionary(size => size, _ => double.MaxValue);
        int refused = 0;
        for (int round = 0; round < Rounds; round++)
        {
            foreach (int size in Sizes)
            {
                var watch = Stopwatch.StartNew();
                refused = Measure(estates[size], baseline);
                best[size] = Math.Min(best[size], watch.Elapsed.TotalSeconds);
            }
        }

        Console.WriteLine($"Drift, outage and restart of units with {Ports} loads each; the best of {Rounds} turns, taken in turn. {refused} loads of the largest estate are refused.");
        foreach (int size in Sizes)
        {
            string growth = size == Sizes[0] ? string.Empty : FormattableString.Invariant($"n^{Math.Log(best[size] / best[size / 10]) / Math.Log(10):0.00}");
            Console.WriteLine(FormattableString.Invariant($"  {size,6} units {best[size] * 1000,10:0.0} ms  {best[size] / size * 1e6,7:0.0} us a unit  {growth}"));
        }

        Proposals(estates[1_000], baseline);
        Console.WriteLine("  goal: 10,000 units in 1 s or less, growth linear");
    }

    // Looked for only where somebody asks, as the cmdlet's warning does for each unit whose loads do not all come back.
    private static void Proposals(Controller[] controllers, Baseline baseline)
    {
        Outage[] refusing = [.. controllers.Select(one => OutageMeasure.Measure(Comparison.Compare(one, baseline, null)).Outage).Where(outage => outage.RefusedLoads > 0)];
        var watch = Stopwatch.StartNew();
        int found = refusing.Sum(outage => outage.Remedies.Count);
        Console.WriteLine(FormattableString.Invariant($"  what would help, of {refusing.Length} units that refuse loads: {watch.Elapsed.TotalMilliseconds / Math.Max(1, refusing.Length):0.0} ms a unit, {found} proposals"));
    }

    private static int Measure(Controller[] controllers, Baseline baseline)
    {
        int refused = 0;
        foreach (Controller controller in controllers)
        {
            Outage outage = OutageMeasure.Measure(Comparison.Compare(controller, baseline, null)).Outage;
            if (outage.LoadOutages.Count != Ports || outage.Verdict != Verdict.Behind || outage.RefusedLoads is not { } count)
            {
                throw new InvalidOperationException("A unit was not measured.");
            }

            refused += count;
        }

        return refused;
    }

    private static Baseline TestBaseline()
    {
        StageTimes times = new(StageTimes.Names.ToDictionary(name => name, _ => new StageTime(30, 60)));
        return new Baseline { Name = "speed", Entries = [new BaselineEntry { Model = "R-48", Firmware = "3.10", Image = new ImageSpec("r.img", 1000, new string('a', 64), ""), Times = times }] };
    }

    private static Controller[] Estate(int size)
    {
        var random = new Random(size);
        return
        [
            .. Enumerable.Range(0, size).Select(number => new Controller
            {
                Switch = "north-" + (number / 8).ToString(CultureInfo.InvariantCulture), Unit = ((number % 8) + 1).ToString(CultureInfo.InvariantCulture), Model = "R-48", Firmware = "3.8", Release = "7.4",
                Condition = ControllerCondition.Healthy, BudgetWatts = 370 + random.Next(400), GuardBandWatts = 10, Ports = PortsOf(number, random),
            }),
        ];
    }

    private static Port[] PortsOf(int number, Random random) =>
    [
        .. Enumerable.Range(1, Ports).Select(port =>
        {
            int pdClass = random.Next(5);
            decimal draw = random.Next(10, 60) / 10m;
            return new Port
            {
                Switch = "north-" + (number / 8).ToString(CultureInfo.InvariantCulture), Unit = ((number % 8) + 1).ToString(CultureInfo.InvariantCulture), Name = port.ToString(CultureInfo.InvariantCulture),
                Status = DetectionStatus.DeliveringPower, PdClass = pdClass, Priority = (PortPriority)random.Next(1, 4), DrawWatts = pdClass == 1 ? Math.Min(draw, 4) : draw,
                AllocatedWatts = random.Next(2) == 0 ? null : draw + 1, RestartSeconds = 90, NegotiateSeconds = random.Next(10, 60), Role = "phone",
            };
        }),
    ];
}
