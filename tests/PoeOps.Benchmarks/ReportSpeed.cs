using System.Diagnostics;
using PoeOps.Core.Tests.Report;
using PoeOps.Report;

namespace PoeOps.Benchmarks;

/// <summary>How long the report of a long night takes in each format, what it weighs, and how long Debian's Chromium takes to draw the page, beside an empty one.</summary>
internal static class ReportSpeed
{
    private const int Loads = 24;
    private const int Rounds = 3;

    /// <summary>Measures, and prints a table.</summary>
    /// <param name="units">How many units the night has.</param>
    public static int Run(int units)
    {
        RunSummary summary = BigNight.Summary(units, Loads);
        Console.WriteLine(FormattableString.Invariant($"The report of {units} units with {Loads} loads each; the best of {Rounds} turns."));
        Print("summary", () => BigNight.Summary(units, Loads).Units.Count);
        foreach (ReportFormat format in Enum.GetValues<ReportFormat>())
        {
            Print(format.ToString(), () => ReportFile.Text(summary, format).Length);
        }

        Open(ReportHtml.Of(summary));
        Console.WriteLine("  goal: of 2,000 units the page weighs less than 3 MB and opens in less than 3 s");
        return 0;
    }

    private static void Print(string name, Func<int> make)
    {
        (double seconds, int size) = Best(make);
        Console.WriteLine(FormattableString.Invariant($"  {name,-10} {seconds,8:0.000} s  {size,12:n0}"));
    }

    private static void Open(string page)
    {
        string folder = Directory.CreateTempSubdirectory("poeops-").FullName;
        try
        {
            File.WriteAllText(Path.Combine(folder, "page.html"), page);
            File.WriteAllText(Path.Combine(folder, "empty.html"), "<!DOCTYPE html><title>empty</title>");
            (double empty, _) = Best(() => Draw(folder, "empty.html"));
            (double full, _) = Best(() => Draw(folder, "page.html"));
            Console.WriteLine(FormattableString.Invariant($"  Chromium, started and drawn: {full:0.00} s, an empty page {empty:0.00} s: the page itself {full - empty:0.00} s"));
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Console.WriteLine("  Chromium is not installed; the page was not opened.");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static int Draw(string folder, string page)
    {
        using Process process = Process.Start(new ProcessStartInfo("chromium", ["--headless", "--no-sandbox", "--disable-gpu", $"--user-data-dir={folder}", $"--screenshot={Path.Combine(folder, "a.png")}", "--window-size=1280,800", new Uri(Path.Combine(folder, page)).AbsoluteUri]) { RedirectStandardError = true, RedirectStandardOutput = true })!;
        _ = process.StandardError.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode;
    }

    private static (double Seconds, int Value) Best(Func<int> make)
    {
        double best = double.MaxValue;
        int value = 0;
        for (int round = 0; round < Rounds; round++)
        {
            var watch = Stopwatch.StartNew();
            value = make();
            best = Math.Min(best, watch.Elapsed.TotalSeconds);
        }

        return (best, value);
    }
}
