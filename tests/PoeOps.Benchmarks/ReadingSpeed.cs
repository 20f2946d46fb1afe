using System.Diagnostics;
using System.Globalization;
using System.Text;
using PoeOps.Dialects;
using PoeOps.Estate;
using PoeOps.Refresh;
using PoeOps.Terminal;

namespace PoeOps.Benchmarks;

/// <summary>How fast captures are read, against other ways to do so; and whether memory grows with their number.</summary>
internal static class ReadingSpeed
{
    private const int Units = 100;
    private const int Ports = 48;
    private const int Rounds = 60;

    /// <summary>Measures, and prints a table.</summary>
    public static void Run()
    {
        Dialect dialect = Clone.Dialect(Clone.Path("module", "dialects", "kelpline.dialect.json"));
        string text = Capture();
        var bare = new BareLoop(dialect);
        int expected = Units * Ports;
        (double loop, double reader) = Best(() => Check(bare.Read(text), expected), () => Check(Read(dialect, text), expected));
        Console.WriteLine($"One capture of {Units} units with {Ports} ports each, {text.Length / 1e6:0.00} MB; the best of {Rounds} turns, taken in turn.");
        Row("CaptureReader", text.Length, reader, null);
        Row("bare C# loop, same expressions", text.Length, loop, loop / reader);
        Console.WriteLine("  goal: 0.7 of the bare loop or more");
        string file = Path.Combine(Path.GetTempPath(), $"poeops-speed-{Environment.ProcessId}.txt");
        File.WriteAllText(file, text);
        if (SwitchScript.Seconds(dialect, file, expected) is { } script)
        {
            Row("switch -Regex -File", text.Length, script * 1000, script * 1000 / reader);
            Console.WriteLine("  goal: 20 times as fast as the script, or more");
        }

        Memory(dialect, file);
        File.Delete(file);
    }

    private static void Row(string name, int bytes, double milliseconds, double? ratio) =>
        Console.WriteLine($"  {name,-32} {milliseconds,10:0.00} ms  {bytes / milliseconds / 1000,8:0.00} MB/s  {(ratio is { } times ? $"the reader is {times:0.00} as fast" : string.Empty)}");

    private static void Memory(Dialect dialect, string file)
    {
        Console.WriteLine("10,000 captures one after the other, as Get-PseController reads them; what is in use once each is let go of:");
        for (int i = 1; i <= 10_000; i++)
        {
            SwitchReading reading = CaptureFiles.Read(dialect, "quay-1", [file], null, DateTime.UnixEpoch);
            Check(reading.Controllers.Sum(one => one.Ports.Count), Units * Ports);
            if (i is 100 or 1_000 or 5_000 or 10_000)
            {
                Console.WriteLine($"  after {i,6}: {GC.GetTotalMemory(forceFullCollection: true) / 1e6:0.0} MB");
            }
        }
    }

    private static int Read(Dialect dialect, string text)
    {
        Reading reading = CaptureReader.Read(dialect, CaptureText.FromText(text, "capture"), new ReadingContext { Switch = "quay-1" });
        return reading.Problems.Count == 0 ? reading.Controllers.Sum(one => one.Ports.Count) : throw new InvalidOperationException(reading.Problems[0].ToString());
    }

    private static void Check(int found, int expected)
    {
        if (found != expected)
        {
            throw new InvalidOperationException($"{found} ports were read, and {expected} stand there.");
        }
    }

    private static (double One, double Other) Best(Action one, Action other)
    {
        (double One, double Other) best = (double.MaxValue, double.MaxValue);
        for (int i = 0; i < Rounds; i++)
        {
            best = (Math.Min(best.One, Milliseconds(one)), Math.Min(best.Other, Milliseconds(other)));
        }

        return best;
    }

    private static double Milliseconds(Action work)
    {
        GC.Collect();
        var clock = Stopwatch.StartNew();
        work();
        return clock.Elapsed.TotalMilliseconds;
    }

    private static string Capture()
    {
        var random = new Random(1);
        StringBuilder text = new("Unit Controller State Budget W Kept W Granted W Drawn W\n");
        for (int unit = 1; unit <= Units; unit++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{unit} 3.8.1 fit 740 20 400 {unit}.5\n");
        }

        text.Append(CultureInfo.InvariantCulture, $"told: {Units} controllers\nPort Admin State Class Rank Granted W Drawn W Limit W\n");
        for (int unit = 1; unit <= Units; unit++)
        {
            for (int port = 1; port <= Ports; port++)
            {
                text.Append(CultureInfo.InvariantCulture, $"{unit}:{port}   on    feeding  {random.Next(1, 5)}   low   {random.Next(4, 30)}.{random.Next(10)}   {random.Next(1, 15)}.{random.Next(100)}   30\n");
            }
        }

        return text.Append(CultureInfo.InvariantCulture, $"told: {Units * Ports} ports\n").ToString();
    }
}
