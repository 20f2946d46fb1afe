using Newtonsoft.Json;
using Newtonsoft.Json.Linq;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Changes the text of an estate file for a rehearsal and keeps everything that the rehearsal does not change.</summary>
internal static class EstateRewrite
{
    /// <summary>The text of the copy.</summary>
    /// <param name="estate">The estate as it was read.</param>
    /// <param name="change">What is different in the copy.</param>
    /// <exception cref="PoeOpsException">The file cannot be read any more.</exception>
    public static string Text(EstateMap estate, EstateChange change)
    {
        List<Problem> problems = [];
        JObject root = JsonObjectReader.Open(estate.SourcePath, problems)?.Copy() ?? throw new PoeOpsException(problems[0]);
        string folder = Path.GetDirectoryName(Path.GetFullPath(estate.SourcePath)) ?? string.Empty;
        if ((string?)root["$schema"] is { } schema && !schema.Contains("://"))
        {
            root["$schema"] = Path.GetFullPath(Path.Combine(folder, schema));
        }

        root["fileServer"] = change.FileServer;
        if (estate.DialectPaths.Count > 0)
        {
            root["dialects"] = new JArray(estate.DialectPaths);
        }

        foreach (JObject site in ((JArray)root["sites"]!).OfType<JObject>())
        {
            ChangeSite(site, estate, change);
        }

        // A night is rehearsed, and no day between.
        root["soak"] = IsoText.Write(TimeSpan.Zero);
        root.Remove("limits");
        root["rehearsal"] = new JObject
        {
            ["speed"] = change.Clock.Speed,
            ["machineStartUtc"] = IsoText.Write(change.Clock.MachineStartUtc),
            ["startUtc"] = IsoText.Write(change.Clock.StartUtc),
        };
        return root.ToString(Formatting.Indented) + "\n";
    }

    private static void ChangeSite(JObject site, EstateMap estate, EstateChange change)
    {
        ExtraWindow window = change.Window(estate.FindSite((string)site["name"]!)!);
        site.Remove("windows");
        site.Remove("freezes");
        site.Remove("limits");
        foreach (JObject unit in site.SelectTokens("switches[*].units[*]").OfType<JObject>())
        {
            unit.Remove("onlyWindows");
            unit.Remove("notWindows");
        }

        site["extraWindows"] = new JArray(new JObject
        {
            ["opens"] = window.Opens,
            ["length"] = IsoText.Write(window.Length),
            ["attended"] = window.Attended,
        });
        foreach (JObject one in ((JArray)site["switches"]!).OfType<JObject>())
        {
            SwitchEndpoint endpoint = change.Endpoint((string)one["name"]!);
            bool snmpAlone = (string?)one["link"] == EstateTexts.Word(LinkKind.Snmp);
            one["address"] = endpoint.Address;
            one["port"] = snmpAlone ? endpoint.SnmpPort ?? SnmpSettings.UsualPort : endpoint.Port;
            one["link"] = EstateTexts.Word(snmpAlone ? LinkKind.Snmp : endpoint.Link);
            if (endpoint.SnmpPort is { } snmpPort)
            {
                JObject snmp = (JObject?)one["snmp"] ?? [];
                snmp["port"] = snmpPort;
                one["snmp"] = snmp;
            }

            one.Remove("fileServer");
        }
    }
}
