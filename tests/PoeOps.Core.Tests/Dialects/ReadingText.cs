using System.Globalization;
using System.Text;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Core.Tests.Dialects;

/// <summary>A whole reading as text: every property of every object, every problem, every line.</summary>
internal static class ReadingText
{
    private static readonly string[] OfController =
    [
        "Unit", "Model", "Serial", "Firmware", "Release", "Condition", "ConditionText", "BudgetWatts", "GuardBandWatts", "AllocatedWatts", "DrawWatts",
        "PortCount", "PoweredPorts", "ReadingProblems", "Switch", "Dialect", "Source", "ReadUtc",
    ];

    private static readonly string[] OfPort =
    [
        "PortId", "AdminEnabled", "Status", "PdClass", "Priority", "AllocatedWatts", "DrawWatts", "LimitWatts", "Description", "Neighbour", "Load",
    ];

    public static string Of(Reading reading)
    {
        var text = new StringBuilder();
        foreach (Controller controller in reading.Controllers)
        {
            text.Append("controller ").AppendLine(Properties(controller, OfController));
            foreach (Port port in controller.Ports)
            {
                text.Append("  port ").AppendLine(Properties(port, OfPort));
            }
        }

        foreach (Problem problem in reading.Problems)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"problem {problem.Id} {problem.File}:{problem.Line} of {problem.Target ?? "nobody"}: {problem.Sentence} {problem.Advice} <{problem.Text}>");
        }

        foreach (LineReading line in reading.Lines)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"{line.Line,4} {line.ReadAs,-7} {line.Text} | {line.Rule} | {line.Fields} | {line.Record}");
        }

        return text.ToString().ReplaceLineEndings("\n");
    }

    private static string Properties(object of, string[] names) =>
        string.Join("; ", names.Select(name => $"{name}={Value(of.GetType().GetProperty(name)!.GetValue(of))}"));

    private static string Value(object? value) => value switch
    {
        null => "null",
        DateTime time => time.ToString("O", CultureInfo.InvariantCulture),
        IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
        _ => $"'{value}'",
    };
}
