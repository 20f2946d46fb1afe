using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Benchmarks;

/// <summary>
/// What somebody would write for this one family: the same expressions in the same order, the same words and numbers, the same objects; no account of
/// lines, no problems, no contradictions.
/// </summary>
internal sealed class BareLoop(Dialect dialect)
{
    private readonly Dictionary<(string Unit, string Port), Port> _ports = [];
    private readonly Dictionary<string, Controller> _controllers = [];

    /// <summary>Reads a capture and gives the number of ports.</summary>
    public int Read(string text)
    {
        _ports.Clear();
        _controllers.Clear();
        Block? open = null;
        foreach (string raw in text.Split('\n'))
        {
            string line = raw.TrimEnd('\r');
            if (line.Length == 0 || dialect.Ignore.Any(rule => rule.Pattern.IsMatch(line)))
            {
                continue;
            }

            if (open is not null && open.Ends.Any(end => end.IsMatch(line)))
            {
                open = null;
            }
            else if (open is null || (!open.Ignore.Any(rule => rule.Pattern.IsMatch(line)) && !Row(open, line)))
            {
                open = dialect.Blocks.FirstOrDefault(block => block.Begins.Any(begin => begin.IsMatch(line))) ?? throw new InvalidOperationException(line);
            }
        }

        ILookup<string, Port> ports = _ports.Values.ToLookup(port => port.Unit);
        return _controllers.Values.Select(one => one with { Ports = [.. ports[one.Unit]] }).Sum(one => one.Ports.Count);
    }

    private bool Row(Block block, string line)
    {
        if (block.Begins.Any(begin => begin.IsMatch(line)))
        {
            return true;
        }

        foreach (RowPattern row in block.Rows)
        {
            Match match = row.Lines[0].Match(line);
            if (match.Success)
            {
                Fill(block, match.Groups);
                return true;
            }
        }

        return false;
    }

    private void Fill(Block block, GroupCollection groups)
    {
        if (block.Of == RecordKind.Controller)
        {
            string unit = groups["Unit"].Value;
            _controllers[unit] = new Controller
            {
                Switch = "quay-1", Unit = unit, Firmware = groups["Firmware"].Value, Condition = Enum.Parse<ControllerCondition>(Word("Condition", groups)), BudgetWatts = Watts("BudgetWatts", groups),
                GuardBandWatts = Watts("GuardBandWatts", groups), AllocatedWatts = Watts("AllocatedWatts", groups), DrawWatts = Watts("DrawWatts", groups),
            };
            return;
        }

        Match name = dialect.PortNames[0].Match(groups["PortName"].Value);
        (string Unit, string Port) id = (name.Groups["Unit"].Value, name.Groups["Port"].Value);
        _ports[id] = new Port
        {
            Switch = "quay-1", Unit = id.Unit, Name = id.Port, AdminEnabled = Word("AdminEnabled", groups) == "true", Status = Enum.Parse<DetectionStatus>(Word("Status", groups)),
            PdClass = groups["PdClass"].Value is "-" ? null : int.Parse(groups["PdClass"].Value, CultureInfo.InvariantCulture), Priority = Enum.Parse<PortPriority>(Word("Priority", groups)),
            AllocatedWatts = Watts("AllocatedWatts", groups), DrawWatts = Watts("DrawWatts", groups), LimitWatts = Watts("LimitWatts", groups),
        };
    }

    private string Word(string property, GroupCollection groups)
    {
        string text = groups[property].Value;
        return dialect.Values[property].Words.FirstOrDefault(word => word.Pattern.IsMatch(text))?.Means ?? text;
    }

    private static decimal? Watts(string property, GroupCollection groups) =>
        groups[property].Value is { Length: > 0 } text and not "-" ? decimal.Parse(text, CultureInfo.InvariantCulture) : null;
}
