using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Dialects;
using PoeOps.Estate;

namespace PoeOps.Benchmarks;

/// <summary>
/// What somebody would write for this one family: the same expressions in the same order, the same words and numbers, the same objects; no account of
/// lines, no problems, no contradictions. A word is looked up by its expressions once.
/// </summary>
internal sealed class BareLoop(Dialect dialect)
{
    private readonly Dictionary<(string Unit, string Port), Port> _ports = [];
    private readonly Dictionary<string, Controller> _controllers = [];
    private readonly Dictionary<(string Property, string Text), string> _words = [];
    private readonly Regex[] _ignore = [.. dialect.Ignore.Select(rule => rule.Pattern)];
    private readonly Dictionary<string, Regex[]> _ignoreIn = dialect.Blocks.ToDictionary(block => block.Name, block => block.Ignore.Select(rule => rule.Pattern).ToArray());

    /// <summary>Reads a capture and gives the number of ports.</summary>
    public int Read(string text)
    {
        _ports.Clear();
        _controllers.Clear();
        Block? open = null;
        foreach (string raw in text.Split('\n'))
        {
            string line = raw.TrimEnd('\r');
            if (line.Length == 0 || Any(_ignore, line))
            {
                continue;
            }

            if (open is null)
            {
                open = Beginning(line);
            }
            else if (Any(open.Ends, line))
            {
                open = null;
            }
            else if (!Any(_ignoreIn[open.Name], line) && !Any(open.Begins, line) && !Row(open, line))
            {
                open = Beginning(line);
            }
        }

        ILookup<string, Port> ports = _ports.Values.ToLookup(port => port.Unit);
        return _controllers.Values.Select(one => one with { Ports = [.. ports[one.Unit]] }).Sum(one => one.Ports.Count);
    }

    private static bool Any(IReadOnlyList<Regex> patterns, string line)
    {
        for (int i = 0; i < patterns.Count; i++)
        {
            if (patterns[i].IsMatch(line))
            {
                return true;
            }
        }

        return false;
    }

    private Block Beginning(string line)
    {
        foreach (Block block in dialect.Blocks)
        {
            if (Any(block.Begins, line))
            {
                return block;
            }
        }

        throw new InvalidOperationException(line);
    }

    private bool Row(Block block, string line)
    {
        for (int i = 0; i < block.Rows.Count; i++)
        {
            Match match = block.Rows[i].Lines[0].Match(line);
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
        if (!_words.TryGetValue((property, text), out string? means))
        {
            means = dialect.Values[property].Words.FirstOrDefault(word => word.Pattern.IsMatch(text))?.Means ?? text;
            _words.Add((property, text), means);
        }

        return means;
    }

    private static decimal? Watts(string property, GroupCollection groups) =>
        groups[property].Value is { Length: > 0 } text and not "-" ? decimal.Parse(text, CultureInfo.InvariantCulture) : null;
}
