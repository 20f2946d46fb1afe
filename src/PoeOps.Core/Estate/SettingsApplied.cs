using System.Globalization;
using System.Text.RegularExpressions;
using PoeOps.Power;

namespace PoeOps.Estate;

/// <summary>Adds to the controllers of one switch what the estate says of them. What a device measured stays as it was read.</summary>
internal sealed class SettingsApplied(EstateMap estate, Switch s, IList<Problem> problems)
{
    private readonly List<(LoadSetting Setting, PortList Ports)> _loads =
        [.. s.Loads.Select(setting => (setting, PortList.Read(setting.Ports, out _))).Where(pair => pair.Item2 is not null).Select(pair => (pair.setting, pair.Item2!))];

    /// <summary>The controllers with what the estate knows.</summary>
    public IReadOnlyList<Controller> To(IEnumerable<Controller> read)
    {
        List<Controller> controllers = [.. read];

        // Where nothing of a switch could be read, that is what is wrong, and not its settings.
        if (controllers.Count > 0 || problems.Count == 0)
        {
            ReportUnused(controllers);
        }

        return [.. controllers.Select(Of)];
    }

    private Controller Of(Controller read)
    {
        UnitSetting? setting = s.Units.FirstOrDefault(unit => Same(unit.Unit, read.Unit));
        int slow = 0;
        Port[] ports = [.. read.Ports.Select(port => Of(port, ref slow))];
        return Powered(read, setting) with
        {
            Site = s.Site,
            HoldsManagement = setting?.HoldsManagement ?? read.HoldsManagement,
            CoverageGroup = setting?.CoverageGroup ?? read.CoverageGroup,
            ReadingProblems = read.ReadingProblems + slow,
            Ports = ports,
        };
    }

    // A budget that the device says holds; where it says none, what the supplies give is all there is.
    private Controller Powered(Controller read, UnitSetting? setting)
    {
        PowerSettings power = setting?.Power ?? s.Power ?? new PowerSettings();
        decimal? budget = read.BudgetWatts ?? power.Supplies?.TotalWatts;
        return read with
        {
            BudgetWatts = budget,
            GuardBandWatts = setting?.GuardBandWatts ?? (power.GuardBandPercent * budget / 100) ?? read.GuardBandWatts,
            GuardBandPercent = setting?.GuardBandWatts is null && budget is not null ? power.GuardBandPercent : null,
            PseType = read.PseType == PseType.Unknown ? power.PseType ?? PseType.Unknown : read.PseType,
            RestartPolicy = power.Policy ?? read.RestartPolicy,
            StaggerSeconds = power.StaggerSeconds ?? read.StaggerSeconds,
            Demotes = power.Demotes ?? read.Demotes,
            SupplyWatts = power.Supplies?.Watts ?? read.SupplyWatts,
            Efficiency = power.Efficiency ?? read.Efficiency,
        };
    }

    private Port Of(Port read, ref int slow)
    {
        LoadSetting? setting = _loads.FirstOrDefault(load => Same(load.Setting.Unit, read.Unit) && load.Ports.Contains(read.Name)).Setting;
        Role? role = RoleOf(read, setting, ref slow);
        return read with
        {
            Site = s.Site,
            Load = FirstWritten(setting?.Load, read.Neighbour, read.Description),
            Role = role?.Name ?? string.Empty,
            LifeSafety = role?.LifeSafety ?? read.LifeSafety,
            RestartSeconds = role?.RestartSeconds ?? read.RestartSeconds,
            NegotiateSeconds = role?.NegotiateSeconds ?? read.NegotiateSeconds,
            Weight = role?.Weight ?? read.Weight,
        };
    }

    private Role? RoleOf(Port port, LoadSetting? setting, ref int slow)
    {
        if (!string.IsNullOrEmpty(setting?.Role) && estate.Roles.FirstOrDefault(role => Same(role.Name, setting!.Role)) is { } given)
        {
            return given;
        }

        foreach (RolePattern pattern in estate.RolePatterns)
        {
            if (Fits(pattern, port, ref slow))
            {
                return pattern.Role;
            }
        }

        return estate.DefaultRole;
    }

    private bool Fits(RolePattern pattern, Port port, ref int slow)
    {
        try
        {
            return pattern.Pattern.IsMatch(port.Neighbour ?? string.Empty) || pattern.Pattern.IsMatch(port.Description ?? string.Empty);
        }
        catch (RegexMatchTimeoutException exception)
        {
            slow++;
            string limit = exception.MatchTimeout.TotalMilliseconds.ToString(CultureInfo.InvariantCulture);
            problems.Add(new Problem(
                ProblemId.PatternTooSlow,
                $"The pattern '{pattern.Pattern}' of the role '{pattern.Role.Name}' took longer than {limit} ms on what port {port.PortId} is called, so it is not known whether the port has that role.",
                "Write the pattern without repetitions inside repetitions, or give the port its role under loads.")
            {
                File = estate.SourcePath,
                Target = port.PortId.ToString(),
            });
            return false;
        }
    }

    private void ReportUnused(List<Controller> read)
    {
        foreach (UnitSetting setting in s.Units.Where(setting => !read.Any(one => Same(one.Unit, setting.Unit))))
        {
            Report(setting.Line, $"The estate has settings for unit '{setting.Unit}' of switch '{s.Name}', but no such unit was read.");
        }

        foreach ((LoadSetting setting, PortList ports) in _loads)
        {
            if (!read.Where(one => Same(one.Unit, setting.Unit)).SelectMany(one => one.Ports).Any(port => ports.Contains(port.Name)))
            {
                Report(setting.Line, $"The estate names loads on ports {setting.Ports} of unit '{setting.Unit}' of switch '{s.Name}', but none of these ports was read.");
            }
        }
    }

    private void Report(int? line, string sentence) =>
        problems.Add(new Problem(ProblemId.SettingFitsNothing, sentence, "Correct the unit or the ports in the estate, or read the whole switch.") { File = estate.SourcePath, Line = line, Target = s.Name });

    private static string? FirstWritten(params string?[] texts) => texts.FirstOrDefault(text => !string.IsNullOrWhiteSpace(text));

    private static bool Same(string left, string right) => string.Equals(left, right, StringComparison.OrdinalIgnoreCase);
}
