using PoeOps.Calendar;
using PoeOps.Estate;
using PoeOps.Outages;

namespace PoeOps.Planning;

/// <summary>Makes of units, estate and options what the search works on, and finds the units that no search could place.</summary>
internal sealed class PlanSetup
{
    private readonly EstateMap _estate;
    private readonly PlanOptions _options;
    private readonly Dictionary<string, int> _siteOf = new(StringComparer.OrdinalIgnoreCase);
    private readonly List<Site> _sites = [];
    private readonly List<PlanWindow> _windows = [];
    private readonly List<List<PlanWindow>> _ofSite = [];
    private readonly Dictionary<string, IReadOnlyList<Window>> _frozen = new(StringComparer.OrdinalIgnoreCase);
    private readonly HashSet<UnitId> _accepted;
    private readonly Dictionary<string, UnitSetting?> _settings = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, int[]> _shared = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Switch> _switches = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Works out the windows of all sites of some units.</summary>
    /// <exception cref="PoeOpsException">A site's zone does not exist (<see cref="ProblemId.ZoneUnknown"/>).</exception>
    public PlanSetup(EstateMap estate, PlanOptions options, IEnumerable<Outage> units)
    {
        _estate = estate;
        _options = options;
        _accepted = [.. options.LifeSafety.Select(one => one.UnitId)];
        foreach (Switch one in estate.Switches)
        {
            _switches[one.Name] = one;
        }

        foreach (string name in units.Select(unit => unit.Site).Distinct(StringComparer.OrdinalIgnoreCase))
        {
            AddSite(name);
        }
    }

    /// <summary>How long a pilot is watched.</summary>
    public TimeSpan Soak => _options.Soak ?? _estate.Soak ?? TimeSpan.FromHours(24);

    /// <summary>The windows of a site that are looked at.</summary>
    public IReadOnlyList<PlanWindow> WindowsOf(string site) => _ofSite[_siteOf[site]];

    /// <summary>The openings of a site that freezes drop, from the beginning of the plan to its end; worked out once.</summary>
    public IReadOnlyList<Window> FrozenOf(string site)
    {
        if (!_frozen.TryGetValue(site, out IReadOnlyList<Window>? frozen))
        {
            DateTime until = _options.UntilUtc ?? DateTime.SpecifyKind(DateTime.MaxValue, DateTimeKind.Utc);
            frozen = [.. new WindowCalendar(_sites[_siteOf[site]]).Dropped(_options.FromUtc, until).Where(window => window.ClosesUtc <= until)];
            _frozen.Add(site, frozen);
        }

        return frozen;
    }

    /// <summary>True where a unit may only go in attended windows.</summary>
    public bool MustBeAttended(Outage unit) => unit.LifeSafetyLoads > 0 && !_accepted.Contains(unit.UnitId);

    /// <summary>What the estate says of a unit; null where nothing.</summary>
    public UnitSetting? SettingOf(Outage unit)
    {
        string key = unit.UnitId.ToString();
        if (!_settings.TryGetValue(key, out UnitSetting? setting))
        {
            setting = _switches.TryGetValue(unit.Switch, out Switch? one) ? one.Units.FirstOrDefault(other => string.Equals(other.Unit, unit.Unit, StringComparison.OrdinalIgnoreCase)) : null;
            _settings.Add(key, setting);
        }

        return setting;
    }

    /// <summary>The limits of a site.</summary>
    public WindowLimits LimitsOf(string site) => _sites[_siteOf[site]].Limits;

    /// <summary>True where a unit may use a window, as far as attendance and the estate's word on it go.</summary>
    public bool MayUse(Outage unit, Window window, bool attendedOnly)
    {
        UnitSetting? setting = SettingOf(unit);
        return (!attendedOnly || window.Attended)
            && (setting is null || ((setting.OnlyWindows.Count == 0 || setting.OnlyWindows.Any(name => WindowName.Fits(name, window))) && !setting.NotWindows.Any(name => WindowName.Fits(name, window))));
    }

    /// <summary>The task of some units.</summary>
    /// <param name="units">Units that can be placed, each by itself, in natural order.</param>
    /// <param name="keep">The windows that units keep from an earlier plan, by unit and hop; only such as they may use.</param>
    public PlanTask Task(IReadOnlyList<Outage> units, IReadOnlyDictionary<(UnitId, int), DateTime> keep)
    {
        Dictionary<string, int> groups = new(StringComparer.OrdinalIgnoreCase);
        List<PlanItem> items = [];
        for (int unit = 0; unit < units.Count; unit++)
        {
            for (int hop = 0; hop < units[unit].Hops; hop++)
            {
                items.Add(Item(units[unit], unit, hop, items.Count, groups, keep));
            }
        }

        PlanItem[] all = [.. items];
        OrderHops(all);
        OrderManagement(all);
        PilotChoice.Mark(all, Soak.Ticks, _options.PilotsDone);
        return new PlanTask
        {
            From = _options.FromUtc.Ticks,
            Items = all,
            Windows = [.. _windows],
            Sites = _sites.Count,
            Lanes = _options.Lanes,
            Limits = [.. _sites.Select(site => (site.Limits.Units ?? int.MaxValue, site.Limits.DarkLoads ?? int.MaxValue))],
        };
    }

    /// <summary>Worst case of a hop and recovery, ticks.</summary>
    public static long LengthOf(Outage unit, int hop) => TimeSpan.FromSeconds(HopTimes.Worst(unit.Drift.Path[hop]).Times!.Total + unit.RecoverSeconds).Ticks;

    private void AddSite(string name)
    {
        Site site = _estate.FindSite(name)!;
        _siteOf.Add(name, _sites.Count);
        List<PlanWindow> ofSite = [];
        foreach (Window window in new WindowCalendar(site).Next(_options.FromUtc, _options.MostWindows).Where(window => _options.UntilUtc is null || window.ClosesUtc <= _options.UntilUtc))
        {
            long opens = Math.Max(window.OpensUtc.Ticks, _options.FromUtc.Ticks);
            ofSite.Add(new PlanWindow(_windows.Count, _sites.Count, opens, window.ClosesUtc.Ticks - _options.Reserve.Ticks, window.ClosesUtc.Ticks, window));
            _windows.Add(ofSite[ofSite.Count - 1]);
        }

        _sites.Add(site);
        _ofSite.Add(ofSite);
    }

    private PlanItem Item(Outage outage, int unit, int hop, int index, Dictionary<string, int> groups, IReadOnlyDictionary<(UnitId, int), DateTime> keep)
    {
        long length = LengthOf(outage, hop);
        int[] windows = Windows(outage, length);
        if (keep.TryGetValue((outage.UnitId, hop), out DateTime kept) && windows.Where(window => _windows[window].Window.OpensUtc == kept).ToArray() is { Length: > 0 } only)
        {
            windows = only;
        }

        return new PlanItem
        {
            Index = index,
            Outage = outage,
            Hop = hop,
            Unit = unit,
            Site = _siteOf[outage.Site],
            WorstSeconds = HopTimes.Worst(outage.Drift.Path[hop]).Times!.Total,
            Length = length,
            Group = GroupOf(outage, groups),
            Loads = outage.Loads,
            Windows = windows,
        };
    }

    // Units of one site and kind have the same windows; each such list is made once.
    private int[] Windows(Outage outage, long length)
    {
        bool attendedOnly = MustBeAttended(outage);
        List<int> windows = [];
        foreach (PlanWindow window in WindowsOf(outage.Site))
        {
            if (window.Room >= length && MayUse(outage, window.Window, attendedOnly))
            {
                windows.Add(window.Index);
            }
        }

        string key = string.Join(" ", windows);
        if (!_shared.TryGetValue(key, out int[]? shared))
        {
            _shared.Add(key, shared = [.. windows]);
        }

        return shared;
    }

    // Only where its units must not share a window: at one site nothing is dark together with another anyway.
    private int GroupOf(Outage outage, Dictionary<string, int> groups)
    {
        string name = outage.Drift.Controller.CoverageGroup;
        CoverageGroup? group = _sites[_siteOf[outage.Site]].CoverageGroups.FirstOrDefault(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase));
        if (name.Length == 0 || group?.Apart == CoverageApart.Recovered)
        {
            return -1;
        }

        string key = outage.Site + "\n" + name;
        if (!groups.TryGetValue(key, out int number))
        {
            groups.Add(key, number = groups.Count);
        }

        return number;
    }

    private static void OrderHops(PlanItem[] items)
    {
        for (int i = 1; i < items.Length; i++)
        {
            if (items[i].Unit == items[i - 1].Unit)
            {
                Order(items[i - 1], items[i]);
            }
        }
    }

    // The unit that carries a stack's management comes after all images of the other units of its switch.
    private static void OrderManagement(PlanItem[] items)
    {
        foreach (List<PlanItem> units in items.GroupBy(item => item.Outage.Switch, StringComparer.OrdinalIgnoreCase).Select(one => one.ToList()))
        {
            foreach (PlanItem last in units.FindAll(item => item.Hop == 0 && item.Outage.Drift.Controller.HoldsManagement))
            {
                foreach (PlanItem other in units.FindAll(item => item.Hop == item.Outage.Hops - 1 && !item.Outage.Drift.Controller.HoldsManagement))
                {
                    Order(other, last);
                }
            }
        }
    }

    private static void Order(PlanItem first, PlanItem then)
    {
        then.Before.Add((first.Index, 0));
        first.After.Add((then.Index, 0));
    }
}
