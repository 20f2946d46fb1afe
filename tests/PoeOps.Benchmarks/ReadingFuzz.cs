using System.Diagnostics;
using System.Text;
using PoeOps.Core.Tests.Dialects;
using PoeOps.Core.Tests.Snmp;
using PoeOps.Dialects;

namespace PoeOps.Benchmarks;

/// <summary>Captures and dialects with random changes, in great numbers. The case of a number is the same at each run, so that a fault can be seen again.</summary>
internal static class ReadingFuzz
{
    // Of a longer capture a part is taken each time: all of it takes its time and finds nothing that parts do not.
    private const int MostBytes = 2_100;

    /// <summary>Reads so many changed captures.</summary>
    /// <returns>0 where all is well.</returns>
    public static int Captures(int count, int seed)
    {
        (Dialect Dialect, byte[] Capture, string Name)[] bases = [.. Clone.DialectFiles().SelectMany(Of)];
        string path = Path.Combine(Path.GetTempPath(), $"poeops-fuzz-{Environment.ProcessId}.txt");
        Console.WriteLine($"{count} captures from {seed}, made of {bases.Length}, of {bases.Select(one => one.Dialect.Name).Distinct().Count()} families");
        int faults = Each(count, seed, number =>
        {
            var random = new Random(number);
            (Dialect dialect, byte[] capture, string name) = bases[random.Next(bases.Length)];
            byte[] changed = Mutation.OfBytes(Mutation.PartOf(capture, random, MostBytes), random, Encoding.Latin1, 6);
            File.WriteAllBytes(path, changed.Length == 0 ? [(byte)'\n'] : changed);
            return ReadingAccount.Wrong(dialect, path) is { } wrong ? $"{name}: {wrong}" : null;
        });
        File.Delete(path);
        return faults == 0 ? 0 : 1;
    }

    /// <summary>Reads so many changed dialect files, and a capture by each that is still one.</summary>
    /// <returns>0 where all is well.</returns>
    public static int Dialects(int count, int seed)
    {
        (string Text, string? Capture)[] bases = [(SampleDialect.Text, null), .. Clone.DialectFiles().Select(file => (File.ReadAllText(file), CapturesOf(file).FirstOrDefault()))];
        int read = 0;
        Console.WriteLine($"{count} dialects from {seed}, made of {bases.Length}");
        int faults = Each(count, seed, number =>
        {
            var random = new Random(number);
            (string text, string? capture) = bases[random.Next(bases.Length)];
            string changed = random.Next(2) == 0 ? Mutation.OfShape(text, random) : Encoding.UTF8.GetString(Mutation.OfBytes(Encoding.UTF8.GetBytes(text), random, Encoding.UTF8, 2));
            DialectResult result = DialectFile.Parse(changed, "a.dialect.json");
            if (result.Dialect is null == (result.Problems.Count == 0))
            {
                return "there is neither a dialect nor a problem, or both";
            }

            read += result.Dialect is null ? 0 : 1;
            return result.Dialect is { } dialect && capture is not null ? ReadingAccount.Wrong(dialect, capture) : null;
        });
        Console.WriteLine($"{read} of them were dialects still");
        return faults == 0 ? 0 : 1;
    }

    /// <summary>Reads so many changed messages of SNMP.</summary>
    /// <returns>0 where all is well.</returns>
    public static int Messages(int count, int seed)
    {
        var fuzz = new MessageFuzz(Clone.Path("tests", "PoeOps.Core.Tests", "Snmp", "data", "snmpv3-wire.json"));
        Console.WriteLine($"{count} messages from {seed}");
        int faults = Each(count, seed, fuzz.Wrong);
        Console.WriteLine($"{fuzz.Read / 2} of them were messages still");
        return faults == 0 ? 0 : 1;
    }

    // A fault is told with its number, and the run goes on to the next.
    private static int Each(int count, int seed, Func<int, string?> read)
    {
        int faults = 0;
        var clock = Stopwatch.StartNew();
        for (int number = seed; number < seed + count; number++)
        {
            if (Fault(read, number) is { } fault)
            {
                faults++;
                Console.WriteLine($"{number}: {fault}");
            }

            if ((number - seed + 1) % Math.Max(1, count / 20) == 0)
            {
                Console.WriteLine($"{number - seed + 1} done, {faults} faults, {clock.Elapsed.TotalSeconds:0} s, {GC.GetTotalMemory(false) / 1_000_000} MB");
            }
        }

        return faults;
    }

    private static string? Fault(Func<int, string?> read, int number)
    {
        try
        {
            return read(number);
        }
#pragma warning disable CA1031 // An exception of any kind is what is looked for.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return exception.ToString();
        }
    }

    private static IEnumerable<(Dialect Dialect, byte[] Capture, string Name)> Of(string dialectFile)
    {
        Dialect dialect = Clone.Dialect(dialectFile);
        return CapturesOf(dialectFile).Select(file => (dialect, File.ReadAllBytes(file), Path.GetFileName(file))).Where(one => one.Item2.Length > 0);
    }

    private static IEnumerable<string> CapturesOf(string dialectFile)
    {
        string family = Path.GetFileName(dialectFile).Split('.')[0];
        string folder = dialectFile.StartsWith(Clone.Path("module"), StringComparison.Ordinal) ? Clone.Path("examples", "captures", family) : Path.GetDirectoryName(dialectFile)!;
        return Directory.GetFiles(folder, "*.txt").Where(file => !file.EndsWith(".expected.txt", StringComparison.Ordinal) && !file.EndsWith(".received.txt", StringComparison.Ordinal)).Order(StringComparer.Ordinal);
    }
}
