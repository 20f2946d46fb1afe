using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;

namespace PoeOps.Core.Tests.Examples;

/// <summary>A unit of the demo harbour's world, and what the estate says of it.</summary>
internal sealed class HarbourUnit(JsonObject place, JsonObject unit)
{
    public string Id => $"{(string)place["name"]!}/{Name}";

    public string Switch => (string)place["name"]!;

    public string Family => (string)place["family"]!;

    public string Release => (string)place["release"]!;

    public string Name => (string)unit["unit"]!;

    public string Firmware => (string)unit["firmware"]!;

    public string Serial => (string)unit["serial"]!;

    public string Condition => (string?)unit["condition"] ?? "Healthy";

    public JsonObject Model => Harbour.Objects(Harbour.World, "models").Single(model => (string)model["model"]! == (string)unit["model"]!);

    /// <summary>Budget less guard band: the device's own, or the estate's where that is larger.</summary>
    public decimal GrantableWatts => ((decimal?)unit["budgetWatts"] ?? (decimal)Model["budgetWatts"]!) - Math.Max((decimal?)Model["guardBandWatts"] ?? 0, (decimal?)Setting?["guardBandWatts"] ?? 0);

    /// <summary>The entry of the baseline for its model and release, or null.</summary>
    public JsonObject? Entry => Harbour.Objects(Harbour.Baseline, "entries").SingleOrDefault(entry =>
        (string)entry["model"]! == (string)unit["model"]!
        && Harbour.CompareVersions(Release, (string)entry["releases"]!["from"]!) >= 0
        && Harbour.CompareVersions(Release, (string)entry["releases"]!["before"]!) < 0);

    /// <summary>The verdict that <c>Test-PseDrift</c> is to give.</summary>
    public string Verdict =>
        Condition != "Healthy" ? "Faulted"
        : Entry is null ? "Unlisted"
        : Harbour.CompareVersions(Firmware, (string)Entry["firmware"]!) switch { 0 => "Current", > 0 => "Ahead", _ => "Behind" };

    /// <summary>How many images lead to the approved firmware.</summary>
    public int Hops => Verdict != "Behind" ? 0 : 1 + Harbour.Objects(Entry!, "hops").Count(hop => Harbour.CompareVersions(Firmware, (string)hop["below"]!) < 0);

    /// <summary>The ports that feed a load when a rehearsal starts. A faulted controller feeds none.</summary>
    public IReadOnlyList<HarbourPort> Powered => Condition != "Healthy" ? [] : [.. Rows
        .Where(row => row.Row["load"] is not null && ((bool?)row.Row["adminEnabled"] ?? true) && !((bool?)row.Row["fault"] ?? false))
        .Select(row => new HarbourPort(row.Number, LoadOf(row.Row), RoleOf(row.Number, row.Row)))];

    /// <summary>Every port that the world says anything of.</summary>
    public IReadOnlyList<int> Numbers => [.. Rows.Select(row => row.Number)];

    private JsonObject Place => Harbour.Switches.Single(one => (string)one["name"]! == Switch);

    private JsonObject? Setting => Harbour.Objects(Place, "units").SingleOrDefault(setting => (string)setting["unit"]! == Name);

    private IEnumerable<(int Number, JsonObject Row)> Rows =>
        Harbour.Objects(unit, "ports").SelectMany(row => Harbour.Ports((string)row["ports"]!).Select(number => (number, row)));

    private static JsonObject LoadOf(JsonObject row) => Harbour.Objects(Harbour.World, "loads").Single(load => (string)load["name"]! == (string)row["load"]!);

    private string RoleOf(int port, JsonObject row)
    {
        JsonObject? setting = Harbour.Objects(Place, "loads").SingleOrDefault(load => (string)load["unit"]! == Name && load["role"] is not null && Harbour.Ports((string)load["ports"]!).Contains(port));
        JsonObject[] roles = [.. Harbour.Objects(Harbour.Estate, "roles")];
        string[] texts = [.. new[] { "neighbour", "description" }.Select(key => Fill((string?)row[key] ?? "", port))];
        return (string?)setting?["role"]
            ?? (string?)roles.FirstOrDefault(role => (role["match"]?.AsArray() ?? []).Any(pattern => texts.Any(text => Regex.IsMatch(text, (string)pattern!, RegexOptions.IgnoreCase))))?["name"]
            ?? (string)roles.Single(role => (bool?)role["default"] ?? false)["name"]!;
    }

    private static string Fill(string text, int port) =>
        text.Replace("{nn}", port.ToString("00", CultureInfo.InvariantCulture)).Replace("{n}", port.ToString(CultureInfo.InvariantCulture));
}

/// <summary>A port that feeds a load.</summary>
/// <param name="Number">The port.</param>
/// <param name="Load">The load, as the world describes it.</param>
/// <param name="Role">The role that the estate gives it.</param>
internal sealed record HarbourPort(int Number, JsonObject Load, string Role)
{
    // Watts at the PSE for classes 0 to 8 (IEEE 802.3, clause 33 for 0 to 4, clause 145 above), as the tests of the class table check them.
    private static readonly decimal[] Figures = [15.4m, 4m, 7m, 15.4m, 30m, 45m, 60m, 75m, 90m];

    /// <summary>What is set aside for it from turn-on.</summary>
    public decimal ClassWatts => Figures[(int)Load["pdClass"]!];

    /// <summary>What is set aside for it once it has negotiated.</summary>
    public decimal SettledWatts => (decimal?)Load["negotiatedWatts"] ?? ClassWatts;
}
