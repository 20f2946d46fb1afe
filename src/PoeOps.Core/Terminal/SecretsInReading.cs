using PoeOps.Estate;
using PoeOps.Refresh;

namespace PoeOps.Terminal;

/// <summary>
/// Strikes secrets out of what was read of a switch. Where one stood in a property, that is told, and the unit has a problem in its reading: what was
/// struck may have said what hangs on a port.
/// </summary>
internal static class SecretsInReading
{
    /// <summary>The reading without secrets. The names of units and ports stay: they are what a unit is asked by.</summary>
    public static SwitchReading Strike(SwitchReading reading, LogInSecrets secrets)
    {
        List<Problem> problems = [.. reading.Problems.Select(secrets.Strike)];
        return new SwitchReading([.. reading.Controllers.Select(one => Strike(one, secrets, problems))], problems);
    }

    private static Controller Strike(Controller read, LogInSecrets secrets, List<Problem> problems)
    {
        int before = problems.Count;
        string? Text(string? text, string property, string of)
        {
            string? struck = text is null ? null : secrets.Strike(text);
            if (struck != text)
            {
                problems.Add(new Problem(
                    ProblemId.SecretTold, $"{property} of {of} holds a secret that was given to log in, and it is struck out.",
                    "Change what the device says there, and the secret.") { Target = $"{read.Switch}/{read.Unit}" });
            }

            return struck;
        }

        string unit = $"unit {read.Unit}";
        Controller clean = read with
        {
            Model = Text(read.Model, nameof(read.Model), unit),
            Serial = Text(read.Serial, nameof(read.Serial), unit),
            Firmware = Text(read.Firmware, nameof(read.Firmware), unit),
            Release = Text(read.Release, nameof(read.Release), unit),
            ConditionText = Text(read.ConditionText, nameof(read.ConditionText), unit),
        };
        Port[] ports = [.. read.Ports.Select(port => port with
        {
            Description = Text(port.Description, nameof(port.Description), $"port {port.Unit}/{port.Name}"),
            Neighbour = Text(port.Neighbour, nameof(port.Neighbour), $"port {port.Unit}/{port.Name}"),
            Load = port.Load is { } load ? secrets.Strike(load) : null,
        })];
        return problems.Count == before ? read : clean with { Ports = ports, ReadingProblems = read.ReadingProblems + problems.Count - before };
    }
}
