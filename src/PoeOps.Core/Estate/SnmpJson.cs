using System.Globalization;
using PoeOps.Files;

namespace PoeOps.Estate;

/// <summary>Reads the key <c>snmp</c> of a switch.</summary>
internal static class SnmpJson
{
    private const int MostPorts = 1024;
    private static readonly string[] Words = ["watts", "tenths"];

    /// <summary>Reads what an estate says of a switch's agent; mistakes are reported through the readers.</summary>
    /// <returns>The settings; null where the switch has none.</returns>
    public static SnmpSettings? Read(JsonObjectReader owner)
    {
        if (owner.Object("snmp") is not { } reader)
        {
            return null;
        }

        var settings = new SnmpSettings
        {
            Port = reader.Whole("port", least: 1, most: 65535) ?? SnmpSettings.UsualPort,
            MainPower = Unit(reader),
            Interfaces = Interfaces(reader),
        };
        reader.Close();
        return settings;
    }

    private static MainPowerUnit Unit(JsonObjectReader reader)
    {
        string? word = reader.Text("mainPower");
        if (word is not null && !Words.Contains(word))
        {
            reader.Report(ProblemId.JsonBadValue, "mainPower", $"'{Excerpt.Of(word)}' is no unit of an agent{Nearest.Hint(word, Words)}.", "Write watts or tenths.");
        }

        return word switch { "watts" => MainPowerUnit.Watts, "tenths" => MainPowerUnit.Tenths, _ => MainPowerUnit.Unsaid };
    }

    private static Dictionary<string, uint> Interfaces(JsonObjectReader owner)
    {
        Dictionary<string, uint> interfaces = new(StringComparer.OrdinalIgnoreCase);
        foreach (JsonObjectReader reader in owner.Objects("interfaces"))
        {
            string unit = EstateJson.Name(reader, "unit");
            int first = reader.Whole("firstPort", least: 1, most: int.MaxValue, required: true) ?? 0;
            int last = reader.Whole("lastPort", least: 1, most: int.MaxValue) ?? first;
            int ifIndex = reader.Whole("ifIndex", least: 1, most: int.MaxValue, required: true) ?? 0;
            if (last < first || last - first >= MostPorts)
            {
                reader.Report(
                    ProblemId.JsonBadValue, "lastPort", $"The ports go from {Say(first)} to {Say(last)}, and 1 to {Say(MostPorts)} ports were expected.", "Let the last port be the first one's number or higher.");
            }
            else
            {
                foreach (KeyValuePair<string, uint> one in SnmpSettings.Run(unit, first, last, ifIndex))
                {
                    interfaces[one.Key] = one.Value;
                }
            }

            reader.Close();
        }

        return interfaces;
    }

    private static string Say(int number) => number.ToString(CultureInfo.InvariantCulture);
}
