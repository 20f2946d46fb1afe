using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads the key <c>switches</c> of a site; remembers those of the sites before.</summary>
internal sealed class SwitchesJson(RoleSet roles, string? fileServer, PowerSettings? power)
{
    private readonly SwitchCensus _census = new();
    private readonly List<(Switch Switch, JsonObjectReader Reader)> _read = [];
    private readonly List<(string Group, JsonObjectReader Unit)> _bearers = [];

    /// <summary>The units of the site that was read last that bear a coverage group.</summary>
    public IReadOnlyList<(string Group, JsonObjectReader Unit)> Bearers => _bearers;

    /// <summary>Reads the switches of a site; mistakes are reported through the readers.</summary>
    public IReadOnlyList<Switch> Read(JsonObjectReader site, string siteName)
    {
        _bearers.Clear();
        List<Switch> switches = [];
        foreach (JsonObjectReader reader in site.Objects("switches", required: true))
        {
            Switch one = SwitchOf(reader, siteName);
            _census.Add(one, reader.Line, (key, sentence, advice) => reader.Report(ProblemId.SwitchTwice, key, sentence, advice));
            switches.Add(one);
            _read.Add((one, reader));
            reader.Close();
        }

        return switches;
    }

    /// <summary>
    /// Reports every switch read so far whose address is not on loopback. Under a rehearsal's clock every deadline passes many times too fast for a real
    /// switch, so a copy of a rehearsal's estate must never reach one.
    /// </summary>
    public void DemandLoopback()
    {
        foreach ((Switch one, JsonObjectReader reader) in _read.Where(read => read.Switch.Address.Length > 0 && !EstateTexts.IsLoopback(read.Switch.Address)))
        {
            reader.Report(
                ProblemId.JsonBadValue, "address",
                $"The estate has the clock of a rehearsal, and the switch '{Excerpt.Of(one.Name)}' is at '{Excerpt.Of(one.Address)}', where a loopback address was expected.",
                "Remove 'rehearsal' from an estate of real switches, or use the estate that the rehearsal wrote.");
        }
    }

    private Switch SwitchOf(JsonObjectReader reader, string site)
    {
        PowerSettings? own = PowerJson.Read(reader, power);
        LinkKind link = Link(reader);
        var one = new Switch
        {
            Name = EstateJson.Name(reader, "name"),
            Site = site,
            Address = EstateJson.Address(reader, "address", required: true) ?? string.Empty,
            Port = reader.Whole("port", least: 1, most: 65535),
            Link = link,
            ClearText = reader.Flag("clearText") ?? false,
            Snmp = SnmpJson.Read(reader),
            Dialect = link == LinkKind.Snmp && !reader.Has("dialect") ? string.Empty : EstateJson.Written(reader, "dialect"),
            Credential = reader.Text("credential") ?? string.Empty,
            FileServer = EstateJson.Address(reader, "fileServer") ?? fileServer,
            Power = own,
            Units = Units(reader, own),
            Loads = Loads(reader),
        };
        if (one.Link == LinkKind.Tcp && !reader.Has("port"))
        {
            reader.Report(ProblemId.JsonMissingKey, null, "The key 'port' is missing, and a link by 'tcp' has no port of its own.", "Add the TCP port.");
        }

        return one;
    }

    private static LinkKind Link(JsonObjectReader reader)
    {
        string? word = reader.Text("link", required: true);
        LinkKind? link = word is null ? LinkKind.Telnet : EstateTexts.Link(word);
        if (link is null)
        {
            reader.Report(ProblemId.JsonBadValue, "link", $"'{Excerpt.Of(word)}' is no kind of link{Nearest.Hint(word!, EstateTexts.LinkWords)}.", $"Write one of {string.Join(", ", EstateTexts.LinkWords)}.");
        }

        return link ?? LinkKind.Telnet;
    }

    private List<UnitSetting> Units(JsonObjectReader owner, PowerSettings? ofSwitch)
    {
        List<UnitSetting> units = [];
        foreach (JsonObjectReader reader in owner.Objects("units"))
        {
            var unit = new UnitSetting
            {
                Unit = EstateJson.Name(reader, "unit"),
                Line = reader.Line,
                CoverageGroup = PlanningJson.Group(reader),
                HoldsManagement = reader.Flag("holdsManagement") ?? false,
                OnlyWindows = PlanningJson.Windows(reader, "onlyWindows"),
                NotWindows = PlanningJson.Windows(reader, "notWindows"),
                GuardBandWatts = reader.Number("guardBandWatts", least: 0, most: 100000),
                Power = PowerJson.Read(reader, ofSwitch),
            };
            if (unit.Unit.Length > 0 && units.Any(other => Same(other.Unit, unit.Unit)))
            {
                reader.Report(ProblemId.NameTwice, "unit", $"The unit '{Excerpt.Of(unit.Unit)}' has settings twice.", "Put all settings of a unit into one object; case makes no difference.");
            }

            if (unit.CoverageGroup.Length > 0)
            {
                _bearers.Add((unit.CoverageGroup, reader));
            }

            units.Add(unit);
            reader.Close();
        }

        return units;
    }

    private List<LoadSetting> Loads(JsonObjectReader owner)
    {
        List<LoadSetting> loads = [];
        List<(string Unit, PortList Ports)> seen = [];
        foreach (JsonObjectReader reader in owner.Objects("loads"))
        {
            var load = new LoadSetting
            {
                Unit = EstateJson.Name(reader, "unit"),
                Line = reader.Line,
                Ports = reader.Text("ports", required: true) ?? string.Empty,
                Load = reader.Text("load"),
                Role = RoleName(reader),
            };
            if (!reader.Has("load") && !reader.Has("role"))
            {
                reader.Report(ProblemId.JsonMissingKey, null, "Neither 'load' nor 'role' is there, so the setting sets nothing.", "Add the name of the load, its role, or both.");
            }

            if (Ports(reader, load) is { } ports)
            {
                ReportCommon(reader, load, ports, seen);
                seen.Add((load.Unit, ports));
            }

            loads.Add(load);
            reader.Close();
        }

        return loads;
    }

    private string RoleName(JsonObjectReader reader)
    {
        string? name = reader.Text("role");
        if (name is not null && !roles.Roles.Any(role => Same(role.Name, name)))
        {
            string[] known = [.. roles.Roles.Select(role => role.Name).Where(role => role.Length > 0)];
            reader.Report(ProblemId.NotInEstate, "role", $"The estate has no role '{Excerpt.Of(name)}'{Nearest.Hint(name, known)}.", "Name a role of the estate, or add this one to 'roles'.");
        }

        return name ?? string.Empty;
    }

    private static PortList? Ports(JsonObjectReader reader, LoadSetting load)
    {
        if (reader.Kind("ports") != JsonKind.Text)
        {
            return null;
        }

        PortList? ports = PortList.Read(load.Ports, out string? wrong);
        if (ports is null)
        {
            reader.Report(ProblemId.JsonBadValue, "ports", $"'{Excerpt.Of(load.Ports)}' is no list of ports: {wrong}.", "Write names and ranges with commas between, such as 1-8,12,A3.");
        }

        return ports;
    }

    private static void ReportCommon(JsonObjectReader reader, LoadSetting load, PortList ports, List<(string Unit, PortList Ports)> seen)
    {
        string? common = seen.Where(other => Same(other.Unit, load.Unit)).Select(other => ports.FirstInCommon(other.Ports)).FirstOrDefault(port => port is not null);
        if (common is not null)
        {
            reader.Report(ProblemId.NameTwice, "ports", $"Port '{Excerpt.Of(common)}' of unit '{Excerpt.Of(load.Unit)}' has a load twice.", "Let each port stand in one load setting.");
        }
    }

    private static bool Same(string left, string right) => string.Equals(left, right, StringComparison.OrdinalIgnoreCase);
}
