using PoeOps.Core.Tests.Outages;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Report;

/// <summary>A plan of two nights for texts that people get. A refresh is dark for 120 s as a rule and 230 s at worst until the reset ends; then come the loads.</summary>
internal static class Quay
{
    public static readonly DateTime Night = new(2026, 12, 1, 21, 0, 0, DateTimeKind.Utc);

    public static PlannedLoad Load(string port, string role, string? name = null, bool lifeSafety = false, double? back = 1, double restart = 60) => new()
    {
        Port = port, Role = role, Load = name, LifeSafety = lifeSafety, BackSeconds = back, RestartSeconds = restart, Restart = back is null ? RestartOutcome.Refused : RestartOutcome.Back,
    };

    public static PlannedUnit Unit(int order, string site, string unit, DateTime window, double start, params PlannedLoad[] loads) => new()
    {
        Order = order, Site = site, Switch = unit.Split('/')[0], Unit = unit.Split('/')[1], Model = "KL-24", FromFirmware = "3.8", ToFirmware = "3.10",
        ImageFile = "a.img", ImageBytes = 3, ImageSha256 = new string('a', 64),
        StartUtc = window.AddMinutes(start), EndUtc = window.AddMinutes(start + 12), WindowOpensUtc = window, WindowClosesUtc = window.AddHours(2),
        Loads = loads.Length, LifeSafetyLoads = loads.Count(load => load.LifeSafety), DarkLoads = loads, StageTimes = SampleUnit.Times, RecoverSeconds = 61,
    };

    public static Plan Plan => new()
    {
        Name = "Lagoon",
        CreatedUtc = new DateTime(2026, 11, 26, 9, 30, 15, DateTimeKind.Utc).AddTicks(1234567),
        EstatePath = "lagoon.estate.json",
        Units =
        [
            Unit(1, "quay", "quay-1/1", Night, 0, Load("1", "phone"), Load("2", "phone"), Load("7", "help point", "ticket hall; gate 3, north", lifeSafety: true)),
            Unit(2, "quay", "quay-1/2", Night, 15, Load("1", "phone"), Load("2", "camera", back: null)),
            Unit(3, "islet", "islet-1/1", Night.AddDays(2), 0),
        ],
    };
}
