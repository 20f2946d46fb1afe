using System.Globalization;
using PoeOps.Baselines;
using PoeOps.Core.Tests.Outages;
using PoeOps.Estate;
using PoeOps.Outages;
using PoeOps.Planning;

namespace PoeOps.Core.Tests.Planning.Proof;

/// <summary>Estates and units by chance, the same for the same seed. Everything is in whole seconds, so that an exact solver can count in them.</summary>
internal sealed class RandomCase(int seed, string estatePath)
{
    private readonly Random _random = new(seed);

    /// <summary>A case with every rule of planning in some of its seeds.</summary>
    /// <param name="most">How many units at the most.</param>
    /// <param name="windows">How many windows of a site are looked at.</param>
    public PlanCase Small(int most, int windows = 12)
    {
        int count = 2 + _random.Next(most - 1);
        string[] sites = [.. Enumerable.Range(0, 1 + _random.Next(3)).Select(site => $"site{site}")];
        bool grouped = _random.Next(2) == 0;
        var settings = Enumerable.Range(0, count).Select(number => (Site: sites[_random.Next(sites.Length)], Number: number, Switch: _random.Next(2))).ToList();
        EstateMap estate = Estate([.. sites.Select(site => SiteOf(site, settings.Where(one => one.Site == site).Select(one => (one.Switch, one.Number))))]);
        Outage[] units = [.. settings.Select(one => Unit(one.Site, $"{one.Site}-{one.Switch}", one.Number, grouped, hops: 4))];
        return new PlanCase(estate, units, new PlanOptions
        {
            CreatedUtc = PlanCase.Noon,
            FromUtc = PlanCase.Noon,
            Reserve = TimeSpan.FromMinutes(_random.Next(3) * 10),
            Soak = TimeSpan.FromHours(new[] { 0, 6, 24, 48 }[_random.Next(4)]),
            Lanes = _random.Next(5) == 0 ? 2 : 1,
            MostWindows = windows,
        });
    }

    /// <summary>Many units of one hop, in windows of one length.</summary>
    public PlanCase Large(int units, int sites, int models, int lanes, int hours, TimeSpan soak, int groupEvery, int windows = 60)
    {
        string[] names = [.. Enumerable.Range(0, sites).Select(site => $"site{site}")];
        EstateMap estate = Estate([.. names.Select(site => new Site
        {
            Name = site,
            Zone = "UTC",
            Windows = [new WindowRule { Days = [DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday], Opens = "22:00", Length = TimeSpan.FromHours(hours) }],
            Switches = [Switch(site, 0, [])],
        })]);
        Outage[] all = [.. Enumerable.Range(0, units).Select(number => Plain(names[number % sites], number, $"M{_random.Next(models)}", groupEvery > 0 && number / sites % groupEvery == 0 ? "radios" : string.Empty))];
        return new PlanCase(estate, all, new PlanOptions { CreatedUtc = PlanCase.Noon, FromUtc = PlanCase.Noon, Soak = soak, Lanes = lanes, MostWindows = windows });
    }

    private Outage Plain(string site, int number, string model, string group) => Measure(new Controller
    {
        Site = site,
        Switch = site + "-0",
        Unit = number.ToString(CultureInfo.InvariantCulture),
        Model = model,
        Firmware = "3.8",
        Condition = ControllerCondition.Healthy,
        CoverageGroup = group,
        Ports = Ports(site, site + "-0", number, 1 + _random.Next(3), lifeSafety: false),
    }, 1, model);

    private EstateMap Estate(Site[] sites) => new() { Name = "By chance", SourcePath = estatePath, Sites = sites };

    private Site SiteOf(string name, IEnumerable<(int Switch, int Number)> units)
    {
        var all = units.ToList();
        DayOfWeek[] days = [.. Enum.GetValues<DayOfWeek>().Where(_ => _random.Next(3) == 0).DefaultIfEmpty(DayOfWeek.Tuesday)];
        List<WindowRule> windows = [new WindowRule { Days = days, Opens = $"{20 + _random.Next(4)}:{_random.Next(2) * 30:00}", Length = TimeSpan.FromMinutes(100 + (_random.Next(12) * 20)), Attended = true }];
        if (_random.Next(2) == 0)
        {
            windows.Add(new WindowRule { Days = [DayOfWeek.Saturday], Opens = "18:00", Length = TimeSpan.FromMinutes(120 + (_random.Next(10) * 30)), Attended = _random.Next(2) == 0 });
        }

        bool recovered = _random.Next(6) == 0;
        return new Site
        {
            Name = name,
            Zone = new[] { "UTC", "Europe/Berlin", "America/St_Johns" }[_random.Next(3)],
            Windows = windows,
            Limits = _random.Next(4) == 0 ? new WindowLimits(1 + _random.Next(4), _random.Next(2) == 0 ? 6 : null) : WindowLimits.None,
            CoverageGroups = recovered ? [new CoverageGroup("Radios", CoverageApart.Recovered)] : [],
            Switches = [.. new[] { 0, 1 }.Select(number => Switch(name, number, [.. all.Where(one => one.Switch == number).Select(one => Setting(one.Number))]))],
        };
    }

    private UnitSetting Setting(int number) => new()
    {
        Unit = number.ToString(CultureInfo.InvariantCulture),
        NotWindows = _random.Next(8) == 0 ? [PlanCase.Noon.AddDays(_random.Next(8)).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)] : [],
    };

    private static Switch Switch(string site, int number, UnitSetting[] units) => new() { Name = $"{site}-{number}", Site = site, Address = "192.0.2.1", Dialect = "reef", Units = units };

    private Outage Unit(string site, string name, int number, bool grouped, int hops)
    {
        string model = $"M{_random.Next(3)}";
        return Measure(new Controller
        {
            Site = site,
            Switch = name,
            Unit = number.ToString(CultureInfo.InvariantCulture),
            Model = model,
            Firmware = "3.8",
            Condition = ControllerCondition.Healthy,
            HoldsManagement = _random.Next(6) == 0,
            CoverageGroup = grouped && _random.Next(3) == 0 ? "radios" : string.Empty,
            Ports = Ports(site, name, number, 1 + _random.Next(3), _random.Next(8) == 0),
        }, _random.Next(hops) == 0 ? 2 : 1, model);
    }

    private Port[] Ports(string site, string name, int number, int count, bool lifeSafety) => [.. Enumerable.Range(1, count).Select(port =>
        SampleUnit.Port(port.ToString(CultureInfo.InvariantCulture), draw: 5, restart: 60 + _random.Next(120)) with
        {
            Site = site,
            Switch = name,
            Unit = number.ToString(CultureInfo.InvariantCulture),
            LifeSafety = lifeSafety && port == 1,
        })];

    private Outage Measure(Controller controller, int hops, string model)
    {
        Hop[] path = [.. Enumerable.Range(2 - hops, hops).Select(hop => new Hop(hop == 1 ? "3.10" : "3.9", new ImageSpec($"{model}-{hop}.img", 4096, new string(hop == 1 ? 'a' : 'b', 64), "reef"), Times()))];
        return OutageMeasure.Measure(new Drift(controller) { Verdict = Verdict.Behind, Reason = "It runs 3.8.", Path = path }).Outage;
    }

    private StageTimes Times()
    {
        int worst = 600 + _random.Next(2400);
        return SampleUnit.TimesOf((20, 60), (100, 300), (50, 120), (worst / 2, worst), (30, 90), (20, 60));
    }
}
